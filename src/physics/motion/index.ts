export { type EventId, eventIds, type TimeDefinition, type TimeDefinitionId, timeDefinitions } from "./definitions.js";
