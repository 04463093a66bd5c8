/** A drive that cannot turn the valve is an answer in words, never a time; the edges of the input give physical words. */
import { describe, expect, it } from "vitest";
import type { Stroke } from "../../src/physics/motion/index.js";
import { isDone } from "../../src/predict/index.js";
import type { AngularSpeed } from "../../src/quantity/index.js";
import { answerNumbered, answersTo, checkNamed, type Edits } from "./answering.js";

async function openingWith(edits: Edits, samples = 200) {
  const answers = await answersTo({ edits, samples });
  return {
    answers,
    sentence: answerNumbered(answers, 3).sentence,
    turning: answerNumbered(answers, 2).sentence,
    check: checkNamed(answers, "opening-time"),
    answer: answerNumbered(answers, 3),
  };
}

describe("does not open", () => {
  it("a current limit below the breakaway current: angle, lacking torque, lowest ratio", async () => {
    const { sentence, turning, check, answer } = await openingWith({ "drive.driver.current_limit": "2 A" });
    // 2 A give (0.1 - 0.01) 86.4 = 7.776 N m against 13.100 N m; 120 (13.100 / 7.776) = 202.2.
    expect(sentence).toContain(
      "Does not open: it stalls at 0 deg, 5.324 N m short at the stem; the lowest total ratio that would break away is 202.2 (present 120)",
    );
    expect(turning).toBe(
      "Cannot be turned: breaks away at 13.1 N m, and the drive gives only 7.78 N m at standstill.",
    );
    expect(check.kind).toBe("failed");
    expect(check.verdict).toBe("fails");
    expect(check).not.toHaveProperty("value");
    expect(answer.verdict).toBe("fails");
    const times = answer.tables.find(({ title }) => title.startsWith("Opening time by every"));
    expect(times?.rows.map(([, nominal]) => nominal)).toEqual(Array(7).fill("does not exist"));
  });

  it("a ratio too small to break away", async () => {
    const { sentence, check } = await openingWith({ "drive.stages[0].ratio": "1" });
    expect(sentence).toMatch(
      /^Does not open: it stalls at 0 deg, 8\.85\d* N m short at the stem; the lowest total ratio that would break away is 30\.8\d* \(present 10\)/,
    );
    expect(check.verdict).toBe("fails");
  });

  it("no voltage: no ratio helps", async () => {
    const { sentence, turning, answers } = await openingWith({ "drive.supply.open_circuit_voltage": "0 V" });
    const breakaway = checkNamed(answers, "break-torque");
    expect(breakaway.kind === "known" && breakaway.limit.most).toBe(0);
    expect(sentence).toContain("no gear ratio would break away");
    expect(sentence).toContain("the probability of not opening is above 98.");
    expect(turning).toContain("gives no torque at the stem, so it cannot be turned");
  });

  it("a profile that the drive cannot follow is merely late: every sample opens, and has its times", async () => {
    const command = {
      kind: "trapezoid",
      duration: "0.1 s",
      sample_time: "1 ms",
      position_gain: "30 1/s",
      speed_bandwidth: "200 1/s",
    };
    const { sentence, check } = await openingWith({ "drive.command": command }, 80);
    const full = await openingWith({}, 0);
    expect(sentence).toMatch(/^Opens in \d{3} ms/);
    expect(sentence).toMatch(/the probability of not opening is below/);
    if (check.kind !== "known" || full.check.kind !== "known") throw new Error("the valve opens");
    // A loop asks for no more than full drive gives, so it is no faster.
    expect(check.value).toBeGreaterThanOrEqual(full.check.value * (1 - 1e-3));
    expect(check.verdict).toBe("holds");
  });

  it("a drive that comes alive late opens late", async () => {
    const { sentence } = await openingWith({ "drive.driver.dead_time": "12 s" }, 0);
    expect(sentence).toMatch(/^Opens in 12\.\d+ s/);
    expect(sentence).toMatch(/Closes in 12\.\d+ s/);
  });

  it("a valve that creeps when it was followed no further is on its way, one without speed is at rest", () => {
    const stroke = { outcome: "out of time", angle: 0.3, end: 10 } as Stroke;
    const done = (speed: number) =>
      isDone({ ...stroke, speed: speed as AngularSpeed }, "closing", Math.PI / 2);
    expect(done(-0.014)).toBeUndefined();
    expect(done(0)).toBe(false);
  });

  it("a stroke not followed to its end is never said not to open; marks it passed keep their times", async () => {
    const slow = {
      // A gain so low that the last tenth of a degree takes seconds.
      kind: "trapezoid",
      duration: "1 s",
      sample_time: "1 ms",
      position_gain: "0.3 1/s",
      speed_bandwidth: "200 1/s",
    };
    const edits = { "drive.command": slow, "duty.open_within.definition": "command-to-90-travel" };
    const { sentence, check } = await openingWith(edits, 0);
    expect(sentence).not.toMatch(/[Dd]oes not open/);
    expect(sentence).toMatch(/^Opens in \d{3} ms from command to 90 % travel/);
    expect(check.kind).toBe("known");
    expect(check.verdict).toBe("fails");
    // The end itself lies beyond what was followed: 2 x 0.8 s, 3 x 1 s + 20 ms or 3 s, the longest.
    const end = await openingWith({ "drive.command": { ...slow, position_gain: "0.1 1/s" } }, 20);
    expect(end.sentence).toMatch(/^Opens later than it was followed: after 3\.02 s it is at 89\.\d+ deg/);
    expect(end.sentence).toMatch(/the probability of not opening is below/);
    expect(end.check.kind).toBe("failed");
  });

  it("some samples stall: the chance stands apart from the times of those that open", async () => {
    const answers = await answersTo({
      edits: { "drive.driver.current_limit": "4 A", "valve.seat.friction": "0.10 +/- 0.05" },
    });
    const answer = answerNumbered(answers, 3);
    expect(answer.sentence).toMatch(
      /^The probability of not opening is \d+(\.\d)? % \(95 % confidence: \d+(\.\d)? to \d+(\.\d)? %\); the nominal valve opens in \d+ ms from command to end of travel \(95 % of openings between \d+ and \d+ ms; limit 800 ms\)\./,
    );
    const check = checkNamed(answers, "opening-time");
    expect(check.kind === "known" && (check.probability?.high ?? 1) < check.wanted).toBe(true);
    expect(check.verdict).toBe("fails");
    const histogram = answer.figures.find(({ id }) => id === "opening-times");
    expect(histogram?.kind === "histogram" && histogram.apart).toMatch(
      /^does not open: \d+(\.\d)? % .* of 200 samples$/,
    );
  });

  it("every sample stalls although the nominal valve opens: the probability is none, not unknown", async () => {
    const answers = await answersTo({
      edits: {
        "drive.driver.current_limit": "3.3 A",
        "valve.seat.friction": { nominal: "0.10", low: "0.10", high: "0.60", law: "uniform" },
      },
      samples: 8,
    });
    const check = checkNamed(answers, "opening-time");
    if (check.kind !== "known") throw new Error("the nominal valve opens");
    expect(check.probability?.estimate).toBe(0);
    expect(check.band).toBeUndefined();
    expect(check.verdict).toBe("fails");
  });
});

