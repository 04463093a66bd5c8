/**
 * How materials stand in oxygen, and the limits that mechanisms of ignition are held against: data, with
 * source and what is from memory. To add a material: its row in the file of its kind in data/oxygen/.
 */
import limitsFile from "../../data/oxygen/limits.json" with { type: "json" };
import lubricantsFile from "../../data/oxygen/lubricants.json" with { type: "json" };
import metalsFile from "../../data/oxygen/metals.json" with { type: "json" };
import polymersFile from "../../data/oxygen/polymers.json" with { type: "json" };
import { type Pressure, type Temperature, zeroCelsius } from "../quantity/index.js";

/** A value of data with where it comes from: "astm-g63-2015, from memory". */
interface Sourced {
  readonly from: string;
  readonly reference: string;
}

interface Row {
  readonly id: string;
  readonly name: string;
  readonly aliases: readonly string[];
  readonly standing: string;
  readonly note?: string;
  readonly autoignition?: Sourced & {
    readonly degC: number;
    readonly pressure_MPa: number;
    readonly uncertainty_K: number;
  };
  readonly heat_of_combustion?: Sourced & { readonly MJ_kg: number };
  readonly oxygen_index_percent?: Sourced & { readonly value: number };
  readonly threshold_pressure_MPa?: Sourced & {
    readonly low?: number;
    readonly high?: number;
    readonly above?: number;
    readonly below?: number;
  };
  readonly exemptions?: readonly (Sourced & {
    readonly pressure_MPa_gauge: number;
    readonly thickness_mm: number;
  })[];
  readonly heat_to_melt_MJ_kg?: Sourced & { readonly value: number; readonly relative: number };
  readonly is_mineral?: boolean;
  readonly stiff_below_K?: Sourced & { readonly low: number; readonly high: number };
}

/** An autoignition temperature with the oxygen pressure of its test. */
export interface Autoignition {
  readonly T: Temperature;
  readonly p: Pressure;
}

/** How a material stands in oxygen. What is not on file is undefined. */
export interface OxygenStanding {
  readonly id: string;
  readonly name: string;
  /** `usual` in oxygen practice, or `restricted`: not without a reason. */
  readonly standing: "usual" | "restricted";
  readonly note: string | undefined;
  /** A film without anything organic. */
  readonly isMineral: boolean;
  readonly autoignition: Autoignition | undefined;
  /** [J/kg]. */
  readonly heatOfCombustion: number | undefined;
  readonly oxygenIndex_percent: number | undefined;
  /** Gauge pressure up to which a wetted metal of this thickness [m] has no limit of gas velocity [Pa]. */
  readonly exemptions: readonly {
    readonly gaugePressure: number;
    readonly thickness: number;
    readonly source: string;
  }[];
  /** Pressures at which a thin rod begins to burn [Pa]; `low` is infinite where none was found. */
  readonly threshold: { readonly low: number; readonly words: string } | undefined;
  /** Heat that melts it, from the cold [J/kg]. */
  readonly heatToMelt: number | undefined;
  /** Warmest temperature at which a lubricant may be stiff [K]. */
  readonly stiffBelow: number | undefined;
  /** Where its values come from, in words. */
  readonly sources: string;
}

/** What a wetted part is made of. */
export type WettedKind = "metal" | "polymer" | "lubricant";

const rows: Readonly<Record<WettedKind, readonly Row[]>> = {
  metal: metalsFile.metals,
  polymer: polymersFile.polymers,
  lubricant: lubricantsFile.lubricants,
};

/** Standing of a material of that kind by its name or an alias; undefined where it is not on file. */
export function oxygenStanding(kind: WettedKind, name: string): OxygenStanding | undefined {
  const found = rows[kind].find((row) => [row.id, row.name, ...row.aliases].some(isNamed(name)));
  return found === undefined ? undefined : standingOf(found);
}

/** Names that a material of that kind goes by, ids first. */
export function oxygenMaterialNames(kind: WettedKind): readonly string[] {
  return [...rows[kind].map(({ id }) => id), ...rows[kind].flatMap(({ aliases }) => aliases)];
}

function isNamed(name: string): (known: string) => boolean {
  const plain = (text: string) => text.toLowerCase().replaceAll(/[\s_,-]/g, "");
  return (known) => plain(known) === plain(name);
}

