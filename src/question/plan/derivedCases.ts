/**
 * Conditions of runs that the valve file has no case for. They are written as lines of a valve file, read as
 * such, and shown: whoever takes them into valve.yaml can seal the run.
 */
import { type Conditions, caseIds, conditionsOf, type Dossier, readDossier } from "../../dossier/index.js";
import type { Declared } from "../../quantity/index.js";
import { coldValve_K } from "../reductionChecks.js";
import { type Stage, stageOf } from "./stages.js";

/** A dossier with further cases. */
export interface WithDerived {
  readonly dossier: Dossier;
  /** Lines of each derived case, by its id. */
  readonly lines: ReadonlyMap<string, readonly string[]>;
}

/** Adds a case for each stage of strokes and each leak test that the valve file has none for. */
export function withDerivedCases(dossier: Dossier): WithDerived {
  const wanted = wantedCases(dossier);
  const ambient = dossier.valve.duty?.ambient_pressure;
  const text = [
    "coldturn: 1",
    ...(ambient === undefined ? [] : ["duty:", `  ambient_pressure: ${ambient.text}`]),
    "cases:",
    ...wanted.flatMap(({ lines }) => lines),
  ].join("\n");
  const read =
    wanted.length === 0 ? [] : (readDossier({ valve: { path: "plan", text } }).dossier.valve.cases ?? []);
  const { valve } = dossier;
  return {
    dossier: { ...dossier, valve: { ...valve, cases: [...(valve.cases ?? []), ...read] } },
    lines: new Map(wanted.map(({ id, lines }) => [id, lines])),
  };
}

interface WantedCase {
  readonly id: string;
  readonly lines: readonly string[];
}

function wantedCases(dossier: Dossier): readonly WantedCase[] {
  const places = caseIds(dossier).map((id) => {
    const conditions = conditionsOf(dossier, id);
    const leak = dossier.valve.cases?.find((one) => one.id === id)?.leak_test;
    return { stage: stageOf(conditions), isLeak: leak !== undefined };
  });
  const has = (stage: Stage, isLeak: boolean) =>
    places.some((place) => place.stage === stage && place.isLeak === isLeak);
  const duty = dossier.valve.duty ?? {};
  const temperature = (duty.valve_temperature ?? duty.fluid_temperature)?.value ?? Number.NaN;
  // A valve that stays warm needs no cold test.
  const wantsCold = temperature < coldValve_K;
  return [
    ...(has("dry", false) ? [] : [dryCase()]),
    ...(has("pressurised", false) ? [] : [waterCase(duty)]),
    ...(has("pressurised", true) ? [] : [leakCase("plan-leak-ambient", "nitrogen", warm, duty)]),
    ...(has("nitrogen", false) || !wantsCold ? [] : [nitrogenCase(duty)]),
    ...(has("nitrogen", true) || !wantsCold ? [] : [leakCase("plan-leak-cold", "helium", cold, duty)]),
  ];
}

const warm = "20 degC +/- 2 K";
const cold = "80 K +/- 2 K";

function caseLines(id: string, fields: readonly (readonly [string, string | undefined])[]): WantedCase {
  const given = [["id", id] as const, ...fields].flatMap(([name, value]) =>
    value === undefined ? [] : [`${name}: ${value}`],
  );
  return { id, lines: given.map((line, i) => `${i === 0 ? "  - " : "    "}${line}`) };
}

const textOf = (declared: Declared | undefined): string | undefined => declared?.text;

function dryCase(): WantedCase {
  return caseLines("plan-dry", [
    ["description", "Dry valve on the bench, nothing connected"],
    ["fluid", "none"],
    ["valve_temperature", warm],
    ["motor_temperature", warm],
    ["gearbox_temperature", warm],
    ["dwell", "1 min"],
  ]);
}

function waterCase(duty: Conditions): WantedCase {
  return caseLines("plan-pressurised", [
    ["description", "Water at the duty's pressure, outlet blocked"],
    ["fluid", "water"],
    ["fluid_temperature", warm],
    ["valve_temperature", warm],
    ["motor_temperature", warm],
    ["gearbox_temperature", warm],
    ["supply_pressure", textOf(duty.supply_pressure)],
    ["back_pressure", "1.013 bar(a)"],
    ["outlet", "dead-ended"],
    ["dwell", "5 min"],
  ]);
}

function nitrogenCase(duty: Conditions): WantedCase {
  return caseLines("plan-nitrogen", [
    ["description", "Liquid nitrogen at the duty's pressure, outlet blocked"],
    ["fluid", "nitrogen"],
    ["fluid_temperature", cold],
    ["valve_temperature", cold],
    ["motor_temperature", textOf(duty.motor_temperature)],
    ["gearbox_temperature", textOf(duty.gearbox_temperature)],
    ["supply_pressure", textOf(duty.supply_pressure)],
    ["back_pressure", "1.013 bar(a)"],
    ["outlet", "dead-ended"],
    ["dwell", textOf(duty.dwell)],
  ]);
}

/** The closed volume is the stand's own: nobody can derive it. */
function leakCase(id: string, fluid: string, temperature: string, duty: Conditions): WantedCase {
  return caseLines(id, [
    ["description", `Pressure change of ${fluid} gas shut in ahead of the valve`],
    ["fluid", fluid],
    ["fluid_temperature", temperature],
    ["valve_temperature", temperature],
    ["supply_pressure", textOf(duty.supply_pressure)],
    ["back_pressure", "1.013 bar(a)"],
    ["outlet", "dead-ended"],
    ["leak_test", "{ side: upstream }"],
  ]);
}
