/** The schedule in question 4: openings that follow on paper, each check in each of its verdicts. */
import { beforeAll, describe, expect, it } from "vitest";
import type { FollowedSchedule } from "../../src/predict/index.js";
import { OwnAnswers } from "../../src/predict/index.js";
import { textOf } from "../project/files.js";
import { answerAloneTo, answerNumbered, type Edits, predictionOf } from "./answering.js";
import { itProvokes, type Provocation } from "./provocations.js";

const text = `${textOf("test/question/hand.yaml").replace(
  "  command: { kind: full }\n",
  "  command: { kind: full }\n  hold: { sample_time: 2 ms, position_gain: 20 1/s, speed_bandwidth: 100 1/s }\n",
)}schedule:
  start: 50 %
  moves: [{ to: 80 %, within: 0.5 s, shape: ramp, hold: 0.1 s }]
  back_pressure: constant
  step: 5 ms
  speed_share: 80 %
  torque_share: 70 %
  largest_angle_error: 2 deg
  largest_flow_error: 15 %
`;
const alone = (edits: Edits) => answerAloneTo(4, { text, edits, samples: 0 });

async function followed(edits: Edits, samples = 0): Promise<FollowedSchedule> {
  const { dossier, caseId } = await predictionOf({ text, edits, samples: 0 });
  const answer = new OwnAnswers(dossier, caseId, { seed: 1, samples: 1000 }).scheduleFollowedBy(samples);
  if (answer.followed === undefined) throw new Error(answer.missing.join("; "));
  return answer.followed;
}

const degrees = (angle: number | undefined) => ((angle ?? Number.NaN) * 180) / Math.PI;
/** Flow coefficient over 36 Kv and 90 deg, of a flow [kg/s] and a drop [bar] of water of 998.2 kg/m3 [iec60534-2-1, clause 5.1]. */
const opening = (flow: number, drop: number) =>
  ((90 / 36) * ((flow / 998.2) * 3600)) / Math.sqrt(drop / 0.9982);

describe("on paper", () => {
  let constant: FollowedSchedule;
  let proportional: FollowedSchedule;
  beforeAll(async () => {
    constant = await followed({});
    proportional = await followed({ "schedule.back_pressure": "proportional" });
  });

  it("of 10 bar the line takes 9 at 5 kg/s: 2.25 at half of it, 5.76 at 4 kg/s, and the valve the rest", () => {
    const { scheduled_rad } = constant.history;
    expect(degrees(scheduled_rad[0]) / opening(2.5, 10 - 2.25)).toBeCloseTo(1, 3);
    expect(degrees(scheduled_rad.at(-1)) / opening(4, 10 - 5.76)).toBeCloseTo(1, 3);
  });

  it("a chamber of 1 bar(a) at 5 kg/s has 0.5 at half of it: the valve takes half a bar more", () => {
    const { scheduled_rad } = proportional.history;
    expect(degrees(scheduled_rad[0]) / opening(2.5, 11 - 0.5 - 2.25)).toBeCloseTo(1, 3);
    expect(degrees(scheduled_rad.at(-1)) / opening(4, 11 - 0.8 - 5.76)).toBeCloseTo(1, 3);
  });

  it("gives a history within reach back: its flow is off at the rounded ends alone", () => {
    const { wanted, scheduledFlow } = constant.history;
    const { torqueTime, jerkTime, lead } = constant.schedule;
    const rate = 0.3 / 0.5;
    for (const [k, share] of scheduledFlow.entries()) {
      const t = k * constant.step_s - lead;
      const half = (torqueTime + jerkTime) / 2;
      const isAtEnd = Math.abs(t) < half || Math.abs(t - 0.5) < half;
      expect(Math.abs(share - (wanted[k] ?? Number.NaN))).toBeLessThan(isAtEnd ? rate * half : 2e-3);
    }
    expect(constant.outOfReach.share).toBe(0);
  });

  it("follows it: begins and ends where the schedule does", () => {
    const { angle_rad, scheduled_rad } = constant.history;
    expect(angle_rad[0]).toBe(scheduled_rad[0]);
    const off = Math.abs(degrees(angle_rad.at(-1)) - degrees(scheduled_rad.at(-1)));
    expect(off).toBeLessThan(0.5);
  });

  it("says what of a history no opening gives", async () => {
    // Wide open: 10 bar = W^2 (1/(998.2 C^2) + 3.6e4 Pa/(kg/s)^2), and more is not to be had.
    const { outOfReach } = await followed({ "schedule.moves[0].to": "150 %" });
    const C = 36 / 3600 / Math.sqrt(100);
    const most = Math.sqrt(10e5 / (1 / (998.2 * C * C) + 9e5 / 25)) / 5;
    expect(outOfReach.most).toBeCloseTo(most, 3);
    expect(outOfReach.share).toBeGreaterThan(0.3);
  });

  it("says both ends of what is wanted and what is passed, however close they lie", async () => {
    const { sentence } = answerNumbered(await alone({ "schedule.moves[0].to": "150 %" }), 4);
    const C = 36 / 3600 / Math.sqrt(100);
    const most = Math.sqrt(10e5 / (1 / (998.2 * C * C) + 9e5 / 25)) / 5;
    expect(sentence).toContain("of its time it is out of reach: up to 150.00 % is wanted");
    const passed = /the widest opening allowed passes ([\d.]+) % of the duty's flow/.exec(sentence)?.[1];
    expect(Number(passed) / (100 * most)).toBeCloseTo(1, 3);
  });

  it("is the same schedule however many samples follow it", async () => {
    const more = await followed({}, 2);
    expect(more.schedule.angle).toEqual(constant.schedule.angle);
  });
});

