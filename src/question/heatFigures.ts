/** Pictures and tables of the heat through the extension. */
import { condensedAir } from "../physics/heat/index.js";
import type { Figure } from "../picture/index.js";
import { type ColdChain, type HeatAnswer, ownBand } from "../predict/index.js";
import { type Dimension, zeroCelsius } from "../quantity/index.js";
import type { Table } from "./answer.js";
import type { Context } from "./context.js";
import { inUnit } from "./inUnit.js";
import { spreadOf } from "./judgeOwn.js";
import { bandWords, percentWords, quantityWords, valueWords } from "./words.js";

/** Lowest temperatures of what stands on the extension, and where its packing sits. */
export interface HeatLimits {
  readonly gearbox: number | undefined;
  readonly motor: number | undefined;
  readonly packing: number | undefined;
  readonly packingAt: number | undefined;
}

/** Where gearbox and motor are drawn beyond the end of the extension, as shares of its length. */
const places = { gearbox: 1.08, motor: 1.2 } as const;

/** Room above and below the curves, and where the condensation of air comes into view [K]. */
const room = 15;
const nearLiquidAir = 120;

/** Temperature along the extension, with gearbox and motor at its end. */
export function heatFigures({ profile, extension }: HeatAnswer, limits: HeatLimits): readonly Figure[] {
  if (profile === undefined) return [];
  const { length_m, dewPoint_K } = profile;
  const mm = (values: readonly number[]) => inUnit(values, "length", "mm");
  const x = mm(profile.x_m);
  const at = (figure: string) => extension.figures.nominal[figure] ?? Number.NaN;
  const ends = (figure: string) =>
    spreadOf(extension.figures, figure) ?? { low: at(figure), high: at(figure) };
  const bodies = (["gearbox", "motor"] as const).map((body) => {
    const steady = body === "gearbox" ? "steadyGearbox" : "steadyMotor";
    const x = mm([places[body] * length_m])[0] ?? Number.NaN;
    return { x, now: at(body), nowEnds: ends(body), steady: at(steady), steadyEnds: ends(steady) };
  });
  const frosted = at("frosted");
  const coverage = spreadOf(extension.figures, "gearbox")?.coverage;
  const lowest = [
    ["least of the gearbox", limits.gearbox],
    ["least of the motor", limits.motor === limits.gearbox ? undefined : limits.motor],
    ["least of the packing", limits.packing],
  ] as const;
  const packing = at("packing");
  const packingEnds = ends("packing");
  const bars = [
    ...bodies.flatMap(({ nowEnds, steadyEnds }) => [nowEnds, steadyEnds]),
    ...(limits.packingAt === undefined || Number.isNaN(packing) ? [] : [packingEnds]),
  ].flatMap(({ low, high }) => [low, high]);
  const shown = [...profile.tube_K, ...profile.stem_K, ...bars];
  const least = Math.min(...shown) - room;
  const most = Math.max(...shown, profile.ambient_K) + room;
  return [
    {
      kind: "plot",
      id: "heat-extension",
      title: "Temperature along the extension",
      words: `Steady temperature of tube, stem and outside against the distance from the cold end, with gearbox and motor at its end: ${quantityWords(at("steadyGearbox"), "temperature", "K")} and ${quantityWords(at("steadyMotor"), "temperature", "K")} steady, ${quantityWords(at("gearbox"), "temperature", "K")} and ${quantityWords(at("motor"), "temperature", "K")} when the stroke begins. Frost lies on some ${(1e3 * frosted).toFixed(0)} mm of ${quantityWords(length_m, "length", "mm")}.${coverage === undefined ? "" : ` Bars at gearbox, motor and packing hold ${percentWords(coverage)} of the samples.`}`,
      x: { label: "Distance from the cold end", unit: "mm" },
      y: { label: "Temperature", unit: "K", range: [Math.floor(least / 20) * 20, Math.ceil(most / 20) * 20] },
      marks: [
        { kind: "line", role: "prediction", label: "tube", x, y: [...profile.tube_K] },
        { kind: "line", role: "demand", label: "stem", x, y: [...profile.stem_K] },
        { kind: "line", role: "neutral", label: "outside", x, y: [...profile.outside_K] },
        {
          kind: "points",
          role: "prediction",
          label: "gearbox, motor at the stroke",
          x: bodies.map((body) => body.x),
          y: bodies.map(({ now }) => now),
          low: bodies.map(({ nowEnds }) => nowEnds.low),
          high: bodies.map(({ nowEnds }) => nowEnds.high),
        },
        ...(profile.coldFor_s === undefined
          ? []
          : [
              {
                kind: "points",
                role: "neutral",
                label: "gearbox, motor steady",
                x: bodies.map((body) => body.x),
                y: bodies.map(({ steady }) => steady),
                low: bodies.map(({ steadyEnds }) => steadyEnds.low),
                high: bodies.map(({ steadyEnds }) => steadyEnds.high),
              } as const,
            ]),
        ...(limits.packingAt === undefined || Number.isNaN(packing)
          ? []
          : [
              {
                kind: "points",
                role: "demand",
                label: "packing",
                x: mm([limits.packingAt]),
                y: [packing],
                low: [packingEnds.low],
                high: [packingEnds.high],
              } as const,
            ]),
        ...lowest.flatMap(([label, value]) =>
          value === undefined
            ? []
            : [{ kind: "limit", axis: "y", value, label, forbidden: "below" } as const],
        ),
        { kind: "limit", axis: "y", value: zeroCelsius.value, label: "0 degC", role: "neutral" },
        { kind: "limit", axis: "y", value: dewPoint_K, label: "dew point", role: "neutral" },
        ...(least < nearLiquidAir
          ? [
              {
                kind: "limit",
                axis: "y",
                value: condensedAir.oxygenBoils,
                label: "liquid air",
                forbidden: "below",
              } as const,
            ]
          : []),
      ],
    },
  ];
}

