/**
 * Checks of question 11 that rest on what the logs were reduced to (coldturn reduce): torque at six
 * points, leakage with its uncertainty and against its class, the clocks of the logs.
 */
import { gasLeakLimit } from "../dossier/index.js";
import type { Reduced, Reduction } from "../evidence/index.js";
import { normalCdf } from "../numerics/index.js";
import { type Check, type CheckDefinition, type Limit, marginTo, verdictOf } from "./check.js";
import type { Context, Evidence } from "./context.js";
import { missingOf } from "./judge.js";

/** The checks, in the order in which they are shown. */
export function reductionChecks(context: Context): readonly Check[] {
  return [
    torqueShape(context),
    leakUncertainty(context),
    seatLeak(context, "ambient"),
    seatLeak(context, "cold"),
    timeBase(context),
  ];
}

function reductionsOf({ evidence }: Context): readonly Reduction[] {
  return evidence.reductions ?? [];
}

/** A valve below this counts as cold [K]: halfway between ambient and the fluids. */
export const coldValve_K = 190;

function isCold({ valveTemperature_K }: Reduction): boolean {
  return (valveTemperature_K ?? coldValve_K) < coldValve_K;
}

const shapeDefinition: CheckDefinition = {
  id: "torque-shape-test",
  designChecks: ["torque-shape-test"],
  failureModes: ["test-error"],
  name: "Measured torque at six points",
  dimension: "number",
  equation:
    "warm without pressure, warm under pressure, cold under pressure, each opening and closing: T_measured within the predicted band widened by k u",
  source: "common practice, no source",
  assumptions: [
    "Breakaway and mean running torque of each stroke, from a sensor at the stem where there is one, else from the motor current.",
    "The predicted band is that of the run's own case; a torque under nitrogen or water says nothing of oxygen.",
  ],
};

const k = 2;
const sixPoints = [
  ["warm without pressure", false, false],
  ["warm under pressure", false, true],
  ["cold under pressure", true, true],
] as const;

/** The six points, each with the torques that were measured there. */
export function torquePoints(evidence: Evidence) {
  return sixPoints.flatMap(([words, cold, pressurised]) =>
    (["opening", "closing"] as const).map((sense) => {
      const torques = (evidence.reductions ?? [])
        .filter((one) => isCold(one) === cold && one.isPressurised === pressurised)
        .flatMap(({ runId, strokes }) =>
          strokes
            .filter((stroke) => stroke.sense === sense)
            .flatMap((stroke) => stroke.torques.map((torque) => ({ runId, ...torque }))),
        );
      return { words: `${words}, ${sense}`, cold, pressurised, torques };
    }),
  );
}

function torqueShape(context: Context): Check {
  const points = torquePoints(context.evidence);
  const outside = points.flatMap(({ words, torques }) =>
    torques.flatMap(({ runId, what, measured, predicted }) => {
      if (!measured.known || predicted === undefined) return [];
      const reach = k * measured.standardUncertainty;
      const isInside =
        measured.value >= predicted.low_Nm - reach && measured.value <= predicted.high_Nm + reach;
      return isInside
        ? []
        : [
            `${what} torque of run ${runId} (${words}) ${measured.value.toPrecision(3)} N m, predicted ${predicted.low_Nm.toPrecision(3)} to ${predicted.high_Nm.toPrecision(3)} N m`,
          ];
    }),
  );
  const frame = { ...shapeDefinition, unit: "points", standing: "judged" } as const;
  const missing = points.filter(({ torques }) => !torques.some(({ measured }) => measured.known));
  const limit = { least: points.length, words: "points, each with its torque within the band" };
  if (outside.length > 0)
    return {
      ...frame,
      kind: "failed",
      verdict: "fails",
      finding: `outside the predicted band: ${outside.join("; ")}`,
      limit,
      probability: undefined,
      wanted: context.wanted,
    };
  if (missing.length > 0)
    return {
      ...frame,
      kind: "unknown",
      verdict: "not known",
      needs: missing.map(({ words }) => `a reduced run ${words}`),
    };
  return {
    ...frame,
    kind: "known",
    verdict: "holds",
    value: points.length,
    band: undefined,
    limit,
    margin: 0,
    probability: undefined,
    wanted: context.wanted,
  };
}

const leakAssumptions: readonly string[] = [
  "Volume of gas at 101.325 kPa and 20 degC, lost through the closed seats.",
  "It is the leakage of the test's own gas, pressure and temperature: helium, nitrogen or water tick nothing for oxygen.",
];

const leakDefinition: CheckDefinition = {
  id: "leak-unc",
  designChecks: ["leak-unc"],
  failureModes: ["seat-leak", "test-error"],
  name: "Leak result with temperature correction",
  dimension: "volume flow",
  equation: "q(p, T) + k u <= q_limit, q from the density of the gas at its own temperature",
  source: "gum-2008, expanded uncertainty; jcgm-106-2012, guard band",
  assumptions: leakAssumptions,
};

type LeakRun = Reduction & { readonly q: Reduced };

function leakRuns(context: Context): readonly LeakRun[] {
  return reductionsOf(context).flatMap((one) => (one.leak?.known ? [{ ...one, q: one.leak }] : []));
}

/** The run that leaks most, its uncertainty counted. */
function worstOf(runs: readonly LeakRun[]): LeakRun | undefined {
  const most = ({ q }: LeakRun) => q.value + k * q.standardUncertainty;
  return [...runs].sort((a, b) => most(b) - most(a))[0];
}