function standingOf(row: Row): OxygenStanding {
  const { autoignition, threshold_pressure_MPa: threshold } = row;
  const values = [
    autoignition,
    row.heat_of_combustion,
    row.oxygen_index_percent,
    threshold,
    ...(row.exemptions ?? []),
    row.heat_to_melt_MJ_kg,
    row.stiff_below_K,
  ].flatMap((one) => (one === undefined ? [] : [`${one.reference}, from ${one.from}`]));
  return {
    id: row.id,
    name: row.name,
    standing: row.standing === "usual" ? "usual" : "restricted",
    note: row.note,
    isMineral: row.is_mineral === true,
    autoignition:
      autoignition === undefined
        ? undefined
        : {
            T: (autoignition.degC + zeroCelsius.value) as Temperature,
            p: (autoignition.pressure_MPa * mega) as Pressure,
          },
    heatOfCombustion: row.heat_of_combustion === undefined ? undefined : row.heat_of_combustion.MJ_kg * mega,
    oxygenIndex_percent: row.oxygen_index_percent?.value,
    exemptions: (row.exemptions ?? []).map(({ pressure_MPa_gauge, thickness_mm, reference, from }) => ({
      gaugePressure: pressure_MPa_gauge * mega,
      thickness: thickness_mm / kilo,
      source: `${reference}, from ${from}`,
    })),
    threshold:
      threshold === undefined
        ? undefined
        : {
            low: threshold.above === undefined ? (threshold.low ?? 0) * mega : Number.POSITIVE_INFINITY,
            words: thresholdWords(threshold),
          },
    heatToMelt: row.heat_to_melt_MJ_kg === undefined ? undefined : row.heat_to_melt_MJ_kg.value * mega,
    stiffBelow: row.stiff_below_K?.high,
    sources: [...new Set(values)].join("; "),
  };
}

const mega = 1e6;
const kilo = 1e3;
const bar = 1e5;

function thresholdWords({ low, high, above, below }: NonNullable<Row["threshold_pressure_MPa"]>): string {
  if (above !== undefined) return `above ${above} MPa`;
  if (below !== undefined) return `below ${below} MPa`;
  return `${low} to ${high} MPa`;
}

/** A stretch of a velocity curve: a speed [m/s], or a product of pressure and speed [Pa m/s], up to a pressure [Pa]. */
export interface VelocityStretch {
  readonly to: number;
  readonly speed?: number;
  readonly pressureSpeed?: number;
}

const curve = (from: {
  readonly rows: readonly {
    readonly to_bar: number;
    readonly speed_m_s?: number;
    readonly pressure_speed_bar_m_s?: number;
  }[];
}): readonly VelocityStretch[] =>
  from.rows.map(({ to_bar, speed_m_s, pressure_speed_bar_m_s: product }) => ({
    to: to_bar * bar,
    ...(speed_m_s === undefined ? {} : { speed: speed_m_s }),
    ...(product === undefined ? {} : { pressureSpeed: product * bar }),
  }));

/** What the mechanisms are held against. The limits are those of one oxidiser; of another nothing is on file. */
export const oxygenLimits = {
  /** Id of the fluid that the data are of. */
  oxidiser: limitsFile.oxidiser,
  impingement: curve(limitsFile.impingement),
  straight: curve(limitsFile.straight),
  /** Temperatures of the gas that the curves are of [K]. */
  curveTemperatures: {
    low: limitsFile.temperature_degC.low + zeroCelsius.value,
    high: limitsFile.temperature_degC.high + zeroCelsius.value,
  },
  /** Speed of gas above which particles may ignite what they strike [m/s]. */
  particleSpeed: limitsFile.particle_speed_m_s.value,
  /** An opening that takes longer fills dead ends without heating them [s]. */
  slowOpening: limitsFile.slow_opening_s.value,
  strouhal: limitsFile.strouhal,
  /** Largest resistance across the valve [ohm]. */
  continuity: limitsFile.continuity_ohm.value,
  /** Oxygen fraction from which air counts as enriched [-]. */
  enriched: limitsFile.enriched_percent.value / 100,
} as const;
