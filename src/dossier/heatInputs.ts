/**
 * What the temperatures along the extension rest on: the declared values by name, and the extension that
 * follows from a set of their numbers. The answer about heat and the drive's temperature that follows from
 * it read the same list (docs/theory/heat.md).
 */
import { Refusal, refuse } from "../fault/index.js";
import {
  dewPoint,
  type ExtensionDesign,
  type ExtensionState,
  extensionAfter,
  LayeredTube,
  type Surroundings,
  settlingPoint,
  steadyExtension,
  surfaceFlux,
  TemperatureCurve,
} from "../physics/heat/index.js";
import type {
  Conductivity,
  Declared,
  HeatCapacity,
  Length,
  Power,
  Pressure,
  Speed,
  Temperature,
  ThermalResistance,
  Time,
} from "../quantity/index.js";
import { propertyRange, type Solid, solidProperty } from "../substance/index.js";
import { stemFillsExtension } from "./heatRule.js";
import { materialNamed } from "./ownSolid.js";
import { type Conditions, referenceTemperatures, type ValveFile } from "./schema.js";

/** Names of the values. */
export type HeatKey =
  | "valve"
  | "pressure"
  | "ambient"
  | "dew"
  | "humidity"
  | "airSpeed"
  | "emissivity"
  | "outsideFactor"
  | "length"
  | "tube"
  | "wall"
  | "tubeConductivity"
  | "tubeSpread"
  | "stem"
  | "stemConductivity"
  | "stemSpread"
  | "insulation"
  | "insulationConductivity"
  | "frost"
  | "frostConductivity"
  | "tubeToGearbox"
  | "stemToGearbox"
  | "heater"
  | "gearboxArea"
  | "gearboxDiameter"
  | "motorToGearbox"
  | "motorToAir"
  | "before"
  | "dwell"
  | "gearboxCapacity"
  | "caseCapacity"
  | "windingCapacity";

/** One value with its place in the file. */
export interface HeatValue {
  readonly key: HeatKey;
  readonly path: string;
  readonly declared: Declared | undefined;
  /** Whether nothing can be said without it, or something stands for it where it is left out. */
  readonly isNeeded: boolean;
}

/** The list of a case. */
export interface HeatInputs {
  readonly values: readonly HeatValue[];
  /** Words that are missing, as orientation and materials, by path. */
  readonly lacking: readonly string[];
  readonly words: HeatWords | undefined;
}

interface HeatWords {
  readonly orientation: "vertical" | "horizontal";
  /** Conductivity on file; undefined where a mean is declared. */
  readonly tube: Conductor | undefined;
  readonly stem: Conductor | undefined;
}

interface Conductor {
  readonly material: Solid;
  readonly curve: TemperatureCurve;
  /** Range of its data [K]. */
  readonly range: readonly [low: number, high: number];
}

/** How widely measured coefficients of air lie about the correlation, either side; common practice, no source [-]. */
const coefficientSpread = 0.2;
const extensionPath = "valve.cold.extension";

/**
 * Lists the values of a case.
 * @param at        path of its conditions: `duty`, or `cases[0]`
 * @param isFaulty  whether a field that is not known was entered with a fault
 */