describe("edges that open", () => {
  it("no friction at all: nothing resists, and the time is the fast ceiling", async () => {
    const { sentence, turning, answer } = await openingWith({
      "valve.seat.friction": "0",
      "valve.packing.torque": "0 N m",
      "valve.stem.collar_friction": "0",
      "valve.ice_torque": "0 N m",
      "drive.motor.friction_torque": "0 N m",
      "drive.stages[0].efficiency": "1",
      "drive.stages[1].efficiency": "1",
    });
    expect(turning).toMatch(
      /^Nothing resists the start of the turning; the drive gives \d+ N m at standstill\.$/,
    );
    const ceilings = answer.tables.find(({ title }) => title.startsWith("Ceilings"));
    const fastest = ceilings?.rows[0]?.[1] ?? "";
    expect(sentence).toContain(`Opens in ${Math.round(Number.parseFloat(fastest))} ms`);
    expect(ceilings?.rows[1]?.[2]).toBe("no friction of the valve stalls it");
  });

  it("both ceilings are shown, and the time lies between them", async () => {
    const { answer, check } = await openingWith({});
    const ceilings = answer.tables.find(({ title }) => title.startsWith("Ceilings"));
    const [fastest, slowest] = ceilings?.rows.map(([, time = ""]) => time) ?? [];
    const seconds = (shown = "") => Number.parseFloat(shown) * (shown.endsWith(" ms") ? 1e-3 : 1);
    for (const shown of [fastest, slowest]) expect(shown).toMatch(/^[\d.]+ m?s$/);
    if (check.kind !== "known") throw new Error("the valve opens");
    expect(check.value).toBeGreaterThan(seconds(fastest));
    expect(check.value).toBeLessThan(seconds(slowest));
    const figure = answer.figures.find(({ id }) => id === "opening-ceilings");
    expect(figure?.kind === "plot" && figure.marks.filter(({ kind }) => kind === "limit").length).toBe(3);
  });

  it("a limit within the dead time leaves no speed to judge the torque at, and fails as a time", async () => {
    const answers = await answersTo({ edits: { "duty.open_within.time": "10 ms" } });
    expect(checkNamed(answers, "opening-time").verdict).toBe("fails");
    const margin = checkNamed(answers, "torque-margin");
    expect(margin.kind === "unknown" && margin.needs).toEqual([
      "duty.open_within.time longer than the dead time",
    ]);
  });

  it("a definition by flow in a dry case: the end of travel stands in, and it says so", async () => {
    const answers = await answersTo({
      caseId: "dry",
      edits: { "duty.open_within.definition": "command-to-90-flow" },
    });
    expect(answerNumbered(answers, 3).sentence).toContain(
      "No liquid flows in this case: command to end of travel stands in for command to 90 % flow.",
    );
    expect(checkNamed(answers, "opening-time").assumptions.join(" ")).toContain("stands in for");
  });
});

