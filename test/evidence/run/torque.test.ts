/** Where the breakaway peak is read: a torque at the stem goes before the motor current. */
import { describe, expect, it } from "vitest";
import { readDossier } from "../../../src/dossier/index.js";
import { measureStroke, type RoleId, strokeChannels } from "../../../src/evidence/index.js";
import { measuredStrokes } from "../../../src/evidence/reduce/reduceRun.js";
import { randomStream } from "../../../src/numerics/index.js";
import type { Angle } from "../../../src/quantity/index.js";

const travel = (Math.PI / 2) as Angle;
const command_s = 0.3;
/** In closed form: the torque has its top here, the current later. */
const torquePeak_s = 0.34;
const currentPeak_s = 0.4;
const takes_s = 0.5;

/** Rises to its top, then falls to half, rounded as a friction that gives way. */
function peaked(t: number, from_s: number, peak_s: number): number {
  if (t <= from_s) return 0;
  if (t <= peak_s) return Math.sin(((Math.PI / 2) * (t - from_s)) / (peak_s - from_s));
  return 0.5 + 0.5 / (1 + ((t - peak_s) / 0.03) ** 2);
}

function logged(roles: readonly RoleId[]) {
  const random = randomStream(7);
  const time_s = Float64Array.from({ length: 2400 }, (_, i) => i / 2000);
  const noisy = (f: (t: number) => number, size: number) => time_s.map((t) => f(t) + size * random.normal());
  const values: Partial<Record<RoleId, Float64Array>> = {
    angle: noisy((t) => travel * Math.min(Math.max((t - torquePeak_s) / takes_s, 0), 1) ** 2, 5e-4),
    command: time_s.map((t) => (t < command_s ? 0 : 5)),
    motor_current: noisy((t) => 8 * peaked(t, command_s + 0.01, currentPeak_s), 0.02),
    torque: noisy((t) => 40 * peaked(t, command_s + 0.01, torquePeak_s), 0.1),
    strain: noisy((t) => 3e-4 * peaked(t, command_s + 0.01, torquePeak_s), 1e-6),
  };
  return {
    time_s,
    channels: roles.map((role) => ({ role, values: values[role] ?? new Float64Array() })),
  };
}

function peakOf(...roles: readonly RoleId[]) {
  const log = logged(["angle", "command", ...roles]);
  const { events } = measureStroke("one", strokeChannels(log), travel);
  const peak = events.find(({ id }) => id === "breakaway peak");
  if (peak?.found !== true) throw new Error(peak?.because ?? "no such event");
  return peak;
}

describe("the breakaway peak is read", () => {
  it.each([
    { roles: ["motor_current", "torque"], channel: "torque", at: torquePeak_s },
    { roles: ["torque"], channel: "torque", at: torquePeak_s },
    { roles: ["motor_current", "strain"], channel: "torque", at: torquePeak_s },
    { roles: ["motor_current"], channel: "current", at: currentPeak_s },
  ] as const)("of $roles from the $channel", ({ roles, channel, at }) => {
    const { time_s, standardUncertainty_s: u, channel: from } = peakOf(...roles);
    expect(from).toBe(channel);
    expect(Math.abs(time_s - at)).toBeLessThan(4 * u);
    // The two tops lie far enough apart to be told from each other.
    expect(u).toBeLessThan((currentPeak_s - torquePeak_s) / 10);
  });

  it("from the torque also where a log of several strokes is cut into them", () => {
    const log = logged(["angle", "command", "motor_current", "torque"]);
    const { dossier } = readDossier({
      valve: { path: "valve.yaml", text: "valve: { travel: 90 deg }\n" },
    });
    const [only] = measuredStrokes({ runId: "one", log, dossier, moves: [] });
    const peak = only?.measurement.events.find(({ id }) => id === "breakaway peak");
    expect(peak).toMatchObject({ found: true, channel: "torque" });
  });
});
