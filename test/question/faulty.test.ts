/**
 * A field entered with a fault is not known: no default and no fallback takes its place. Oracle: the
 * program at two valid values of the field. A number that differs between them rests on the field, and
 * with the fault it must be gone.
 */
import { readFileSync } from "node:fs";
import { expect, it } from "vitest";
import { parse, stringify } from "yaml";
import { applyDefaults, isFaulty, readDossier } from "../../src/dossier/index.js";
import { columns, OwnAnswers, predict, runBlock } from "../../src/predict/index.js";
import { type Answer, answerAlone, answersOf } from "../../src/question/index.js";
import type { Section } from "../predict/randomValve.js";
import { having, petrel } from "../predict/valveFile.js";

const base = having(petrel(), { correlations: undefined });
const floating = having(base, {
  "valve.packing.torque": undefined,
  "valve.packing.material": "PTFE",
  "valve.packing.height": "12 mm",
  "duty.margin_phase": "acceptance",
});
/** The demo's file: it has the materials of question 6 and the closed volumes of question 7. */
const whole: Section = parse(
  readFileSync(new URL("../../demo/petrel-oxygen-main/valve.yaml", import.meta.url), "utf8"),
);
const ventedDown = having(whole, { "valve.cavity.vent.side": "downstream" });
const lagged = having(whole, {
  "valve.cold.extension.insulation": { thickness: "20 mm", conductivity: "0.03 W/(m K)" },
});
const worn = having(whole, { "valve.strength.life_cycles": "20000" });
const warmMotor = having(base, { "duty.motor_temperature": "60 degC" });
/** The stream drives the gears back as the valve closes. */
const pushed = having(base, {
  "valve.hydrodynamic.scale": "5",
  "valve.seat.friction": "0.01",
  "valve.seat.preload": "1 N",
  "valve.packing.torque": "0.001 N m",
  "drive.motor.inertia": "6e-5 kg m2",
  "drive.supply.open_circuit_voltage": "8 V",
});
const trunnion = having(base, {
  "valve.support": "trunnion",
  "valve.seat.seal_diameter": "44 mm",
  "valve.bearing": { diameter: "16 mm", friction: "0.1" },
});
/** A dead end that the opening fills, steel on steel, and a grease. */
const ignitable = having(whole, {
  "oxygen.configuration.dead_ends": { answer: "yes", who: "design", when: "2031-03-02" },
  "oxygen.configuration.lubricated.answer": "yes",
  "oxygen.parts[2].autoignition_pressure": "103 bar(a)",
  "oxygen.parts[4].material": "440c",
  "oxygen.parts[6]": {
    name: "grease",
    kind: "lubricant",
    material: "pfpe-grease",
    who: "assembly",
    when: "2031-03-02",
    mass: "0.2 g",
    batch: "PG-7",
    tested: "report L-12",
  },
});
const stemLink = { first: "body", second: "stem", resistance: "5 K/W" };
const table = [
  { angle: "10 deg", flow_coefficient: "0 Kv" },
  { angle: "45 deg", flow_coefficient: "40 Kv" },
  { angle: "90 deg", flow_coefficient: "150 Kv" },
];
const row = (angle: string) => [
  { angle: "10 deg", flow_coefficient: "0 Kv" },
  { ...table[1], angle },
  table[2],
];

