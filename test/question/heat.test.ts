/** Heat in question 6: each check in each of its verdicts, what the answer shows, and what the drive takes from it. */
import { describe, expect, it } from "vitest";
import { readDossier } from "../../src/dossier/index.js";
import { textOf } from "../project/files.js";
import { answerAloneTo, answerNumbered, answersTo, checkNamed, type Edits } from "./answering.js";
import { itProvokes, type Provocation } from "./provocations.js";

const text = textOf("test/question/hand.yaml")
  .replaceAll("valve_temperature: 20 degC", "valve_temperature: 90 K")
  .replace(/case_to_ambient: .*\n/, "case_to_ambient: 5 K/W\n")
  .replace(
    "  seat:\n",
    `  cold:
    inspected_at: 293 K
    body_material: stainless-304
    ball_material: stainless-304
    seat_material: ptfe
    seat_tested_at: 80 K
    extension:
      orientation: vertical
      length: 150 mm
      tube_material: stainless-304
      tube_outer_diameter: 27 mm
      tube_wall: 2 mm
      stem_material: stainless-304
      surface: bare
      frost: { thickness: 3 mm, conductivity: 0.1 W/(m K) }
      emissivity: 0.9
      ambient_temperature: 15 degC
      dew_point: 5 degC
      air_speed: 0 m/s
      tube_to_gearbox: 1 K/W
      stem_to_gearbox: 3 K/W
      largest_heat_leak: 20 W
      packing: { at: 140 mm, least_temperature: -60 degC }
      gearbox: { area: 0.03 m2, diameter: 60 mm, heat_capacity: 900 J/K, least_temperature: -30 degC }
      motor: { to_gearbox: 0.8 K/W, least_temperature: -30 degC }
      bracket: { material: 6061-T6, length: 80 mm, coupling_float: 0.5 mm }
    pipe: { material: stainless-304, length: 2 m, stiffness: 100 N/mm, largest_end_load: 1 kN }
  seat:
`,
  );
const at = "valve.cold.extension";
const ask = (edits: Edits = {}, samples = 80) => answersTo({ text, edits, samples });
const alone = (edits: Edits) => answerAloneTo(6, { text, edits, samples: 80 });
const figureOf = async (edits: Edits, id: string) => {
  const check = checkNamed(await ask(edits, 0), id);
  return check.kind === "known" ? check.value : Number.NaN;
};

it("the pull of 2 m of stainless pipe at 90 K on 100 N/mm: 0.27 % x 2 m x 100 N/mm = 540 N, by the total of the fit (test/reference/solids.json)", async () => {
  // The total is 0.271 %, printed to three digits.
  expect(await figureOf({}, "pipe-load")).toBeCloseTo(0.00271 * 2 * 100e3, -1);
});

