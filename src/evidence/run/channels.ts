/** The channels of a log that a stroke is read from. */
import { type Fault, Refusal } from "../../fault/index.js";
import type { ClockAlignment } from "../clock/index.js";
import type { Log, LogChannel } from "../log/read.js";
import type { RoleId } from "../log/roles.js";
import { withoutTurns } from "../log/turns.js";
import type { StrokeChannels } from "./measure.js";

/** As much of a log as a stroke is read from; a stored log has no more. */
export interface ChannelLog extends Pick<Log, "time_s"> {
  readonly channels: readonly (Pick<LogChannel, "role" | "values" | "standardUncertainty"> & {
    /** The file it comes from, in a run of several. */
    readonly file?: string;
  })[];
  /** How the clocks of further files were put on this time; empty for a run of one file. */
  readonly clocks?: readonly ClockAlignment[];
}

/** Refuses a log without an angle: without it nothing says when the valve moved. */
export function strokeChannels(log: ChannelLog): StrokeChannels {
  const of = (role: RoleId) => log.channels.find((channel) => channel.role === role)?.values;
  const angle = of("angle");
  if (angle === undefined) {
    const fault: Fault = {
      code: "log-without-angle",
      where: { field: "mapping.channels" },
      found: `no column is mapped to the angle; mapped are ${log.channels.map(({ role }) => role).join(", ") || "none"}`,
      allowed: "When the valve moved is read from the angle of the ball.",
      mend: "Map the column of the position sensor: role angle, with its unit and sign",
    };
    throw new Refusal([fault]);
  }
  const upstream = of("pressure_upstream");
  const downstream = of("pressure_downstream");
  const drop =
    upstream === undefined || downstream === undefined
      ? undefined
      : upstream.map((value, i) => value - (downstream[i] ?? Number.NaN));
  const torque = of("torque") ?? of("strain");
  const { values, jumps } = withoutTurns(angle);
  return {
    time_s: log.time_s,
    angle_rad: values,
    ...(jumps === 0 ? {} : { angleJumps: jumps }),
    command: of("command"),
    current_A: of("motor_current"),
    supplyVoltage_V: of("supply_voltage"),
    flow: of("flow"),
    ...(drop === undefined ? {} : { pressureDrop_Pa: drop }),
    ...(torque === undefined ? {} : { torque }),
  };
}