describe("a case without flow", () => {
  it("has no schedule and no check of one", async () => {
    const answer = answerNumbered(await answerAloneTo(4, { text, caseId: "dry", samples: 0 }), 4);
    expect(answer.checks.map(({ id }) => id).filter((id) => id.startsWith("schedule"))).toEqual([]);
  });
});

const notKnown = (path: string, needs = path): Provocation => ({
  id: "schedule-angle-error",
  verdict: "not known",
  edits: { [path]: undefined },
  needs,
});
const provocations: readonly Provocation[] = [
  { id: "schedule-angle-error", verdict: "holds", edits: {} },
  { id: "schedule-flow-error", verdict: "holds", edits: {} },
  { id: "schedule-angle-error", verdict: "fails", edits: { "schedule.largest_angle_error": "0.001 deg" } },
  { id: "schedule-flow-error", verdict: "fails", edits: { "schedule.largest_flow_error": "0.1 %" } },
  // A step is never followed at once.
  { id: "schedule-flow-error", verdict: "fails", edits: { "schedule.moves[0].shape": "step" } },
  // A hundredth of the torque does not turn the ball.
  { id: "schedule-angle-error", verdict: "fails", edits: { "schedule.torque_share": "1 %" } },
  ...[
    "schedule.back_pressure",
    "schedule.start",
    "schedule.step",
    "schedule.speed_share",
    "schedule.torque_share",
    "schedule.moves[0].to",
    "schedule.moves[0].within",
    "schedule.moves[0].shape",
    "schedule.largest_angle_error",
    "duty.mass_flow",
    "drive.motor.torque_constant",
    "valve.seat.friction",
  ].map((path) => notKnown(path)),
  notKnown("schedule.moves", "schedule.moves or schedule.points, one of them"),
  notKnown("drive.hold.sample_time", "drive.command.sample_time, or drive.hold.sample_time"),
  notKnown("drive.hold.position_gain", "drive.command.position_gain, or drive.hold.position_gain"),
  {
    id: "schedule-flow-error",
    verdict: "not known",
    edits: { "schedule.largest_flow_error": undefined },
    needs: "schedule.largest_flow_error",
  },
];

describe("each check", () => {
  itProvokes(alone, provocations);
});

it("is not asked for where no history is declared", async () => {
  const answer = answerNumbered(await alone({ schedule: undefined }), 4);
  expect(answer.checks.map(({ id }) => id).filter((id) => id.startsWith("schedule"))).toEqual([]);
});

it("has its checks in the list of checks, each with its equation and source", async () => {
  const rows = textOf("docs/checks.md").replaceAll("\\|", "|").split("\n");
  const checks = answerNumbered(await alone({}), 4).checks.filter(({ id }) => id.startsWith("schedule"));
  expect(checks).toHaveLength(2);
  for (const { id, name, equation, source } of checks) {
    const row = rows.find((line) => line.startsWith(`| \`${id}\` | 4 |`)) ?? "";
    expect(row).toContain(`| ${name} | ${equation} |`);
    expect(row.endsWith(`| ${source} |`)).toBe(true);
  }
});