const provocations: readonly Provocation[] = [
  { id: "gearbox-temperature", verdict: "holds", edits: {} },
  {
    id: "gearbox-temperature",
    verdict: "thin",
    edits: {
      [`${at}.ambient_temperature`]: "15 degC +/- 8 K",
      [`${at}.gearbox.least_temperature`]: "7 degC",
      [`${at}.dew_point`]: "-30 degC",
    },
  },
  { id: "gearbox-temperature", verdict: "fails", edits: { [`${at}.gearbox.least_temperature`]: "20 degC" } },
  {
    id: "gearbox-temperature",
    verdict: "not known",
    edits: { [`${at}.gearbox.least_temperature`]: undefined },
    needs: `${at}.gearbox.least_temperature`,
  },
  {
    id: "gearbox-temperature",
    verdict: "not known",
    edits: { [`${at}.air_speed`]: undefined },
    needs: `${at}.air_speed`,
  },
  {
    id: "gearbox-temperature",
    verdict: "not known",
    edits: { [`${at}.stem_material`]: "a286" },
    needs: `${at}.stem_conductivity`,
  },
  {
    id: "gearbox-temperature",
    verdict: "not known",
    edits: { "valve.cold.extension": undefined },
    needs: `${at}: its tube and stem, the air around it, gearbox and motor`,
  },
  {
    id: "gearbox-temperature",
    verdict: "not known",
    edits: { [`${at}.cold_before_dwell`]: "5 min", "duty.dwell": undefined },
    needs: "duty.dwell",
  },
  {
    id: "gearbox-temperature",
    verdict: "not known",
    edits: { [`${at}.surface`]: "insulated" },
    needs: `${at}.insulation.thickness`,
  },
  { id: "motor-temperature", verdict: "holds", edits: {} },
  { id: "motor-temperature", verdict: "fails", edits: { [`${at}.motor.least_temperature`]: "20 degC" } },
  {
    id: "motor-temperature",
    verdict: "not known",
    edits: { "drive.motor.case_to_ambient": undefined },
    needs: "drive.motor.case_to_ambient",
  },
  { id: "packing-temperature", verdict: "holds", edits: {} },
  { id: "packing-temperature", verdict: "fails", edits: { [`${at}.packing.at`]: "10 mm" } },
  {
    id: "packing-temperature",
    verdict: "not known",
    edits: { [`${at}.packing.at`]: undefined },
    needs: `${at}.packing.at`,
  },
  { id: "heat-leak", verdict: "holds", edits: {} },
  { id: "heat-leak", verdict: "fails", edits: { [`${at}.largest_heat_leak`]: "5 W" } },
  {
    id: "heat-leak",
    verdict: "not known",
    edits: { [`${at}.largest_heat_leak`]: undefined },
    needs: `${at}.largest_heat_leak`,
  },
  { id: "frost", verdict: "holds", edits: {} },
  { id: "frost", verdict: "fails", edits: { [`${at}.dew_point`]: "14 degC" } },
  {
    id: "frost",
    verdict: "not known",
    edits: { [`${at}.dew_point`]: undefined },
    needs: `${at}.relative_humidity`,
  },
  { id: "stem-gearbox-misalignment", verdict: "holds", edits: {} },
  {
    id: "stem-gearbox-misalignment",
    verdict: "fails",
    edits: { [`${at}.bracket.coupling_float`]: "0.01 mm" },
  },
  {
    id: "stem-gearbox-misalignment",
    verdict: "not known",
    edits: { [`${at}.bracket.material`]: undefined },
    needs: `${at}.bracket.material`,
  },
  { id: "pipe-load", verdict: "holds", edits: {} },
  { id: "pipe-load", verdict: "thin", edits: { "valve.cold.pipe.stiffness": "180 N/mm +/- 20 N/mm" } },
  { id: "pipe-load", verdict: "fails", edits: { "valve.cold.pipe.largest_end_load": "500 N" } },
  {
    id: "pipe-load",
    verdict: "not known",
    edits: { "valve.cold.pipe": undefined },
    needs: "valve.cold.pipe.stiffness",
  },
  { id: "polymer-state", verdict: "holds", edits: {} },
  {
    id: "polymer-state",
    verdict: "holds",
    edits: { "duty.valve_temperature": "310 K", "valve.cold.seat_tested_at": undefined },
  },
  { id: "polymer-state", verdict: "thin", edits: { "duty.valve_temperature": "82 K +/- 2 K" } },
  {
    id: "polymer-state",
    verdict: "not known",
    edits: { "valve.cold.seat_tested_at": undefined },
    needs: "valve.cold.seat_tested_at",
  },
  {
    id: "polymer-state",
    verdict: "not known",
    edits: { "valve.cold.seat_tested_at": "150 K" },
    needs: "a test of the seats at or below the temperature of the valve",
  },
  {
    id: "polymer-state",
    verdict: "not known",
    edits: { "valve.cold.seat_material": undefined },
    needs: "valve.cold.seat_material",
  },
  { id: "min-temp-material", verdict: "holds", edits: {} },
  {
    id: "min-temp-material",
    verdict: "fails",
    edits: { [`${at}.stem_material`]: "440c", [`${at}.stem_conductivity`]: "20 W/(m K)" },
  },
  {
    id: "min-temp-material",
    verdict: "holds",
    edits: { [`${at}.bracket.material`]: "carbon steel", [`${at}.ambient_temperature`]: "50 degC" },
  },
  {
    id: "min-temp-material",
    verdict: "fails",
    edits: {
      [`${at}.bracket.material`]: "carbon steel",
      // Above -29 degC, where codes ask for tests, and below the upper end of the transition, +20 degC.
      [`${at}.ambient_temperature`]: "10 degC",
      [`${at}.dew_point`]: "-40 degC",
    },
  },
];

itProvokes(alone, provocations);

it("liquid air: a bare end at 80 K fails, one at 90.5 K holds, and one under insulation holds", async () => {
  const air = async (edits: Edits) => {
    const bare = { [`${at}.frost.thickness`]: "0 mm", ...edits };
    const { checks } = answerNumbered(await ask(bare, 0), 6);
    return checks.find(({ name }) => name.includes("liquid air"))?.verdict;
  };
  expect(await air({ "duty.valve_temperature": "80 K" })).toBe("fails");
  expect(await air({ "duty.valve_temperature": "90.5 K" })).toBe("holds");
  const insulation = { thickness: "20 mm", conductivity: "0.03 W/(m K)" };
  expect(
    await air({
      "duty.valve_temperature": "80 K",
      [`${at}.surface`]: "insulated",
      [`${at}.insulation`]: insulation,
    }),
  ).toBe("holds");
});

