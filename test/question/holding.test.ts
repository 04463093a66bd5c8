/** Holding in question 4: each check in each of its verdicts, and numbers that follow on paper. */
import { describe, expect, it } from "vitest";
import { textOf } from "../project/files.js";
import { answerAloneTo, answerNumbered, answersTo, checkNamed, type Edits } from "./answering.js";
import { itProvokes, type Provocation } from "./provocations.js";

const text = textOf("test/question/hand.yaml")
  .replace(
    "throttle: { lowest: 50 %, step: 2 % }",
    "throttle: { lowest: 50 %, step: 2 %, accuracy: 20 % }\n  power_loss: { state: holds, largest_travel: 45 deg }",
  )
  .replace("  stem:\n", "  stem:\n    stiffness: 1000 N m/rad\n")
  .replace("drive:\n", "drive:\n  coupling: { stiffness: 1000 N m/rad, backlash: 0.1 deg }\n")
  .replace(
    "  command: { kind: full }\n",
    "  command: { kind: full }\n  hold: { sample_time: 2 ms, position_gain: 20 1/s, speed_bandwidth: 100 1/s, dead_band: 0.5 deg, largest_error: 1 deg }\n",
  )
  .replaceAll("arcmin,", "arcmin,\n        stiffness: 500 N m/rad,")
  .replace("scale: 0\n", "scale: 1\n")
  .replace("angle: 0 deg, coefficient: 0 }\n", "angle: 0 deg, coefficient: 0.1 }\n")
  .replace("angle: 90 deg, coefficient: 0 }", "angle: 90 deg, coefficient: 0.1 }");
const ask = (edits: Edits = {}, samples = 80) => answersTo({ text, edits, samples });
const alone = (edits: Edits) => answerAloneTo(4, { text, edits, samples: 80 });
const valueIn = async (edits: Edits, id: string) => {
  const check = checkNamed(await ask(edits, 0), id);
  return check.kind === "known" ? check.value : Number.NaN;
};

describe("on paper", () => {
  it("gears of 90 and 80 % pass 8/9 and 3/4 back: 10 mN m of the motor hold 10e-3 x 120 / (2/3) = 1.8 N m beside the friction", async () => {
    const figure = answerNumbered(await ask({}, 0), 4).figures.find(({ id }) => id === "throttling-holding");
    expect(figure?.words).toContain("the friction with what the gears resist with, 1.8 N m");
  });

  it("play of 20 arcmin behind which a stage of 10:1 stands, of 15 arcmin, and 0.1 deg: 2 + 15 + 6 = 23 arcmin", async () => {
    const rows = answerNumbered(await ask({}, 0), 4).tables[0]?.rows ?? [];
    expect(rows[0]?.[1]).toBe("0.383 deg");
    expect(rows[2]?.[1]).toBe("0.1 deg");
  });

  it("wind-up follows from 1/k = 1/(500 x 10^2) + 1/500 + 1/1000 + 1/1000, and twice the stem's compliance adds its own", async () => {
    const windUp = async (edits: Edits) =>
      Number.parseFloat(answerNumbered(await ask(edits, 0), 4).tables[0]?.rows[1]?.[1] ?? "");
    const [one, two] = [await windUp({}), await windUp({ "valve.stem.stiffness": "500 N m/rad" })];
    expect(two / one).toBeCloseTo(5.02 / 4.02, 2);
  });

  it("without the flow's torque nothing turns the ball", async () => {
    expect(await valueIn({ "valve.hydrodynamic.scale": "0" }, "back-driving")).toBe(0);
  });

  it("twice the flow's torque turns twice as hard", async () => {
    const [one, two] = [
      await valueIn({}, "back-driving"),
      await valueIn({ "valve.hydrodynamic.scale": "2" }, "back-driving"),
    ];
    expect(two / one).toBeCloseTo(2, 6);
    expect(one).toBeGreaterThan(0);
  });
});

