/** What a channel shows while nothing has happened yet. */
import { median } from "../../numerics/index.js";
import type { DetectedEvent } from "../event/index.js";
import type { RoleId } from "../log/roles.js";
import type { ChannelLog } from "./channels.js";

export interface AtRest {
  /** Median before the command or, where none is found, before the ball moves; in the unit of the channel. */
  readonly level: number;
  /** Standard uncertainty of the sensor, where the log or its mapping states it. */
  readonly standardUncertainty: number | undefined;
  /** The largest reading of the whole log. */
  readonly highest: number;
}

/** Share of a log without any event that is surely at rest. */
const firstShare = 1 / 20;

/** A channel at rest; undefined where the log has none, or no reading of it before the first event. */
export function atRest(
  log: ChannelLog,
  role: RoleId,
  events: readonly DetectedEvent[] = [],
): AtRest | undefined {
  const channel = log.channels.find((one) => one.role === role);
  const found = events.filter((event) => event.found).map(({ time_s }) => time_s);
  const first = log.time_s[0] ?? 0;
  const last = log.time_s.at(-1) ?? 0;
  const end_s = found.length > 0 ? Math.min(...found) : first + firstShare * (last - first);
  const values = channel?.values.filter(
    (value, i) => Number.isFinite(value) && (log.time_s[i] ?? Number.POSITIVE_INFINITY) < end_s,
  );
  if (channel === undefined || values === undefined || values.length === 0) return undefined;
  return {
    level: median(values),
    standardUncertainty: channel.standardUncertainty,
    highest: channel.values.filter(Number.isFinite).reduce((most, value) => Math.max(most, value)),
  };
}