describe("what the answer shows", () => {
  it("says how cold the gearbox is and how much leaks, with a picture of the extension and its limits", async () => {
    const answer = answerNumbered(await ask(), 6);
    expect(answer.sentence).toMatch(/The gearbox is at 2\d\d(\.\d+)? K .*W.* leak through the extension\./s);
    const picture = answer.figures.find(({ id }) => id === "heat-extension");
    expect(picture?.kind).toBe("plot");
    const labels =
      picture?.kind === "plot" ? picture.marks.map((mark) => ("label" in mark ? mark.label : "")) : [];
    for (const label of ["tube", "stem", "outside", "packing", "least of the gearbox", "dew point"])
      expect(labels).toContain(label);
    const table = answer.tables.find(({ title }) => title.startsWith("Heat through the extension"));
    expect(table?.rows.map(([what]) => what)).toContain("heat into the valve");
  });

  it("says nothing of an extension that nobody declared, and asks for it", async () => {
    const answer = answerNumbered(await ask({ "valve.cold.extension": undefined }), 6);
    expect(answer.sentence).not.toContain("gearbox");
    expect(answer.figures.map(({ id }) => id)).not.toContain("heat-extension");
    expect(answer.gaps.map(({ path }) => path)).toContain(
      `${at}: its tube and stem, the air around it, gearbox and motor`,
    );
  });

  it("names what moves the gearbox's temperature most", async () => {
    const wide = { [`${at}.ambient_temperature`]: "15 degC +/- 5 K", [`${at}.length`]: "150 mm +/- 1 mm" };
    const { drivers } = answerNumbered(await ask(wide, 64), 6);
    const first = drivers.find(({ words }) => words.startsWith("the gearbox's temperature"));
    expect(first?.path).toBe(`${at}.ambient_temperature`);
    expect(first?.words).toContain("grows with it");
  });

  it("tells that a valve warmer than the data of its solids is not followed", async () => {
    const check = checkNamed(await ask({ "duty.valve_temperature": "360 K" }, 0), "heat-leak");
    expect(check.kind === "unknown" ? check.needs.join() : "").toContain("its data reach from");
  });
});

it("time tells: the drive is warmer after ten minutes in the cold than after ten hours, and then steady", async () => {
  const standing = (time: string) => figureOf({ [`${at}.cold_before_dwell`]: time }, "gearbox-temperature");
  const [soon, late, steady] = [
    await standing("10 min"),
    await standing("10 h"),
    await figureOf({}, "gearbox-temperature"),
  ];
  expect(soon).toBeGreaterThan(late + 0.5);
  expect(late).toBeCloseTo(steady, 1);
});

describe("the drive takes its temperatures from the extension", () => {
  const open: Edits = { "duty.gearbox_temperature": undefined, "duty.motor_temperature": undefined };
  const openingOf = async (edits: Edits) => {
    const answers = await ask({ ...open, ...edits }, 0);
    const check = checkNamed(answers, "opening-time");
    return { answers, time: check.kind === "known" ? check.value : Number.NaN };
  };

  it("where the case leaves them open, with a note in question 3", async () => {
    const { answers, time } = await openingOf({});
    expect(time).toBeGreaterThan(0);
    const { notices } = answerNumbered(answers, 3);
    expect(
      notices.filter(({ code }) => code === "drive-temperature-derived").map(({ field }) => field),
    ).toEqual(["duty.gearbox_temperature", "duty.motor_temperature"]);
  });

  it("and opens more slowly where the air is colder: stiffer grease in the gears", async () => {
    const stiff = { "drive.stages[0].no_load_torque": "20 mN m", "drive.stages[0].no_load_cold_ratio": "10" };
    const cold = { [`${at}.ambient_temperature`]: "-20 degC", [`${at}.dew_point`]: "-30 degC" };
    const [warm, frozen] = [await openingOf(stiff), await openingOf({ ...stiff, ...cold })];
    expect(frozen.time).toBeGreaterThan(1.02 * warm.time);
  });

  it("and not where they are declared or have a fault", async () => {
    const { notices } = answerNumbered(await ask({}, 0), 3);
    expect(notices.map(({ code }) => code)).not.toContain("drive-temperature-derived");
    const faulty = text.replace("gearbox_temperature: 20 degC", "gearbox_temperature: 20 J");
    const { dossier, faults } = readDossier({ valve: { path: "valve.yaml", text: faulty } });
    expect(faults.length).toBe(1);
    expect(dossier.valve.duty?.gearbox_temperature).toBeUndefined();
  });

  it("and without the extension they stay not known", async () => {
    const answers = await ask({ ...open, "valve.cold.extension": undefined }, 0);
    const check = checkNamed(answers, "opening-time");
    expect(check.kind === "unknown" ? check.needs : []).toContain("duty.gearbox_temperature");
  });
});