/** Optional fields that a default or another value stands for where they are left out. */
const fields: readonly (readonly [
  path: string,
  fault: unknown,
  one: unknown,
  other: unknown,
  on?: Section,
])[] = [
  ["duty.ambient_pressure", "1 baar", "1.013 bar(a)", "0.8 bar(a)"],
  ["duty.probability", "99.9", "0.5", "0.9999", having(base, { "duty.open_within.time": "0.24 s" })],
  ["duty.capacity_margin", "15 N", "0 %", "400 %"],
  ["duty.largest_bore_velocity", "10 kg/s", "1 m/s", "100 m/s"],
  ["duty.throttle.lowest", "45 m", "45 %", "90 %"],
  ["duty.mass_flow", "-2 kg/s", "3.8 kg/s", "2 kg/s"],
  ["duty.open_within.definition", "command-to-ende", "command-to-end", "command-to-90-flow"],
  ["duty.close_within.definition", "command-to-ende", "command-to-end", "command-to-90-flow"],
  ["duty.close_within.time", "500", "0.5 s", "0.2 s"],
  ["duty.close_within.no_faster_than", "50", "1 ms", "400 ms"],
  ["duty.margin_phase", "acceptence", "preliminary", "acceptance"],
  ["duty.margin_rule", "nasa", "nasa-std-5017a", "ecss-e-st-33-01c", floating],
  ["duty.back_pressure_at_start", "1 baar", "1.013 bar(a)", "10 bar(a)"],
  ["duty.dwell", "30 minutos", "1 s", "24 h"],
  ["valve.travel", "90 dgr", "90 deg", "80 deg"],
  ["valve.flow_coefficient", "150", "150 Kv", "100 Kv"],
  ["valve.contraction", "6.3", "0.63", "0.9"],
  ["valve.characteristic", row("-10 deg"), table, row("60 deg")],
  ["valve.characteristic", row("45 kg"), table, row("60 deg")],
  [
    "valve.recovery",
    [{ angle: "90 deg", factor: "6" }],
    [{ angle: "90 deg", factor: "0.6" }],
    [{ angle: "90 deg", factor: "0.9" }],
  ],
  ["valve.cavitation_onset", "10", "0.10", "0.25"],
  ["valve.damping", "0.1 N", "0 N m s/rad", "0.5 N m s/rad"],
  [
    "valve.hydrodynamic.curve",
    [
      { angle: "0 deg", coefficient: "0" },
      { angle: "90 m", coefficient: "0.1" },
    ],
    [
      { angle: "0 deg", coefficient: "0" },
      { angle: "90 deg", coefficient: "0.1" },
    ],
    [
      { angle: "0 deg", coefficient: "0" },
      { angle: "90 deg", coefficient: "0.5" },
    ],
  ],
  ["valve.hydrodynamic.scale", "1 m", "0.1", "3"],
  ["valve.seat.friction", "10", "0.1", "0.2"],
  ["valve.seat.friction_cold_ratio", "100", "1", "2"],
  ["valve.seat.preload_cold_ratio", "100", "0.5", "1"],
  ["valve.seat.breakaway_ratio", "0.5", "1.2", "2"],
  ["valve.seat.dwell_ratio", "0.5", "1", "1.6"],
  ["valve.seat.stribeck_speed", "2 mm", "2 mm/s", "9 mm/s"],
  ["valve.seat.pressure_effect", "dual piston", "single piston", "double piston", trunnion],
  ["valve.packing.torque", "1.2 N", "1.2 N m", "2.4 N m", floating],
  ["valve.packing.friction", "10", "0.1", "0.3", floating],
  ["valve.packing.radial_stress", "5 m", "5 MPa", "9 MPa", floating],
  ["valve.packing.breakaway_ratio", "0.5", "1", "3"],
  ["valve.packing.cold_ratio", "-1", "1", "2"],
  ["valve.stem.collar_breakaway_ratio", "0.5", "1", "3"],
  ["valve.stem.collar_cold_ratio", "-1", "1", "2"],
  ["valve.stem.collar_friction", "10", "0.1", "0.3"],
  ["valve.bearing.breakaway_ratio", "0.5", "1", "3", trunnion],
  ["valve.bearing.cold_ratio", "-1", "1", "2", trunnion],
  ["drive.motor.torque_constant_drift", "-0.001", "-0.0012 1/K", "-0.0003 1/K", warmMotor],
  ["drive.motor.damping", "0.1", "0 N m s/rad", "1e-5 N m s/rad"],
  ["drive.stages[0].starting_efficiency", "40", "40 %", "80 %"],
  ["drive.stages[0].back_efficiency", "2", "0.3", "0.8", pushed],
  ["drive.stages[0].no_load_cold_ratio", "-1", "4", "15"],
  ["drive.stages[0].backlash", "1", "0.5 deg", "1 deg"],
  ["drive.driver.undervoltage_margin", "1", "0 V", "4 V"],
  ["drive.position_sensor.resolution", "1", "0.1 deg", "1 deg"],
  ["drive.stop_restitution", "2", "0", "0.5"],
  ["valve.cold.inspected_at", "20 deg", "20 degC", "0 degC", whole],
  ["valve.cold.largest_interference", "1 kg", "0.35 mm", "0.2 mm", whole],
  ["valve.cold.least_contact_stress", "1 kg", "1.5 MPa", "5 MPa", whole],
  ["valve.cold.largest_contact_stress", "1 kg", "25 MPa", "10 MPa", whole],
  ["valve.cold.fits[0].least_clearance", "1 kg", "0.01 mm", "0.03 mm", whole],
  ["valve.cold.fits[0].temperature", "90 J", "100 K", "200 K", whole],
  ["valve.cold.fits[0].hole_follows", "bodi", "body", "bonnet", whole],
  ["valve.cold.cool_down.near", "15 kg", "15 K", "60 K", whole],
  ["valve.cold.cool_down.alike", "25 kg", "25 K", "3 K", whole],
  ["valve.cold.cool_down.within", "20", "20 min", "10 min", whole],
  ["valve.cold.cool_down.largest_propellant", "70", "70 kg", "30 kg", whole],
  ["valve.cold.cool_down.parts[2].specific_heat", "650", "550 J/(kg K)", "750 J/(kg K)", whole],
  ["valve.cold.cool_down.parts[3].wetted_area", "52 mm", "5200 mm2", "9000 mm2", whole],
  [
    "valve.cold.cool_down.links",
    "none",
    [{ first: "body", second: "bonnet", resistance: "1 K/W" }, stemLink],
    [{ first: "body", second: "bonnet", resistance: "0.5 K/W" }, stemLink],
    whole,
  ],
  ["valve.cold.seat_tested_at", "80 J", "80 K", "200 K", whole],
  ["valve.cold.extension.tube_conductivity", "10", "8 W/(m K)", "14 W/(m K)", whole],
  ["valve.cold.extension.stem_conductivity", "10", "8 W/(m K)", "14 W/(m K)", whole],
  ["valve.cold.extension.stem_diameter", "14", "14 mm", "10 mm", whole],
  ["valve.cold.extension.dew_point", "7 J", "0 degC", "7 degC", whole],
  ["valve.cold.extension.relative_humidity", "60", "30 %", "60 %", whole],
  ["valve.cold.extension.tube_to_gearbox", "1 kg", "0.5 K/W", "5 K/W", whole],
  ["valve.cold.extension.stem_to_gearbox", "1 kg", "0.5 K/W", "5 K/W", whole],
  ["valve.cold.extension.heater", "8 kg", "1 W", "8 W", whole],
  ["valve.cold.extension.cold_before_dwell", "10 kg", "1 min", "5 h", whole],
  ["valve.cold.extension.surface", "naked", "bare", "insulated", lagged],
  ["valve.cold.extension.largest_heat_leak", "10 kg", "10 W", "20 W", whole],
  ["valve.cold.extension.gearbox.least_temperature", "-30 J", "-30 degC", "-20 degC", whole],
  ["valve.cold.extension.motor.least_temperature", "-30 J", "-30 degC", "-20 degC", whole],
  ["valve.cold.extension.packing.least_temperature", "-30 J", "-40 degC", "-20 degC", whole],
  ["valve.cold.extension.bracket.coupling_float", "1 kg", "0.8 mm", "0.5 mm", whole],
  ["valve.cold.pipe.largest_end_load", "1 kg", "1 kN", "2 kN", whole],
  ["valve.cavity.fill", "2", "1", "0.7", whole],
  ["valve.cavity.wall_stiffness", "1 kg", "5 GPa", "20 GPa", whole],
  ["valve.cavity.self_relief.difference", "1 kg", "10 bar", "35 bar", whole],
  ["valve.cavity.vent.largest_leak", "1 kg", "1 g/s", "1 kg/s", ventedDown],
  ["trapped.segments[0].fill", "2", "1", "0.7", whole],
  ["trapped.segments[0].pressure", "1 kg", "28 bar(a)", "10 bar(a)", whole],
  ["trapped.segments[0].wall_stiffness", "1 kg", "20 GPa", "100 GPa", whole],
  ["valve.strength.standard", "nasa", "nasa-std-5001b", "ecss-e-st-32-10c", whole],
  ["valve.strength.verified_by", "tests", "analysis", "test", whole],
  ["valve.strength.yield_factor", "0.5", "1.5", "3", whole],
  ["valve.strength.ultimate_factor", "0.5", "1.5", "3", whole],
  ["valve.strength.life_factor", "0.5", "1", "50", worn],
  ["valve.strength.static_concentration", "never", "counted", "ductile not counted", whole],
  ["valve.strength.endurance_ratio", "5", "0.35", "0.6", worn],
  ["valve.strength.flaw.length", "1 s", "1 mm", "6 mm", whole],
  ["valve.strength.least_lateral_expansion", "1 s", "0.3 mm", "1 mm", whole],
  ["valve.stem.material", "a2866", "a286", "alloy-k500", whole],
  ["valve.stem.sections[0].material", "a2866", "a286", "alloy-k500", whole],
  ["valve.stem.sections[0].concentration", "0.5", "1.2", "1.6", whole],
  ["valve.stem.sections[1].concentration", "0.5", "1.2", "1.6", whole],
  ["valve.stem.sections[2].at", "95 s", "10 mm", "95 mm", whole],
  ["valve.stem.sections[2].temperature", "95 s", "90 K", "290 K", whole],
  ["valve.stem.sections[0].yield_strength", "1 kg", "700 MPa", "400 MPa", whole],
  ["valve.stem.sections[0].ultimate_strength", "1 kg", "1100 MPa", "700 MPa", whole],
  ["valve.stem.sections[0].fracture_toughness", "1 MPa", "100 MPa√m", "50 MPa√m", whole],
  ["valve.stem.joints[0].shaft_material", "a2866", "copper-ofhc", "brass", whole],
  ["valve.stem.joints[2].keyway_depth", "3 kg", "2 mm", "3.5 mm", whole],
  ["valve.stem.joints[0].hub_yield", "1 kg", "300 MPa", "200 MPa", whole],
  ["oxygen.ignition_margin", "100 J", "100 K", "10 K", ignitable],
  ["oxygen.compression.final_pressure", "28 kg", "28 bar(a)", "60 bar(a)", ignitable],
  ["oxygen.parts[2].autoignition_temperature", "430 J", "430 degC", "900 degC", ignitable],
  ["oxygen.parts[3].rubs", ["lower bush"], "lower bush", "seats", ignitable],
  ["oxygen.parts[6].temperature", "250 J", "250 K", "210 K", ignitable],
];

