/**
 * The next best test: each kind that the dossier allows, ranked by how far it is expected to narrow the
 * quantity that the decision hangs on, from what is declared and learnt so far. Linear model with
 * normal errors about the nominal valve; derivation in docs/theory/next-test.md.
 */
import { applyDefaults, caseIds, conditionsOf, type Dossier, type TestKind } from "../../dossier/index.js";
import { Refusal } from "../../fault/index.js";
import { expectedNarrowing, normalCdf } from "../../numerics/index.js";
import { timeDefinitions } from "../../physics/motion/index.js";
import {
  flowMark,
  isAnswerable,
  lawQuantile,
  openingDefinition,
  type Plan,
  planFor,
  strokeOf,
  ValveSample,
} from "../../predict/index.js";
import { type KindOfTest, kindsOfTest } from "./kinds.js";

/** What the decision hangs on. */
export interface Decision {
  readonly caseId: string;
  readonly quantity: "opening time" | "breakaway margin";
  readonly words: string;
  readonly value: number;
  /** Standard uncertainty now, linear about the nominal valve; in s, or as a ratio. */
  readonly standardUncertainty: number;
}

/** One test that could be made. */
export interface RatedTest {
  readonly kind: TestKind;
  readonly words: string;
  readonly known: true;
  readonly caseId: string;
  /** Standard uncertainty of the decision quantity that is expected after it. */
  readonly after: number;
  /** 1 - after/before [-]. */
  readonly narrowing: number;
  /** Inputs that it narrows and that the decision hangs on, most first. */
  readonly tells: readonly { readonly path: string; readonly narrowing: number }[];
  readonly duration_s: number | undefined;
  readonly propellant_kg: number | undefined;
  /** Narrowing per hour, where the time is declared [1/h]. */
  readonly perHour: number | undefined;
}

export interface UnratedTest {
  readonly kind: TestKind;
  readonly words: string;
  readonly known: false;
  readonly because: string;
}

export interface NextTests {
  readonly decision: Decision;
  /** Best first, then those that cannot be rated. */
  readonly tests: readonly (RatedTest | UnratedTest)[];
}

/** Scores of the differences: a share of a standard deviation, so that a stall is seldom crossed. */
const step = 0.25;
/** Inputs named for a test at most, and the least narrowing that is. */
const mostTold = 4;
const leastTold = 0.05;

/**
 * Ranks the tests.
 * @param caseId   whose opening the decision hangs on
 * @returns        undefined where its motion is not known
 */
export function nextTests(dossier: Dossier, caseId: string): NextTests | undefined {
  const plan = planOf(dossier, caseId);
  if (plan === undefined || !isAnswerable(plan, "motion")) return undefined;
  const decision = decisionOf(plan);
  const base = decision.at(plan.space.nominal);
  const gradient = new Map(
    plan.space.inputs.map((input, j) => {
      const { high, low } = moved(plan, j);
      return [input.path, (decision.at(high) - decision.at(low)) / (2 * step)] as const;
    }),
  );
  const finite = new Map([...gradient].map(([path, g]) => [path, Number.isFinite(g) ? g : 0] as const));
  const before = Math.sqrt([...finite.values()].reduce((sum, g) => sum + g * g, 0));
  const tests = kindsOfTest
    .map((kind) => bestCase(dossier, kind, finite, before, caseId))
    .sort((a, b) => (b.known ? b.narrowing : -1) - (a.known ? a.narrowing : -1));
  return {
    decision: {
      caseId,
      quantity: decision.quantity,
      words: decision.words,
      value: base,
      standardUncertainty: before,
    },
    tests,
  };
}

function planOf(dossier: Dossier, caseId: string): Plan | undefined {
  return planFor(applyDefaults(dossier, caseId).dossier, caseId);
}

/** Values with one input moved down and up by a share of its standard deviation. */
function moved(plan: Plan, input: number): { readonly low: Float64Array; readonly high: Float64Array } {
  const at = (score: number) => {
    const values = Float64Array.from(plan.space.nominal);
    for (const { slot, declared } of plan.space.inputs[input]?.members ?? []) {
      // About the nominal value: half a quantile on either side of the median, laid at the nominal.
      const { law, value } = declared;
      const shift = lawQuantile(law, value, normalCdf(score)) - lawQuantile(law, value, 0.5);
      values[slot] = value + shift;
    }
    return values;
  };
  return { low: at(-step), high: at(step) };
}

function sampleAt(plan: Plan, values: Float64Array): ValveSample {
  const sample = new ValveSample(plan);
  sample.values.set(values);
  sample.updateFlow();
  sample.updateTorque();
  return sample;
}

const timeTolerance = 1e-6;

