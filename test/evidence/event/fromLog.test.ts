import { expect, it } from "vitest";
import { detectEvents, openingTimes } from "../../../src/evidence/event/index.js";
import { inspectLog, type Log, type RoleId, readLog } from "../../../src/evidence/log/index.js";
import { randomStream } from "../../../src/numerics/index.js";
import { viscous } from "./strokes.js";

/** A log as a logger writes it: milliseconds, decimal commas, 0.1 deg noise, a resolution of 0.05 deg, a gap. */
function logText(): string {
  const random = randomStream(18);
  const shape = viscous(3);
  const rows = Array.from({ length: 1500 }, (_, i) => {
    const t = i / 1000;
    const x = (t - 0.412) / 0.55;
    const angle = 1.3 + 90 * (x <= 0 ? 0 : x >= 1 ? 1 : shape(x)) + 0.1 * random.normal();
    const current = t < 0.381 ? 0 : 6 * (1 - Math.exp(-(t - 0.381) / 0.003)) + 0.02 * random.normal();
    return [
      i.toFixed(0),
      t < 0.3604 ? "0" : "1",
      (Math.round(angle / 0.05) * 0.05).toFixed(2),
      current.toFixed(3),
    ];
  });
  const kept = rows.filter((_, i) => i < 250 || i > 262);
  const lines = kept.map((row) => row.join(";").replaceAll(".", ","));
  return ["Stand log;;;", "t [ms];Ventilbefehl;Winkel [°];Motorstrom [A]", ...lines].join("\r\n");
}

const values = (log: Log, role: RoleId) => {
  const channel = log.channels.find((candidate) => candidate.role === role);
  if (channel === undefined) throw new Error(role);
  return channel.values;
};

it("from the text of a log to opening times within their uncertainty", () => {
  const text = logText();
  const { mapping, questions } = inspectLog(text);
  expect(questions).toEqual([]);
  expect(mapping.channels.map((channel) => channel.role)).toEqual(["command", "angle", "motor_current"]);
  const log = readLog(text, mapping);
  expect(log.time.gaps).toMatchObject({ count: 1, missing: 13 });
  const { events, sense } = detectEvents({
    time_s: log.time_s,
    angle_rad: values(log, "angle"),
    command: values(log, "command"),
    current_A: values(log, "motor_current"),
  });
  expect(sense).toBe("opening");
  const truth: Readonly<Record<string, number>> = {
    "command-to-current": 0.381 - 0.3604,
    "command-to-first-motion": 0.412 - 0.3604,
    "command-to-end": 0.412 + 0.55 - 0.3604,
  };
  for (const [id, true_s] of Object.entries(truth)) {
    const time = openingTimes(events).find((row) => row.definition.id === id);
    if (time?.known !== true) throw new Error(`${id}: ${time?.because ?? "absent"}`);
    // Three standard uncertainties, with a fixed seed.
    expect(Math.abs(time.value_s - true_s), id).toBeLessThan(3 * time.standardUncertainty_s);
    expect(time.standardUncertainty_s, id).toBeLessThan(0.01);
  }
});