/** Temperatures, heat and forces one by one. */
export function heatTables(
  { prediction }: Context,
  { extension, pipe, profile }: HeatAnswer,
): readonly Table[] {
  const isCooling = profile?.coldFor_s !== undefined;
  const air = profile?.fromAir_W;
  const plain = (what: string, watts: number | undefined) =>
    watts === undefined ? undefined : [what, valueWords(watts, undefined, "power", "W"), ""];
  const rows = [
    row(extension, "gearbox", "gearbox when the stroke begins", "temperature", "K"),
    row(extension, "motor", "motor when the stroke begins", "temperature", "K"),
    isCooling ? row(extension, "steadyGearbox", "gearbox, steady", "temperature", "K") : undefined,
    isCooling ? row(extension, "steadyMotor", "motor, steady", "temperature", "K") : undefined,
    row(extension, "packing", "stem at the packing", "temperature", "K"),
    row(extension, "outside", "outside at the cold end", "temperature", "K"),
    row(extension, "frosted", "length under frost", "length", "mm"),
    row(extension, "leak", "heat into the valve", "power", "W"),
    plain("of it from the air to the tube", air?.tube),
    plain("of it from the air to the gearbox", air?.gearbox),
    plain("of it from the air to the motor", air?.motor),
    profile === undefined || profile.heater_W === 0
      ? undefined
      : plain("of it from the heater", profile.heater_W),
    row(extension, "shift", "shift of the stem in its coupling", "length", "mm"),
    row(pipe, "force", "pull of the pipe at the valve's ends", "force", "N"),
  ].flatMap((one) => (one === undefined ? [] : [one]));
  if (rows.length === 0) return [];
  return [
    {
      title: `Heat through the extension, and what it shrinks, ${prediction.caseId}`,
      columns: ["what", "value", "band"],
      rows,
    },
  ];
}

function row(
  chain: ColdChain,
  figure: string,
  what: string,
  dimension: Dimension,
  unit: string,
): readonly string[] | undefined {
  const value = chain.figures.nominal[figure] ?? Number.NaN;
  if (Number.isNaN(value) || (chain.missing[figure] ?? []).length > 0) return undefined;
  const band = ownBand(chain.figures.samples[figure] ?? new Float64Array(0));
  const hasBand = band !== undefined && band.high > band.low;
  return [
    what,
    valueWords(value, hasBand ? band : undefined, dimension, unit),
    hasBand ? `${percentWords(band.coverage)} ${bandWords(band, dimension, unit)}` : "",
  ];
}