/** The demo's file has bands of its own for cold, shock, line and more: its nominal values tell enough. */
const samplesOf = (data: Section) => (data.valve !== undefined && "cold" in Object(data.valve) ? 0 : 30);

/** Questions that a field can reach, by the beginning of its path; of any other all are asked. */
const reached: readonly (readonly [start: string, numbers: readonly number[]])[] = [
  ["oxygen.", [8]],
  ["valve.cold.cool_down.", [6]],
  ["valve.boundary.", [5, 9]],
  ["valve.strength.", [5]],
  ["valve.stem.sections", [4, 5]],
  ["valve.stem.joints", [4, 5]],
  ["line.priming", [9]],
];

async function ask(
  data: Section,
  path: string,
  samples = samplesOf(data),
): Promise<{
  readonly faults: number;
  readonly answers: readonly Answer[];
  /** Nominal figures, those of the closed volumes among them. */
  readonly figures: Readonly<Record<string, number>>;
}> {
  const { dossier, faults } = readDossier({ valve: { path: "valve.yaml", text: stringify(data) } });
  const options = { seed: 1, samples, effectSamples: 0 };
  const prediction = await predict(applyDefaults(dossier).dossier, "duty", options, async (plan, blocks) =>
    blocks.map((block) => runBlock(plan, block)),
  );
  const { nominal } = prediction;
  const volumes = new OwnAnswers(prediction.dossier, "duty", { seed: 1, samples: 0 }).trapped;
  const closed = [volumes.cavity, ...volumes.segments].map((volume) => volume?.figures.nominal ?? {});
  return {
    faults: faults.length,
    answers:
      reached.find(([start]) => path.startsWith(start))?.[1].map((one) => answerAlone(prediction, one)) ??
      answersOf(prediction),
    figures: {
      ...Object.fromEntries(columns.map(({ id }, k) => [id, nominal.row[k] ?? Number.NaN])),
      ...Object.fromEntries(
        closed.flatMap((of, k) => Object.entries(of).map(([id, value]) => [`volume ${k} ${id}`, value])),
      ),
    },
  };
}

