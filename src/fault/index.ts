export { type Fault, type Notice, type Place, Refusal, refuse } from "./fault.js";
