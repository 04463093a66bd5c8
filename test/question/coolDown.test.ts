/** The cool-down of question 6 on a valve with exact values; each check in each of its verdicts. */
import { describe, expect, it } from "vitest";
import { readDossier } from "../../src/dossier/index.js";
import { coolDownOf } from "../../src/predict/coolDown.js";
import { textOf } from "../project/files.js";
import { answerAloneTo, answerNumbered, answersTo, checkNamed, type Edits } from "./answering.js";
import { itProvokes, type Provocation } from "./provocations.js";

const text = textOf("test/question/hand.yaml")
  .replace("fluid: water", "fluid: nitrogen")
  .replace("fluid_temperature: 20 degC", "fluid_temperature: 78 K")
  .replace("valve_temperature: 20 degC", "valve_temperature: 80 K")
  .replace(
    "  seat:\n",
    `  cold:
    body_material: stainless-304
    ball_material: stainless-304
    seat_material: ptfe
    seat_height: 6 mm
    interference: 0.40 mm
    largest_interference: 0.60 mm
    stiffness_cold_ratio: 1.5
    fits:
      - { name: stem, kind: stem, hole_material: bronze, shaft_material: "304", diameter: 14 mm, clearance: 0.06 mm, lag: 40 K, hole_follows: body, shaft_follows: stem }
    cool_down:
      start: 20 degC
      surroundings: 20 degC
      flow: 50 g/s
      pressure: 2 bar(a)
      near: 15 K
      within: 15 min
      largest_propellant: 60 kg
      parts:
        - { name: body, kind: body, mass: 2 kg, material: stainless-304, wetted_area: 9000 mm2, passage: 32 mm, surroundings_resistance: 20 K/W }
        - { name: seats, kind: seat, mass: 24 g, material: ptfe, wetted_area: 1400 mm2, passage: 32 mm, surroundings_resistance: 1e6 K/W }
        - { name: ball, kind: ball, mass: 0.4 kg, material: stainless-304, wetted_area: 5200 mm2, passage: 32 mm, surroundings_resistance: 1e6 K/W }
        - { name: stem, kind: stem, mass: 0.12 kg, material: stainless-304, surroundings_resistance: 100 K/W }
      links:
        - { first: ball, second: stem, resistance: 2 K/W }
        - { first: body, second: seats, resistance: 3 K/W }
  seat:
`,
  );
const path = "valve.cold.cool_down";
const ask = (edits: Edits = {}, samples = 80, caseId = "duty") => answersTo({ text, edits, samples, caseId });
const alone = (edits: Edits) => answerAloneTo(6, { text, edits, samples: 80 });

const provocations: readonly Provocation[] = [
  { id: "cool-down-time", verdict: "holds", edits: {} },
  { id: "cool-down-time", verdict: "thin", edits: { [`${path}.within`]: "750 s" } },
  { id: "cool-down-time", verdict: "fails", edits: { [`${path}.within`]: "2 min" } },
  {
    id: "cool-down-time",
    verdict: "not known",
    edits: { [`${path}.within`]: undefined },
    needs: `${path}.within`,
  },
  {
    id: "cool-down-time",
    verdict: "not known",
    // 20 K where 20 degC was meant: the valve starts colder than its coolant.
    edits: { [`${path}.start`]: "20 K" },
    needs: `${path}.start: a temperature above that of the liquid`,
  },
  { id: "cool-down-propellant", verdict: "holds", edits: {} },
  { id: "cool-down-propellant", verdict: "fails", edits: { [`${path}.largest_propellant`]: "2 kg" } },
  {
    id: "cool-down-propellant",
    verdict: "not known",
    edits: { [`${path}.largest_propellant`]: undefined },
    needs: `${path}.largest_propellant`,
  },
  { id: "seat-transit", verdict: "holds", edits: {} },
  { id: "seat-transit", verdict: "fails", edits: { "valve.cold.largest_interference": "0.35 mm" } },
  {
    id: "seat-transit",
    verdict: "not known",
    edits: { "valve.cold.seat_height": undefined },
    needs: "valve.cold.seat_height",
  },
  { id: "differential-transient", verdict: "holds", edits: {} },
  { id: "differential-transient", verdict: "fails", edits: { "valve.cold.fits[0].clearance": "0.002 mm" } },
  {
    id: "differential-transient",
    verdict: "not known",
    edits: { "valve.cold.fits[0].shaft_follows": undefined },
    needs: "valve.cold.fits[0].shaft_follows",
  },
];

itProvokes(alone, provocations);

