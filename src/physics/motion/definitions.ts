/**
 * The definitions of opening and closing time, one list for simulation and measurement alike.
 * A time without its definition is no number: a stroke of ideal constant speed has a 10 to 90 %
 * time of 0.8 of its full travel time.
 *
 * To add a definition: add one row to `timeDefinitions`. To add an event: add its id to `eventIds`
 * and teach the simulation (motion.ts) and the detector (evidence/event) to find it.
 *
 * Source: common practice, no source.
 */

/**
 * Events in the order in which an ordinary stroke passes them, then those that may happen beside them:
 * the peak of current or torque at breakaway, the furthest rebound from the stop, the begin of the flow,
 * and a driver that cuts the current under way. Travel counts along the stroke.
 */
export const eventIds = [
  "command",
  "current",
  "first motion",
  "10 % travel",
  "90 % travel",
  "99 % travel",
  "end of travel",
  "90 % flow",
  "breakaway peak",
  "bounce",
  "flow onset",
  "trip",
] as const;
export type EventId = (typeof eventIds)[number];

/** One way to say how long a stroke took: from one event to another. */
export interface TimeDefinition {
  readonly id: string;
  readonly label: string;
  readonly from: EventId;
  readonly to: EventId;
}

export const timeDefinitions = [
  { id: "command-to-current", label: "command to current", from: "command", to: "current" },
  { id: "command-to-first-motion", label: "command to first motion", from: "command", to: "first motion" },
  { id: "command-to-90-travel", label: "command to 90 % travel", from: "command", to: "90 % travel" },
  { id: "command-to-99-travel", label: "command to 99 % travel", from: "command", to: "99 % travel" },
  { id: "command-to-end", label: "command to end of travel", from: "command", to: "end of travel" },
  { id: "command-to-90-flow", label: "command to 90 % flow", from: "command", to: "90 % flow" },
  { id: "travel-10-to-90", label: "10 to 90 % travel", from: "10 % travel", to: "90 % travel" },
] as const satisfies readonly TimeDefinition[];
export type TimeDefinitionId = (typeof timeDefinitions)[number]["id"];
