/** Which definition of opening and closing time an answer goes by, and the speed that a limit asks for. */
import { type Dossier, isFaulty } from "../dossier/index.js";
import { type EventId, timeDefinitions } from "../physics/motion/index.js";

/** Definition of the opening limit; without one, command to end of travel. */
export function openingDefinition(dossier: Dossier): string {
  return dossier.valve.duty?.open_within?.definition ?? "command-to-end";
}

/** Definition of the closing limit; without one, command to end of travel. */
export function closingDefinition(dossier: Dossier): string {
  return dossier.valve.duty?.close_within?.definition ?? "command-to-end";
}

/**
 * Fields entered with a fault without which nobody knows how fast a stroke is wanted, or by which events
 * it is timed; without a closing limit closing is held against the opening's.
 */
export function limitFaults(dossier: Dossier, sense: "opening" | "closing"): readonly string[] {
  const { open_within: opens, close_within: closes } = dossier.valve.duty ?? {};
  const lacks = (path: string, value: unknown) =>
    value === undefined && isFaulty(dossier, path) ? [path] : [];
  const own =
    sense === "opening"
      ? []
      : [
          ...lacks("duty.close_within.time", closes?.time),
          ...lacks("duty.close_within.definition", closes?.definition),
        ];
  if (sense === "closing" && (own.length > 0 || closes?.time !== undefined)) return own;
  return [
    ...lacks("duty.open_within.time", opens?.time),
    ...lacks("duty.open_within.definition", opens?.definition),
  ];
}

/**
 * Mean stem speed that a time limit asks for: the angle between the definition's two events over the
 * time that the driver's delay leaves.
 *
 *   w = (angle(to) - angle(from)) / (limit - dead time)
 *
 * @param definition  id of a time definition;  @param limit  longest time allowed [s]
 * @param stroke      travel [rad], dead time [s], and the travelled angle of the flow event, if there is one [rad]
 * @returns           [rad/s]; undefined where the definition spans no motion or the delay takes the whole limit
 */
export function wantedSpeed(
  definition: string,
  limit: number,
  stroke: { readonly travel: number; readonly deadTime: number; readonly flowMark: number | undefined },
): number | undefined {
  const row = timeDefinitions.find(({ id }) => id === definition);
  if (row === undefined) return undefined;
  const left = row.from === "command" ? limit - stroke.deadTime : limit;
  const angle = (event: EventId) =>
    event === "90 % flow" ? (stroke.flowMark ?? stroke.travel) : (travelledShare[event] ?? 0) * stroke.travel;
  const distance = angle(row.to) - angle(row.from);
  return distance > 0 && left > 0 ? distance / left : undefined;
}

/** Share of the travel at which an event lies; those that are not named lie at its beginning [-]. */
const travelledShare: Partial<Record<EventId, number>> = {
  "10 % travel": 0.1,
  "90 % travel": 0.9,
  "99 % travel": 0.99,
  "end of travel": 1,
};
