/** Verdicts at the edges of their meaning: no throttling, no torque, no forward flow, no oxidiser, no clause. */
import { readFileSync } from "node:fs";
import { expect, it } from "vitest";
import { readDossier } from "../../src/dossier/index.js";
import { answerNumbered, answersTo, checkNamed } from "./answering.js";

it("without throttling wide open alone is judged [iec60534-2-1, by hand]: Kv 36, 0.271 bar, 0.0338 of choking", async () => {
  const answers = await answersTo({
    edits: { "duty.throttle": undefined, "duty.mass_flow": "3 kg/s" },
    samples: 0,
  });
  // Water of 20 degC and 10 bar: 998.6 kg/m3, boiling at 2339 Pa, critical pressure 220.64 bar [iapws-r6-95];
  // of 15 degC, to which the relative density refers: 999.1 kg/m3.
  const [density, reference, boils, critical, kv, FL] = [998.6, 999.1, 0.02339, 220.64, 36, 0.9];
  const ofLines = (1 + 8) / 5 ** 2;
  const ofValve = (3600 / density / kv) ** 2 * (density / reference);
  const squared = 10 / (ofLines + ofValve);
  const drop = ofValve * squared;
  const inlet = 11 - squared / 5 ** 2;
  const choking = drop / (FL ** 2 * (inlet - (0.96 - 0.28 * Math.sqrt(boils / critical)) * boils));
  const choke = checkNamed(answers, "choke");
  const cavitation = checkNamed(answers, "cavitation");
  expect(drop).toBeCloseTo(0.271, 3);
  expect(choking).toBeCloseTo(0.0338, 4);
  expect(choke.kind === "known" && choke.value / choking).toBeCloseTo(1, 3);
  expect(cavitation.kind === "known" && cavitation.value / (drop / (inlet - boils) / 0.8)).toBeCloseTo(1, 3);
  expect(choke.assumptions.join(" ")).toContain("wide open is the only operating opening");
  expect(choke.assumptions.join(" ")).toMatch(/nominal valve: 90(\.0+)? deg/);
});

it("a drive without voltage has the margin -100 % by every rule, never less, and the check says why", async () => {
  const answers = await answersTo({ edits: { "drive.supply.open_circuit_voltage": "0.1 V" }, samples: 50 });
  for (const id of ["torque-margin", "motorisation", "end-torque"]) {
    const check = checkNamed(answers, id);
    expect(check.verdict, id).toBe("fails");
    expect(check.kind === "known" && check.value, id).toBe(-1);
    expect(check.kind === "known" && (check.band?.low ?? -1), id).toBeGreaterThanOrEqual(-1);
  }
  expect(checkNamed(answers, "torque-margin").assumptions.join(" ")).toContain(
    "the drive has no torque there",
  );
});

it("with the back pressure above the supply nothing of forward flow holds", async () => {
  const answers = await answersTo({ edits: { "duty.back_pressure": "21 bar(a)" }, samples: 50 });
  const capacity = checkNamed(answers, "flow-capacity");
  expect(capacity.verdict).toBe("fails");
  expect(capacity.kind === "failed" && capacity.finding).toBe(
    "the back pressure, 21 bar(a), is above the supply pressure, 11 bar(a), and the liquid runs backwards",
  );
  for (const id of ["choke", "cavitation", "opening-time", "closing-time"])
    expect(checkNamed(answers, id), id).toMatchObject({
      verdict: "not known",
      needs: ["a supply pressure above the back pressure"],
    });
  expect(answerNumbered(answers, 1).sentence).toMatch(/^It does not pass the flow: .* runs backwards/);
  expect(answerNumbered(answers, 3).sentence).toContain("runs backwards");
});

it.each([
  ["80 mm", "25 mm", "small"],
  ["25 mm", "32 mm", "large"],
  ["32 mm", "32 mm", undefined],
  ["80 mm", "49 mm", undefined],
])("a nominal size of %s and a bore of %s: %s [common practice, no source]", (size, bore, side) => {
  const text = `valve: { nominal_size: ${size}, bore: ${bore} }\n`;
  const { notices } = readDossier({ valve: { path: "valve.yaml", text } });
  const found = notices.find(({ code }) => code === "bore-unlike-size")?.text;
  if (side === undefined) expect(found).toBeUndefined();
  else expect(found).toContain(`is ${side} for a nominal size of ${size}`);
});

it("factors from memory are said to be, and no clause is named that nobody knows", async () => {
  const answers = await answersTo({ samples: 0 });
  for (const id of ["torque-margin", "motorisation"]) {
    const check = checkNamed(answers, id);
    expect(check.source).toContain("factors from memory");
    expect(check.kind === "known" && check.limit.words).toContain("factors from memory");
  }
  expect(checkNamed(answers, "torque-margin").source).toContain("clause number not known");
  expect(answerNumbered(answers, 2).sentence).toContain("factors from memory");
});

it("the question of ignition does not apply to water, and says nothing good of it", async () => {
  const { sentence, verdict } = answerNumbered(await answersTo({ samples: 0 }), 8);
  expect(sentence).toBe(
    "Does not apply: water is no oxidiser. Nothing is said of an oxidiser that reaches the valve otherwise, nor of a fuel in air.",
  );
  expect(verdict).toBe("not known");
});

it("the question of ignition stays open where the duty has oxygen, and where nobody said which fluid", async () => {
  const petrel = readFileSync(new URL("../../demo/petrel-oxygen-main/valve.yaml", import.meta.url), "utf8");
  for (const text of [petrel, "name: Petrel\n"])
    expect(answerNumbered(await answersTo({ text, samples: 0 }), 8).verdict).toBe("not known");
});

it("what is only stated has no margin in the picture of all checks", async () => {
  const figure = answerNumbered(await answersTo({ edits: { "valve.ice_torque": "0 N m" }, samples: 0 }), 12)
    .figures[0];
  if (figure?.kind !== "interval") throw new Error("no picture of all checks");
  const labels = figure.checks.map(({ label }) => label);
  expect(labels).toContain("Breakaway torque");
  expect(labels).not.toContain("Ice and moisture torque");
});