export function heatInputs(
  file: ValveFile,
  conditions: Conditions,
  at: string,
  isFaulty: (path: string) => boolean,
): HeatInputs {
  const { valve, duty, drive } = file;
  const given = valve?.cold?.extension ?? {};
  const motor = drive?.motor;
  const need = (key: HeatKey, path: string, declared: Declared | undefined): HeatValue => ({
    key,
    path,
    declared,
    isNeeded: true,
  });
  const may = (key: HeatKey, path: string, declared: Declared | undefined): HeatValue => ({
    key,
    path,
    declared,
    isNeeded: false,
  });
  const of = (name: string) => `${extensionPath}.${name}`;
  const tube = conductor(file, given.tube_material, of("tube"), given.tube_conductivity, isFaulty);
  const stem = conductor(file, given.stem_material, of("stem"), given.stem_conductivity, isFaulty);
  const isInsulated = given.surface === "insulated";
  const ownStem = given.stem_diameter !== undefined || isFaulty(of("stem_diameter"));
  const byHumidity = given.dew_point === undefined && !isFaulty(of("dew_point"));
  const isCooling = given.cold_before_dwell !== undefined || isFaulty(of("cold_before_dwell"));
  const { orientation } = given;
  return {
    values: [
      need("valve", `${at}.valve_temperature`, conditions.valve_temperature),
      need("pressure", "duty.ambient_pressure", duty?.ambient_pressure),
      need("ambient", of("ambient_temperature"), given.ambient_temperature),
      byHumidity
        ? need("humidity", of("relative_humidity"), given.relative_humidity)
        : need("dew", of("dew_point"), given.dew_point),
      need("airSpeed", of("air_speed"), given.air_speed),
      need("emissivity", of("emissivity"), given.emissivity),
      need("outsideFactor", "outside heat transfer of the air", spreadAbout(coefficientSpread)),
      need("length", of("length"), given.length),
      need("tube", of("tube_outer_diameter"), given.tube_outer_diameter),
      need("wall", of("tube_wall"), given.tube_wall),
      ...tube.values.map(([path, declared]) =>
        need(tube.conductor === undefined ? "tubeConductivity" : "tubeSpread", path, declared),
      ),
      ownStem
        ? need("stem", of("stem_diameter"), given.stem_diameter)
        : need("stem", "valve.stem.diameter", valve?.stem?.diameter),
      ...stem.values.map(([path, declared]) =>
        need(stem.conductor === undefined ? "stemConductivity" : "stemSpread", path, declared),
      ),
      ...(isInsulated
        ? [
            need("insulation", of("insulation.thickness"), given.insulation?.thickness),
            need("insulationConductivity", of("insulation.conductivity"), given.insulation?.conductivity),
          ]
        : []),
      need("frost", of("frost.thickness"), given.frost?.thickness),
      need("frostConductivity", of("frost.conductivity"), given.frost?.conductivity),
      may("tubeToGearbox", of("tube_to_gearbox"), given.tube_to_gearbox),
      may("stemToGearbox", of("stem_to_gearbox"), given.stem_to_gearbox),
      may("heater", of("heater"), given.heater),
      need("gearboxArea", of("gearbox.area"), given.gearbox?.area),
      need("gearboxDiameter", of("gearbox.diameter"), given.gearbox?.diameter),
      need("motorToGearbox", of("motor.to_gearbox"), given.motor?.to_gearbox),
      need("motorToAir", "drive.motor.case_to_ambient", motor?.case_to_ambient),
      ...(isCooling
        ? [
            need("before", of("cold_before_dwell"), given.cold_before_dwell),
            need("dwell", `${at}.dwell`, conditions.dwell),
            need("gearboxCapacity", of("gearbox.heat_capacity"), given.gearbox?.heat_capacity),
            need("caseCapacity", "drive.motor.case_heat_capacity", motor?.case_heat_capacity),
            need("windingCapacity", "drive.motor.winding_heat_capacity", motor?.winding_heat_capacity),
          ]
        : []),
    ],
    lacking: [
      ...tube.lacking,
      ...stem.lacking,
      ...(orientation === undefined ? [of("orientation")] : []),
      ...(given.surface === undefined ? [of("surface")] : []),
    ],
    words:
      orientation === undefined ? undefined : { orientation, tube: tube.conductor, stem: stem.conductor },
  };
}

/** Conductivity of a part: the declared mean, that on file, or what is missing for either. */
function conductor(
  file: ValveFile,
  name: string | undefined,
  path: string,
  mean: Declared | undefined,
  isFaulty: (path: string) => boolean,
): {
  readonly values: readonly (readonly [path: string, declared: Declared | undefined])[];
  readonly conductor: Conductor | undefined;
  readonly lacking: readonly string[];
} {
  if (mean !== undefined)
    return { values: [[`${path}_conductivity`, mean]], conductor: undefined, lacking: [] };
  if (isFaulty(`${path}_conductivity`))
    return { values: [], conductor: undefined, lacking: [`${path}_conductivity`] };
  const material = materialNamed(file, name);
  if (material === undefined) return { values: [], conductor: undefined, lacking: [`${path}_material`] };
  if (material.file.conductivity === undefined)
    return { values: [], conductor: undefined, lacking: [`${path}_conductivity`] };
  const conductivity = (T: number) => solidProperty(material, "conductivity", T as Temperature);
  const { TMin, TMax } = propertyRange(material, "conductivity");
  const { low, high } = conductivity(Math.min(Math.max(referenceTemperatures.cold_K, TMin), TMax));
  const curve = new TemperatureCurve((T) => conductivity(T).value);
  return {
    values: [[`conductivity of ${material.id}`, spreadAbout((high - low) / (high + low))]],
    conductor: { material, curve, range: [TMin, TMax] },
    lacking: [],
  };
}

/** A factor of one with an even spread to either side. */
function spreadAbout(share: number): Declared {
  return {
    value: 1,
    law: { kind: "uniform", low: 1 - share, high: 1 + share },
    dimension: "ratio",
    unit: "",
    text: "1",
    readAs: "spread of published data",
    origin: "standard",
  };
}

/** An extension at one set of numbers, steady and when the stroke begins. */
export interface HeatState {
  readonly design: ExtensionDesign;
  readonly tube: LayeredTube;
  /** Where moisture begins to settle: the dew point, below 0 degC the frost point. */
  readonly dewPoint: Temperature;
  readonly steady: ExtensionState;
  /** When the stroke begins; the steady state where no time is declared. */
  readonly atStroke: ExtensionState;
  readonly coldFor: Time | undefined;
}

/** Step of the slope of the gearbox's heat [K]. */
const slopeStep = 0.5;

/**
 * The extension at a set of numbers.
 * @param at  value of a name, SI; undefined for one that was left out
 * Refuses    a stem that fills its tube, a temperature outside the data of a solid
 */