describe("what nobody gave is named, and nothing stands for it", () => {
  const fields = [
    `${path}.start`,
    `${path}.surroundings`,
    `${path}.flow`,
    `${path}.pressure`,
    `${path}.near`,
    `${path}.parts`,
    `${path}.parts[0].mass`,
    `${path}.parts[0].material`,
    `${path}.parts[1].surroundings_resistance`,
    `${path}.parts[2].passage`,
    `${path}.parts[2].kind`,
    `${path}.links[0].resistance`,
    "duty.supply_pressure",
    "duty.fluid_temperature",
    "duty.fluid",
  ];
  it.each(fields)("%s", async (field) => {
    const answers = await ask({ [field]: undefined }, 0);
    for (const id of ["cool-down-time", "cool-down-propellant"]) {
      const check = checkNamed(answers, id);
      expect(check.kind === "unknown" ? check.needs : []).toContain(field);
    }
    expect(answerNumbered(answers, 6).sentence).not.toContain("first turn");
  });

  it("a material whose specific heat is not on file asks for the specific heat", async () => {
    const check = checkNamed(
      await ask({ [`${path}.parts[1].material`]: "ptfe-filled" }, 0),
      "cool-down-time",
    );
    expect(check.kind === "unknown" ? check.needs : []).toEqual([`${path}.parts[1].specific_heat`]);
  });

  it("a part that nothing reaches asks for its wall in the coolant", async () => {
    const check = checkNamed(await ask({ [`${path}.links`]: undefined }, 0), "cool-down-time");
    expect(check.kind === "unknown" ? check.needs : []).toEqual([`${path}.parts[3].wetted_area`]);
  });

  it("a valve of which no part is a ball asks for one", async () => {
    const check = checkNamed(await ask({ [`${path}.parts[2].kind`]: "other" }, 0), "cool-down-time");
    expect(check.kind === "unknown" ? check.needs : []).toEqual([`${path}.parts: one of kind ball`]);
  });

  it("without any cool-down declared its checks wait, and the fit goes by its lag again", async () => {
    const answers = await ask({ [path]: undefined }, 0);
    for (const id of ["cool-down-time", "cool-down-propellant", "seat-transit"])
      expect(checkNamed(answers, id).verdict).toBe("not known");
    expect(checkNamed(answers, "differential-transient").verdict).toBe("holds");
  });
});

describe("cases with nothing to cool down", () => {
  it.each([
    ["dry", { "duty.fluid": "none" }],
    [
      "as warm as the valve",
      { "duty.fluid": "water", "duty.fluid_temperature": "20 degC", [`${path}.start`]: "15 degC" },
    ],
  ] as const)("%s: no check of it", async (_, edits) => {
    const { checks, figures } = answerNumbered(await ask(edits, 0), 6);
    expect(checks.map(({ id }) => id)).not.toContain("cool-down-time");
    expect(figures.map(({ id }) => id)).not.toContain("cool-down");
  });

  it("a pressure in the valve above that of the supply cannot be followed, and it says so", async () => {
    const check = checkNamed(await ask({ [`${path}.pressure`]: "12 bar(a)" }, 0), "cool-down-time");
    expect(check.kind === "unknown" ? check.needs.join() : "").toContain("above the supply pressure");
  });
});

