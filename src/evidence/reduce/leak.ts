/** Leakage from the change of pressure in a closed gas volume, with the temperature of the gas. */
import { type Contributor, mean, straightLine } from "../../numerics/index.js";
import { type Declared, lawDeviation, standardAtmosphere, zeroCelsius } from "../../quantity/index.js";
import type { LogRecord } from "./record.js";
import { type ReducedDefinition, type ReducedQuantity, reduce } from "./reduced.js";

/** A leak test as declared. */
export interface LeakTest {
  readonly volume: Declared;
  readonly side: "upstream" | "downstream";
  /** Density of the gas [kg/m3] at a pressure [Pa] and temperature [K]. */
  readonly density: (p: number, T: number) => number;
}

/** State that the volume of a leak is counted at: 101.325 kPa and 20 degC. */
export const leakReference = {
  pressure_Pa: standardAtmosphere.value,
  temperature_K: zeroCelsius.value + 20,
} as const;

const definition: ReducedDefinition = {
  id: "leak",
  name: "Leakage from the change of pressure",
  dimension: "volume flow",
  equation: "q = -V d(rho(p, T))/dt / rho_ref; with an ideal gas V T_ref / p_ref d(p/T)/dt",
  source: "astm-e2930, pressure change; common practice for the density of a real gas",
  assumptions: [
    "Volume of gas counted at 101.325 kPa and 20 degC.",
    "The sensor shows the mean temperature of the gas, and the volume does not change.",
    "It is the leak of this gas at this pressure and temperature: another fluid leaks otherwise.",
  ],
};

/** Blocks that the record is averaged over: enough for a line, wide enough for independent means. */
const blockCount = 60;
const leastBlocks = 8;

/**
 * Leakage of a leak test.
 *
 *   q = -+ V/rho_ref  d rho/dt,   slope of a straight line through block means of rho(p, T)
 *
 * @param record  whole log of the test;  @returns  positive where gas is lost through the seats [m3/s]
 */
export function leakage(record: LogRecord, { volume, side, density }: LeakTest): ReducedQuantity {
  const unknown = (because: string): ReducedQuantity => ({
    known: false,
    id: definition.id,
    name: definition.name,
    because,
  });
  const role = side === "upstream" ? "pressure_upstream" : "pressure_downstream";
  const p = record.values(role);
  const T = record.values("temperature_fluid");
  if (p === undefined) return unknown(`no channel holds the pressure ${side}`);
  if (T === undefined)
    return unknown(
      "no channel holds the temperature of the gas: without it a drift of 1 K looks like a leak",
    );
  const blocks = blockMeans(record.time_s, [p, T]);
  if (blocks.length < leastBlocks)
    return unknown("the record has too few readings of pressure and temperature");
  const times = blocks.map(([t]) => t);
  const way = side === "upstream" ? -1 : 1;
  const span = (times.at(-1) ?? 0) - (times[0] ?? 0);
  const densities = blocks.map(([, pressure, temperature]) => density(pressure, temperature));
  const line = straightLine(times, densities);
  const middle = { p: mean(blocks.map(([, one]) => one)), T: mean(blocks.map(([, , one]) => one)) };
  const perPascal = slopeOf((x) => density(x, middle.T), middle.p, 1e-4 * middle.p);
  const perKelvin = slopeOf((x) => density(middle.p, x), middle.T, 1e-2);
  const reference = density(leakReference.pressure_Pa, leakReference.temperature_K);
  // A reading in steps may be wrong by part of a step at either end; a noise wider than that is in the scatter.
  const ends = (step: number) => (Math.SQRT2 * step) / Math.sqrt(12) / span;
  const contributors: readonly Contributor[] = [
    {
      name: "scatter of pressure and temperature",
      value: line.slope,
      standardUncertainty: line.slopeUncertainty,
      degreesOfFreedom: line.degreesOfFreedom,
    },
    { name: "closed volume", value: volume.value, standardUncertainty: lawDeviation(volume.law) },
    {
      name: "steps of the pressure reading",
      value: 0,
      standardUncertainty: perPascal * ends(record.step(role)),
    },
    {
      name: "steps of the temperature reading",
      value: 0,
      standardUncertainty: Math.abs(perKelvin) * ends(record.step("temperature_fluid")),
    },
    {
      name: "scale of the pressure sensor",
      value: 1,
      standardUncertainty: record.sensorUncertainty(role) / middle.p,
    },
    {
      name: "scale of the temperature sensor",
      value: 1,
      standardUncertainty: record.sensorUncertainty("temperature_fluid") / middle.T,
    },
  ];
  const plain = straightLine(
    times,
    blocks.map(([, pressure]) => density(pressure, middle.T)),
  );
  const uncorrected = (way * volume.value * plain.slope) / reference;
  return reduce(
    {
      ...definition,
      assumptions: [
        ...definition.assumptions,
        `Over ${span.toPrecision(3)} s the gas went from ${firstOf(blocks, 2).toFixed(2)} to ${lastOf(blocks, 2).toFixed(2)} K; without that correction the leakage would read ${(6e7 * uncorrected).toPrecision(3)} mL/min.`,
      ],
    },
    (x) =>
      (way * (x[1] ?? 0) * (((x[0] ?? 0) + (x[2] ?? 0) + (x[3] ?? 0)) * ((x[4] ?? 1) / (x[5] ?? 1)))) /
      reference,
    contributors,
  );
}

type Block = readonly [time: number, pressure: number, temperature: number];

/** Means of time and both channels over blocks of neighbouring samples with a reading in both. */
function blockMeans(time: Float64Array, [p, T]: readonly [Float64Array, Float64Array]): readonly Block[] {
  const known: number[] = [];
  for (let i = 0; i < time.length; i++) if (Number.isFinite(p[i]) && Number.isFinite(T[i])) known.push(i);
  const size = Math.max(1, Math.ceil(known.length / blockCount));
  const blocks: Block[] = [];
  for (let from = 0; from < known.length; from += size) {
    const part = known.slice(from, from + size);
    const of = (values: Float64Array) => mean(part.map((i) => values[i] ?? 0));
    blocks.push([of(time), of(p), of(T)]);
  }
  return blocks;
}

function slopeOf(f: (x: number) => number, x: number, step: number): number {
  return (f(x + step) - f(x - step)) / (2 * step);
}

const firstOf = (blocks: readonly Block[], k: 1 | 2): number => blocks[0]?.[k] ?? 0;
const lastOf = (blocks: readonly Block[], k: 1 | 2): number => blocks.at(-1)?.[k] ?? 0;