function leakUncertainty(context: Context): Check {
  const limit = context.duty.largest_leak;
  return leakCheck(context, leakDefinition, worstOf(leakRuns(context)), {
    limit: limit === undefined ? undefined : { most: limit.value, words: "duty.largest_leak" },
    needs: missingOf({ "duty.largest_leak": limit }),
    absent: "a leak test (a case with leak_test), imported and reduced",
    assumptions: [],
  });
}

function seatDefinition(where: "ambient" | "cold"): CheckDefinition {
  return {
    id: `seat-leak-${where}`,
    designChecks: ["seat-leak"],
    failureModes: ["seat-leak"],
    name: `Seat leakage ${where === "ambient" ? "at ambient temperature" : "cold"}`,
    dimension: "volume flow",
    equation: "q + k u <= rate of the class x nominal size",
    source: "iso-5208-2015; iec60534-4; fci-70-2-2013; mss-sp-61; bs-6364-1984, by the declared class",
    assumptions: leakAssumptions,
  };
}

function seatLeak(context: Context, where: "ambient" | "cold"): Check {
  const { valve } = context.prediction.dossier.valve;
  const declared = valve?.seat?.leakage?.[where];
  const size = valve?.nominal_size;
  const limit = declared === undefined || size === undefined ? undefined : gasLeakLimit(declared, size.value);
  const isVisual = limit?.most_m3_s === 0;
  const fieldPath = `valve.seat.leakage.${where}`;
  return leakCheck(
    context,
    seatDefinition(where),
    worstOf(leakRuns(context).filter((one) => isCold(one) === (where === "cold"))),
    {
      limit:
        limit === undefined || isVisual
          ? undefined
          : {
              most: limit.most_m3_s,
              words: `${limit.name}, nominal size ${(1e3 * (size?.value ?? 0)).toFixed(0)} mm`,
            },
      needs: [
        ...missingOf({ [fieldPath]: declared, "valve.nominal_size": size }),
        ...(isVisual
          ? ["a look at the test: this class allows no visible leakage, which no pressure shows"]
          : []),
        ...(declared !== undefined && size !== undefined && limit === undefined
          ? [`a limit of ${declared} for gas at this size`]
          : []),
      ],
      absent: `a leak test ${where === "ambient" ? "at ambient temperature" : "in the cold"} (a case with leak_test), imported and reduced`,
      assumptions:
        limit === undefined
          ? []
          : [`The rate of the class comes from: ${limit.from}. Read the edition that binds you.`],
    },
  );
}

function leakCheck(
  context: Context,
  definition: CheckDefinition,
  run: LeakRun | undefined,
  how: {
    readonly limit: Limit | undefined;
    readonly needs: readonly string[];
    readonly absent: string;
    readonly assumptions: readonly string[];
  },
): Check {
  const frame = {
    ...definition,
    unit: "mL/min",
    standing: "judged",
    assumptions: [...definition.assumptions, ...how.assumptions],
  } as const;
  if (run === undefined || how.limit === undefined)
    return {
      ...frame,
      kind: "unknown",
      verdict: "not known",
      needs: [...how.needs, ...(run === undefined ? [how.absent] : [])],
    };
  const { value, standardUncertainty: u, interval95 } = run.q;
  const most = how.limit.most ?? Number.POSITIVE_INFINITY;
  const estimate = u > 0 ? normalCdf((most - value) / u) : value <= most ? 1 : 0;
  const probability = { estimate, low: estimate, high: estimate };
  const isGuarded = value + k * u <= most;
  const plain = verdictOf(value, how.limit, probability, context.wanted);
  return {
    ...frame,
    assumptions: [
      ...frame.assumptions,
      `Run ${run.runId}, ${run.fluid ?? "gas not stated"} at ${run.valveTemperature_K?.toFixed(0) ?? "an unknown number of"} K.`,
    ],
    kind: "known",
    verdict: plain === "holds" && !isGuarded ? "thin" : plain,
    value,
    band: { low: interval95[0], high: interval95[1], coverage: 0.95 },
    limit: how.limit,
    margin: marginTo(value, how.limit),
    probability,
    wanted: context.wanted,
  };
}

const clockDefinition: CheckDefinition = {
  id: "time-base",
  designChecks: ["time-base"],
  failureModes: ["test-error"],
  name: "Clock alignment of logs",
  dimension: "ratio",
  equation: "u_clock / t_measured <= 0.1, u_clock between the files of one run",
  source: "gum-2008, combined uncertainty; the tenth: common practice, no source",
  assumptions: [
    "Channels of one file share its clock: their offset cancels.",
    "t_measured is the shortest time from command to end of travel, or the shortest time that a stroke shows.",
  ],
};

const largestShare = 0.1;

function timeBase(context: Context): Check {
  const shares = reductionsOf(context).flatMap(({ strokes, clockUncertainty_s }) =>
    strokes.flatMap(({ times }) => {
      const known = times.flatMap((time) => (time.known ? [time] : []));
      const whole = known.find(({ id }) => id === "command-to-end") ?? known.at(-1);
      return whole === undefined || !(whole.value > 0) ? [] : [clockUncertainty_s / whole.value];
    }),
  );
  const frame = { ...clockDefinition, unit: "%", standing: "judged" } as const;
  if (shares.length === 0)
    return {
      ...frame,
      kind: "unknown",
      verdict: "not known",
      needs: ["a run with a stroke, imported and reduced (coldturn reduce)"],
    };
  const value = Math.max(...shares);
  const limit = { most: largestShare, words: "a tenth of the time tested" };
  return {
    ...frame,
    kind: "known",
    verdict: value <= largestShare ? "holds" : "fails",
    value,
    band: undefined,
    limit,
    margin: marginTo(value, limit),
    probability: undefined,
    wanted: context.wanted,
  };
}