describe("what comes out", () => {
  const of = (edits: Edits = {}) => coolDownOf(dossierWith(edits), "duty", { seed: 1, samples: 0 });
  const dossierWith = (edits: Edits) => {
    const edited = Object.entries(edits).reduce((file, [from, to]) => file.replace(from, String(to)), text);
    const { dossier, faults } = readDossier({ valve: { path: "valve.yaml", text: edited } });
    expect(faults).toEqual([]);
    return dossier;
  };
  const figure = (edits: Edits, id: string) => of(edits).chain.figures.nominal[id] ?? Number.NaN;

  it("propellant: flow times time, not below sum m int cp dT / (h_fg + cp_v dT), and that below latent heat alone", () => {
    const { nominal } = of().chain.figures;
    expect(nominal.spent).toBeCloseTo(0.05 * (nominal.turn ?? Number.NaN), 9);
    expect(nominal.least).toBeLessThan(nominal.latent ?? 0);
    expect(nominal.least).toBeLessThan(nominal.spent ?? 0);
    // 2.4 kg of stainless from 293 K to some 90 K give 80 kJ/kg (nist-cryogenics-2010), PTFE 142 kJ/kg of 24 g,
    // the air at 20 K/W some 5 W for ten minutes; nitrogen at 2 bar takes 190 kJ/kg by boiling, half as much again
    // and more by warming to 293 K.
    expect(nominal.latent).toBeGreaterThan(1.0);
    expect(nominal.latent).toBeLessThan(1.2);
    expect(nominal.least).toBeGreaterThan(0.45);
    expect(nominal.least).toBeLessThan(0.6);
  });

  it("ready is when the last of ball, seats and body is within `near`; the stem does not count", () => {
    const { nominal } = of().chain.figures;
    expect(nominal.ready).toBe(
      Math.max(nominal["cold:0"] ?? 0, nominal["cold:1"] ?? 0, nominal["cold:2"] ?? 0),
    );
  });

  it("`alike` alone counts from the last time at which they differ by more", () => {
    const { nominal } = of({ "near: 15 K": "alike: 30 K" }).chain.figures;
    const { history } = of();
    const after = history?.time_s.findLastIndex((_, k) => {
      const [body = [], seats = [], ball = []] = history.temperature_K;
      const at = [body[k] ?? 0, seats[k] ?? 0, ball[k] ?? 0];
      return Math.max(...at) - Math.min(...at) > 30;
    });
    expect(nominal.turn).toBeGreaterThanOrEqual(history?.time_s[after ?? 0] ?? Number.NaN);
    expect(nominal.turn).toBeLessThanOrEqual(history?.time_s[(after ?? 0) + 1] ?? Number.NaN);
  });

  it("a fit that binds on the way puts off the first turn until it is free", () => {
    // The hole cools with the ball, ahead of its shaft in the body: 14 mm x 0.27 % = 0.038 mm at the most.
    const { nominal } = of({
      "clearance: 0.06 mm": "clearance: 0.01 mm",
      "hole_material: bronze": "hole_material: stainless-304",
      "hole_follows: body, shaft_follows: stem": "hole_follows: ball, shaft_follows: body",
      "near: 15 K": "near: 150 K",
    }).chain.figures;
    expect(nominal["fit:0"]).toBeLessThan(0);
    expect(nominal["fit:0"]).toBeGreaterThan(0.01e-3 - 0.038e-3);
    expect(nominal.turn).toBeGreaterThan(nominal.ready ?? Number.NaN);
  });

  it("more leak from outside is never cold sooner, and enough of it never; the check names who stays warm", async () => {
    expect(figure({ "20 K/W": "5 K/W" }, "turn")).toBeGreaterThan(figure({}, "turn"));
    const check = checkNamed(
      await ask({ [`${path}.parts[0].surroundings_resistance`]: "0.05 K/W" }, 0),
      "cool-down-time",
    );
    expect(check.kind === "failed" ? check.finding : "").toMatch(
      /^body comes to rest at \d.* K, not within 15 K/,
    );
  });

  it("a link spares no time that the coolant would not: energy of the parts is that of the histories", () => {
    const { parts } = of();
    // 80.3 kJ/kg of stainless from 90 to 293 K (nist-cryogenics-2010), and 5 K more of some 250 J/(kg K).
    const body = parts[0]?.heat ?? Number.NaN;
    expect(body / 2).toBeGreaterThan(78e3);
    expect(body / 2).toBeLessThan(84e3);
  });

  it("the sheet and the picture get histories that begin at the start and end at rest", () => {
    const { history, parts } = of();
    expect(history?.temperature_K.map((column) => column[0])).toEqual([293.15, 293.15, 293.15, 293.15]);
    expect(history?.temperature_K.map((column) => column.at(-1))).toEqual(parts.map(({ rest }) => rest));
  });
});

describe("the words", () => {
  it("say time, propellant, and what moves it most, and give picture and tables", async () => {
    const petrel = textOf("demo/petrel-oxygen-main/valve.yaml");
    const answers = await answersTo({ text: petrel, samples: 100 });
    const { sentence, figures, tables } = answerNumbered(answers, 6);
    expect(sentence).toMatch(
      /The cool-down meets the declared measure for the first turn after \d+(\.\d)? min \(95 % between .*\), with \d+ kg .*of propellant let in\./,
    );
    expect(figures.map(({ id }) => id)).toEqual(expect.arrayContaining(["cool-down", "cool-down-gaps"]));
    expect(tables.filter(({ title }) => /ool-down|while it cools/.test(title)).length).toBe(3);
    const time = checkNamed(answers, "cool-down-time");
    expect(time.assumptions.join(" ")).toMatch(/What moves it most is .+: it (grows|falls) with it/);
    const spent = checkNamed(answers, "cool-down-propellant");
    expect(spent.assumptions.join(" ")).toContain("No flow does it with less than");
  });
});

describe("names of parts", () => {
  const faultsOf = (from: string, to: string) =>
    readDossier({ valve: { path: "valve.yaml", text: text.replace(from, to) } }).faults.map(
      ({ code, where, near }) => [code, where.field, near],
    );
  it("a link to a part that does not exist is a fault with the nearest name", () => {
    expect(faultsOf("second: seats", "second: seat")).toEqual([
      ["cooled-part-unknown", `${path}.links[1].second`, "seats"],
    ]);
  });
  it("a fit that follows a part that does not exist is a fault", () => {
    expect(faultsOf("hole_follows: body", "hole_follows: bodi")).toEqual([
      ["cooled-part-unknown", "valve.cold.fits[0].hole_follows", "body"],
    ]);
  });
  it("a name that two parts share is a fault of the second", () => {
    expect(faultsOf("name: seats", "name: body").map(([code]) => code)).toContain("cooled-part-repeated");
  });
});