/** What a check says in numbers, by its id: verdict, value, limit and whether it is judged. */
function said(answers: readonly Answer[]): ReadonlyMap<string, string> {
  return new Map(
    answers
      .flatMap(({ checks }) => checks)
      .filter(({ id }) => id !== countsSamples)
      .map((check) => [
        check.name,
        JSON.stringify([
          check.verdict,
          check.standing,
          check.kind === "known" ? check.value : undefined,
          check.kind === "known" ? [check.limit.most, check.limit.least] : undefined,
        ]),
      ]),
  );
}

/** How many samples a band has is no matter of the field. */
const countsSamples = "sample-size";
/** A figure of the grid that moves by less than this moves by rounding. */
const rounding = 1e-9;

const rows = fields.map(([path, fault, one, other, on = base]) => ({ path, fault, one, other, on }));

it.each(rows)("$path: $fault takes no other value in its place", async ({ path, fault, one, other, on }) => {
  const [bad, a, b] = await Promise.all(
    [fault, one, other].map((value) =>
      ask(having(on, { [path]: value }), path, path === "duty.probability" ? 30 : undefined),
    ),
  );
  if (bad === undefined || a === undefined || b === undefined)
    throw new Error("three answers were asked for");
  expect([bad.faults > 0, a.faults, b.faults]).toEqual([true, 0, 0]);
  const resting = Object.keys(a.figures).filter((id) => {
    const [x = Number.NaN, y = Number.NaN] = [a.figures[id], b.figures[id]];
    return Math.abs(x - y) > rounding * Math.abs(x);
  });
  const figures = resting.filter((id) => !Number.isNaN(bad.figures[id] ?? Number.NaN));
  expect(figures, "figures that rest on the field").toEqual([]);
  const [first, second, left] = [said(a.answers), said(b.answers), said(bad.answers)];
  const standing = [...left].filter(
    ([name, words]) => first.get(name) !== second.get(name) && !words.startsWith('["not known"'),
  );
  expect(standing, "checks that rest on the field").toEqual([]);
  const moved = [...first].filter(([name, words]) => second.get(name) !== words);
  expect(resting.length + moved.length, "what the two valid values tell apart").toBeGreaterThan(0);
});