/** Opening time where the nominal valve opens; else how far its torque is from breaking away. */
function decisionOf(plan: Plan): {
  readonly quantity: Decision["quantity"];
  readonly words: string;
  readonly at: (values: Float64Array) => number;
} {
  const wanted = openingDefinition(plan.dossier);
  const definition =
    wanted === "command-to-90-flow" && plan.medium.kind !== "liquid" ? "command-to-end" : wanted;
  const index = timeDefinitions.findIndex(({ id }) => id === definition);
  const time = (values: Float64Array) => {
    const sample = sampleAt(plan, values);
    const mark = flowMark(sample, "opening");
    const { times, stroke } = strokeOf(plan, sample, sample.train(), "opening", mark, {
      tolerance: timeTolerance,
    });
    return stroke.outcome === "arrived" ? (times[index] ?? Number.NaN) : Number.NaN;
  };
  if (Number.isFinite(time(plan.space.nominal)))
    return {
      quantity: "opening time",
      words: `opening time of ${plan.caseId}, from ${timeDefinitions[index]?.label ?? definition}`,
      at: time,
    };
  return {
    quantity: "breakaway margin",
    words: `torque at standstill over breakaway torque less one, ${plan.caseId}`,
    at: (values) => {
      const sample = sampleAt(plan, values);
      const train = sample.train();
      const current = Math.min(
        train.openCircuitVoltage / (train.resistance + train.supplyResistance),
        train.currentLimit,
      );
      const available = (train.torqueConstant * current - train.forward.friction) / train.forward.loadShare;
      const demand = (sample.breakaway[0] ?? 0) + sample.dwellTorqueAt(0) + (sample.fluidTorque[0] ?? 0);
      return demand > 0 ? available / demand - 1 : Number.NaN;
    },
  };
}

/** The case of a kind that narrows most; why there is none. */
function bestCase(
  dossier: Dossier,
  kind: KindOfTest,
  gradient: ReadonlyMap<string, number>,
  before: number,
  decisionCase: string,
): RatedTest | UnratedTest {
  const fitting = caseIds(dossier).filter((id) => {
    const { fluid, outlet } = conditionsOf(dossier, id);
    return kind.fits({ fluid, outlet });
  });
  // A test of the duty itself is the last resort: a case describes what is meant to be tested.
  const cases = fitting.length > 1 ? fitting.filter((id) => id !== "duty") : fitting;
  const unrated = (because: string): UnratedTest => ({
    kind: kind.kind,
    words: kind.words,
    known: false,
    because,
  });
  if (cases.length === 0) return unrated("no case of the valve file has the conditions of this test");
  const reasons: string[] = [];
  const rated = cases.flatMap((id): RatedTest[] => {
    try {
      const plan = planOf(dossier, id);
      if (plan === undefined || !isAnswerable(plan, "motion")) {
        reasons.push(`${id}: not known is ${plan?.missing.motion.join(", ") ?? ""}`);
        return [];
      }
      return [rate(dossier, plan, kind, gradient, before)];
    } catch (thrown) {
      if (!(thrown instanceof Refusal)) throw thrown;
      reasons.push(`${id}: ${thrown.faults[0]?.found ?? ""}`);
      return [];
    }
  });
  const ranked = [...rated].sort(
    (a, b) =>
      b.narrowing - a.narrowing || Number(b.caseId === decisionCase) - Number(a.caseId === decisionCase),
  );
  return ranked[0] ?? unrated(reasons.join("; "));
}

function rate(
  dossier: Dossier,
  plan: Plan,
  kind: KindOfTest,
  gradient: ReadonlyMap<string, number>,
  before: number,
): RatedTest {
  const { space } = plan;
  const paths = [...new Set([...gradient.keys(), ...space.inputs.map(({ path }) => path)])];
  const nominal = sampleAt(plan, space.nominal);
  const horizon = kind.horizon(plan, nominal);
  const base = kind.observe(plan, nominal, horizon);
  const errors = base.flatMap(({ values, share }) => {
    const range = Math.max(...values) - Math.min(...values);
    const error = share * Math.max(range, 0.1 * Math.max(...values.map(Math.abs)));
    return Array.from(values, () => error);
  });
  const flat = (values: Float64Array) =>
    kind.observe(plan, sampleAt(plan, values), horizon).flatMap((one) => [...one.values]);
  const rows = errors.map(() => new Float64Array(paths.length));
  space.inputs.forEach(({ path }, j) => {
    const { low, high } = moved(plan, j);
    const [down, up] = [flat(low), flat(high)];
    const column = paths.indexOf(path);
    errors.forEach((error, i) => {
      const slope = ((up[i] ?? 0) - (down[i] ?? 0)) / (2 * step) / error;
      const row = rows[i];
      if (row !== undefined && error > 0 && Number.isFinite(slope)) row[column] = slope;
    });
  });
  const g = paths.map((path) => gradient.get(path) ?? 0);
  const { after, inputs } = expectedNarrowing(g, rows);
  const narrowing = before > 0 ? 1 - Math.sqrt(after) / before : 0;
  const declared = dossier.valve.tests?.find((one) => one.kind === kind.kind);
  const duration_s = declared?.duration?.value;
  return {
    kind: kind.kind,
    words: kind.words,
    known: true,
    caseId: plan.caseId,
    after: Math.sqrt(after),
    narrowing,
    tells: paths
      .map((path, j) => ({ path, narrowing: 1 - Math.sqrt(inputs[j] ?? 1), weight: (g[j] ?? 0) ** 2 }))
      .filter((one) => one.narrowing >= leastTold && one.weight > 0)
      .sort((a, b) => b.weight * b.narrowing - a.weight * a.narrowing)
      .slice(0, mostTold)
      .map(({ path, narrowing: own }) => ({ path, narrowing: own })),
    duration_s,
    propellant_kg: declared?.propellant?.value,
    perHour: duration_s === undefined ? undefined : narrowing / (duration_s / 3600),
  };
}
