export { FaultCollector } from "./collect.js";
export { type Fault, type Notice, type Place, Refusal, refuse } from "./fault.js";
export { nearName } from "./near.js";
export { shapeFaults } from "./shape.js";
export { faultsText, faultText, noticeText } from "./text.js";