it("a check says which field has the fault, and the sentence does", async () => {
  const { answers } = await ask(having(base, { "drive.stages[0].starting_efficiency": "40" }), "drive");
  const opening = answers.find(({ id }) => id === "opening");
  expect(opening?.sentence).toContain("drive.stages[0].starting_efficiency has a fault");
  const check = opening?.checks.find(({ id }) => id === "opening-time");
  expect(check).toMatchObject({ verdict: "not known", faulty: ["drive.stages[0].starting_efficiency"] });
});

it("a misspelt name and a part that is not on file leave no room for a default either", () => {
  const read = (text: string) => readDossier({ valve: { path: "valve.yaml", text } }).dossier;
  expect(isFaulty(read("valve: { travle: 80 deg }\n"), "valve.travel")).toBe(true);
  const part = applyDefaults(read("valve: { part: no such valve, seat: { friction: 0.1 } }\n"));
  expect(part.defaults.map(({ field }) => field)).not.toContain("valve.travel");
  expect(part.defaults.map(({ field }) => field)).toContain("valve.seat.stribeck_speed");
  expect(isFaulty(read("valve:\n  travel:\n"), "valve.travel")).toBe(false);
});

it("no notice speaks of a table that has become not known", () => {
  const { notices } = readDossier({
    valve: { path: "valve.yaml", text: stringify(having(base, { "valve.characteristic": row("-10 deg") })) },
  });
  expect(notices.filter(({ code }) => code === "field-superseded")).toEqual([]);
});

it("every default on file for a plain field is among those that are tried", () => {
  const plain = JSON.parse(readFileSync(new URL("../../data/defaults/plain.json", import.meta.url), "utf8"));
  const tried = new Set(fields.map(([path]) => path.replace("[0]", "[]")));
  expect(
    plain.defaults.map(({ field }: { field: string }) => field).filter((field: string) => !tried.has(field)),
  ).toEqual([]);
});