export function heatState(words: HeatWords, at: (key: HeatKey) => number | undefined): HeatState {
  const of = (key: HeatKey) => at(key) ?? Number.NaN;
  const or = (key: HeatKey, value: number) => at(key) ?? value;
  if (!(of("tube") - 2 * of("wall") > of("stem")))
    refuse(
      stemFillsExtension.code,
      "the stem fills the tube of the extension",
      stemFillsExtension.allowed,
      stemFillsExtension.mend,
    );
  const ambient = of("ambient") as Temperature;
  const air = at("dew") ?? dewPoint(ambient, Math.min(of("humidity"), 1));
  const around: Surroundings = {
    orientation: words.orientation,
    length: of("length") as Length,
    airSpeed: Math.max(of("airSpeed"), 0) as Speed,
    pressure: of("pressure") as Pressure,
    ambient,
    dewPoint: Math.min(air, ambient) as Temperature,
    emissivity: of("emissivity"),
    coefficientFactor: of("outsideFactor"),
  };
  const cold = of("valve") as Temperature;
  const tube = LayeredTube.of(
    around,
    (of("tube") / 2) as Length,
    {
      insulationThickness: or("insulation", 0) as Length,
      insulationConductivity: or("insulationConductivity", 1) as Conductivity,
      frostThickness: of("frost") as Length,
      frostConductivity: of("frostConductivity") as Conductivity,
    },
    cold,
    ambient,
  );
  const gearbox: Surroundings = { ...around, orientation: "horizontal" };
  const gearboxHeat = (T: number) => {
    const flux = (to: number) =>
      of("gearboxArea") * surfaceFlux(gearbox, of("gearboxDiameter") as Length, to as Temperature);
    const value = flux(T);
    return { value, slope: Math.min((flux(T + slopeStep) - value) / slopeStep, 0) };
  };
  const design: ExtensionDesign = {
    cold,
    length: of("length") as Length,
    tubeOuterDiameter: of("tube") as Length,
    tubeWall: of("wall") as Length,
    stemDiameter: of("stem") as Length,
    tubeConductivity: conductivityOf(words.tube, or("tubeSpread", 1), or("tubeConductivity", Number.NaN)),
    stemConductivity: conductivityOf(words.stem, or("stemSpread", 1), or("stemConductivity", Number.NaN)),
    tubeToGearbox: or("tubeToGearbox", 0) as ThermalResistance,
    stemToGearbox: or("stemToGearbox", 0) as ThermalResistance,
    sideHeat: (T) => tube.heatAt(T),
    gearboxHeat,
    heater: or("heater", 0) as Power,
    gearboxToMotor: of("motorToGearbox") as ThermalResistance,
    motorToAir: of("motorToAir") as ThermalResistance,
    ambient,
  };
  const steady = steadyExtension(design);
  checkRange(words.tube, steady.tube, cold);
  checkRange(words.stem, steady.stem, cold);
  const before = at("before");
  const coldFor = before === undefined ? undefined : ((before + of("dwell")) as Time);
  const capacities = [
    of("gearboxCapacity") as HeatCapacity,
    (of("caseCapacity") + of("windingCapacity")) as HeatCapacity,
  ] as const;
  const atStroke = coldFor === undefined ? steady : extensionAfter(design, capacities, coldFor);
  return { design, tube, dewPoint: settlingPoint(around.dewPoint), steady, atStroke, coldFor };
}

/** How far beyond its data a conductivity is followed on the way to the solution [K]. */
const followed = 25;

function conductivityOf(conductor: Conductor | undefined, factor: number, mean: number) {
  if (conductor === undefined) return () => mean;
  const { curve, range } = conductor;
  return (T: number) => factor * curve.value(Math.min(Math.max(T, range[0]), range[1] + followed));
}

/** Refuses a solution that lies beyond the data of a conductor. */
function checkRange(conductor: Conductor | undefined, profile: Float64Array, cold: number): void {
  if (conductor === undefined) return;
  let [coldest, warmest] = [cold, cold];
  for (const T of profile) {
    coldest = Math.min(coldest, T);
    warmest = Math.max(warmest, T);
  }
  for (const T of [coldest, warmest])
    if (T < conductor.range[0] || T > conductor.range[1])
      solidProperty(conductor.material, "conductivity", T as Temperature);
}

/** The state at the declared values; undefined where anything for it is missing or outside its data. */
export function nominalHeatState(
  { values, lacking, words }: HeatInputs,
  isFaulty: (path: string) => boolean,
  moved: ReadonlyMap<string, number> = new Map(),
): HeatState | undefined {
  const isOpen = values.some(
    ({ path, declared, isNeeded }) => declared === undefined && (isNeeded || isFaulty(path)),
  );
  if (words === undefined || lacking.length > 0 || isOpen) return undefined;
  const numbers = new Map(
    values.flatMap(({ key, path, declared }) =>
      declared === undefined ? [] : [[key, moved.get(path) ?? declared.value] as const],
    ),
  );
  try {
    return heatState(words, (key) => numbers.get(key));
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    return undefined;
  }
}