describe("which margin rule is judged", () => {
  it("the picked rule is judged, the other is information and leaves the verdict alone", async () => {
    const answers = await answersTo();
    expect(checkNamed(answers, "torque-margin").standing).toBe("judged");
    const other = checkNamed(answers, "motorisation");
    expect([other.standing, other.verdict]).toEqual(["information", "fails"]);
    expect(answerNumbered(answers, 2).verdict).toBe("holds");
  });

  it("picked the other way round, the verdict follows", async () => {
    const answers = await answersTo({ edits: { "duty.margin_rule": "ecss-e-st-33-01c" } });
    expect(answerNumbered(answers, 2).verdict).toBe("fails");
    expect(answerNumbered(answers, 2).sentence).toContain(
      "the margin by ECSS-E-ST-33-01C, theoretical factors from memory is -36.2 %",
    );
  });
});

it("held against the stop the drive takes V/R: 24 A through 0.8 and 0.2 ohm leave 19.2 V at the driver", async () => {
  const check = checkNamed(
    await answersTo({ edits: { "drive.driver.current_limit": "40 A" }, samples: 0 }),
    "supply-sag",
  );
  expect(check.kind === "known" && check.value).toBeCloseTo(19.2, 6);
});

it("flow that would run backwards fails the wanted flow, and its velocity counts by magnitude", async () => {
  const answers = await answersTo({
    edits: { "duty.back_pressure": "21 bar(a)", "duty.largest_bore_velocity": "5 m/s" },
  });
  const flow = checkNamed(answers, "installed-flow");
  const velocity = checkNamed(answers, "velocity-body");
  expect(flow.kind === "known" && flow.value).toBeLessThan(0);
  expect(flow.verdict).toBe("fails");
  expect(velocity.kind === "known" && velocity.value).toBeGreaterThan(5);
  expect(velocity.verdict).toBe("fails");
});

it("liquid that boils ahead of the valve fails the cavitation check in words", async () => {
  const check = checkNamed(
    await answersTo({
      edits: {
        "duty.fluid_temperature": "170 degC",
        "duty.supply_pressure": "8 bar(a)",
        "duty.back_pressure": "1 bar(a)",
      },
    }),
    "cavitation",
  );
  expect(check.kind === "failed" && check.finding).toContain("boils ahead of the valve");
});