const strong = {
  "valve.hydrodynamic.curve[0].coefficient": "1",
  "valve.hydrodynamic.curve[1].coefficient": "1",
  "valve.hydrodynamic.scale": "5",
  "valve.seat.friction": "0.02",
  "duty.throttle.lowest": "20 %",
};
const provocations: readonly Provocation[] = [
  { id: "back-driving", verdict: "holds", edits: {} },
  { id: "back-driving", verdict: "fails", edits: strong },
  { id: "back-driving", verdict: "fails", edits: { "duty.power_loss.state": "closes" } },
  { id: "back-driving", verdict: "fails", edits: { "duty.power_loss.state": "opens" } },
  {
    id: "back-driving",
    verdict: "not known",
    edits: { "duty.power_loss": undefined },
    needs: "duty.power_loss.state",
  },
  {
    id: "back-driving",
    verdict: "not known",
    edits: { "duty.throttle.lowest": undefined },
    needs: "duty.throttle.lowest",
  },
  {
    id: "back-driving",
    verdict: "not known",
    edits: { "drive.motor.friction_torque": undefined },
    needs: "drive.motor.friction_torque",
  },
  { id: "power-loss", verdict: "holds", edits: {} },
  { id: "power-loss", verdict: "fails", edits: { "duty.power_loss.largest_travel": "1 deg" } },
  {
    id: "power-loss",
    verdict: "thin",
    edits: { "duty.power_loss.largest_travel": "9.2 deg", "drive.motor.inertia": "100 g cm2 +/- 10 %" },
  },
  { id: "power-loss", verdict: "fails", edits: { "duty.power_loss.state": "closes" } },
  {
    id: "power-loss",
    verdict: "not known",
    edits: { "duty.power_loss.largest_travel": undefined },
    needs: "duty.power_loss.largest_travel",
  },
  { id: "power-loss", verdict: "not known", edits: { "drive.stages": undefined }, needs: "drive.stages" },
  { id: "position-accuracy", verdict: "holds", edits: {} },
  { id: "position-accuracy", verdict: "fails", edits: { "duty.throttle.accuracy": "1 %" } },
  ...[
    "duty.throttle.accuracy",
    "drive.stages[0].stiffness",
    "drive.stages[1].backlash",
    "drive.coupling.stiffness",
    "drive.coupling.backlash",
    "valve.stem.stiffness",
    "drive.position_sensor.resolution",
  ].map(
    (path): Provocation => ({
      id: "position-accuracy",
      verdict: "not known",
      edits: { [path]: undefined },
      needs: path,
    }),
  ),
  { id: "holding-error", verdict: "holds", edits: {} },
  { id: "holding-error", verdict: "fails", edits: { "drive.hold.largest_error": "0.001 deg" } },
  {
    id: "holding-error",
    verdict: "not known",
    edits: { "drive.hold.sample_time": undefined },
    needs: "drive.hold.sample_time, or drive.command.sample_time",
  },
  {
    id: "holding-error",
    verdict: "not known",
    edits: { "drive.hold": undefined },
    needs: "drive.hold: the loop that holds a set point",
  },
  {
    id: "holding-error",
    verdict: "not known",
    edits: { "drive.hold.largest_error": undefined },
    needs: "drive.hold.largest_error",
  },
];

itProvokes(alone, provocations);

describe("what the answer shows", () => {
  it("says that it stays, how far it runs on, and how sure a position is", async () => {
    const { sentence } = answerNumbered(await ask({}, 0), 4);
    expect(sentence).toMatch(
      /Without power the flow turns the ball with at most [\d.]+ % of what holds it: it stays/,
    );
    expect(sentence).toMatch(/A loss of power in motion lets it run on by at most [\d.]+ deg\./);
    expect(sentence).toMatch(/A position is sure to [\d.]+ deg\./);
    expect(answerNumbered(await ask(strong, 0), 4).sentence).toContain("it does not stay where it is");
  });

  it("says that gears which lock themselves hold at rest", async () => {
    const { sentence } = answerNumbered(await ask({ "drive.stages[0].efficiency": "0.45" }, 0), 4);
    expect(sentence).toContain("Without power the gears lock themselves");
  });

  it("names what moves the run most", async () => {
    const { drivers } = answerNumbered(await ask({ "drive.motor.inertia": "100 g cm2 +/- 10 %" }), 4);
    expect(drivers.find(({ words }) => words.startsWith("the run after a loss of power"))?.path).toBe(
      "drive.motor.inertia",
    );
  });

  it("draws the ball under its loop; without a dead band its integral makes it hunt or stand off, with one it rests", async () => {
    const loop = async (edits: Edits) => answerNumbered(await ask(edits, 0), 4);
    const calm = await loop({});
    expect(calm.figures.map(({ id }) => id)).toContain("throttling-loop");
    expect(calm.sentence).toContain("Under its loop the ball comes to rest");
    const stiff = {
      "drive.hold.dead_band": "0 deg",
      "drive.hold.position_gain": "40 1/s",
      "drive.hold.speed_bandwidth": "200 1/s",
    };
    expect((await loop(stiff)).sentence).toMatch(/Under its loop the ball (hunts by|is still on its way)/);
  });

  it("says nothing of holding where nothing flows", async () => {
    const answers = await answersTo({ text, caseId: "dry", samples: 0 });
    expect(answerNumbered(answers, 4).checks.map(({ id }) => id)).toEqual(["controllability"]);
  });
});
