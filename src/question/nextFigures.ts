/** Picture and list of the tests that could be made next. */
import type { NextTests, RatedTest } from "../evidence/index.js";
import type { Figure } from "../picture/index.js";
import { formatQuantity } from "../quantity/index.js";
import type { Table } from "./answer.js";

const percent = (share: number): number => 100 * share;

/** Expected narrowing, best first. */
export function nextFigure({ decision, tests }: NextTests): Figure {
  const rated = tests.flatMap((one) => (one.known ? [one] : []));
  return {
    kind: "plot",
    id: "next-tests",
    title: "What each test is expected to tell",
    words: `Expected narrowing of the standard uncertainty of ${decision.words}: ${rated.map(({ kind, narrowing }) => `${kind} ${percent(narrowing).toFixed(0)} %`).join(", ")}.`,
    x: { label: "Rank", unit: "", range: [0, rated.length + 1] },
    y: { label: "Expected narrowing", unit: "%", range: [0, 100] },
    marks: rated.map(({ kind, narrowing }, i) => ({
      kind: "points" as const,
      role: i === 0 ? ("better" as const) : ("neutral" as const),
      label: kind,
      x: [i + 1],
      y: [percent(narrowing)],
    })),
  };
}

/** The tests, best first, then those that cannot be rated with the reason. */
export function nextTable({ decision, tests }: NextTests): Table {
  const dimension = decision.quantity === "opening time" ? "time" : "ratio";
  return {
    title: `The next best test, by ${decision.words}`,
    columns: ["test", "case", "uncertainty after it", "narrowing", "costs", "tells above all"],
    rows: tests.map((one) =>
      one.known
        ? [
            one.kind,
            one.caseId,
            formatQuantity(one.after, dimension, { digits: 3 }),
            `${percent(one.narrowing).toFixed(0)} %`,
            costWords(one),
            one.tells.map(({ path, narrowing }) => `${path} (${percent(narrowing).toFixed(0)} %)`).join(", "),
          ]
        : [one.kind, "", "not known", "", "", one.because],
    ),
  };
}

/** What the test that tells most costs, and which tells most for its time, as far as declared. */
export function bestCostWords({ tests }: NextTests): string {
  const rated = tests.flatMap((one) => (one.known ? [one] : []));
  const [best] = rated;
  if (best === undefined) return "";
  const cost =
    spentParts(best).length === 0
      ? "What it costs is not known: `tests` in valve.yaml can say it."
      : `It costs ${spentParts(best).join(" and ")}.`;
  const [soonest, next] = rated
    .flatMap((one) => (one.perHour === undefined ? [] : [{ kind: one.kind, perHour: one.perHour }]))
    .sort((a, b) => b.perHour - a.perHour);
  if (soonest === undefined || next === undefined) return cost;
  const same = soonest.kind === best.kind ? "it tells most too" : `${soonest.kind} tells most`;
  return `${cost} For each hour ${same}: ${hourly(soonest.perHour)}, before ${next.kind} with ${hourly(next.perHour)}.`;
}

const hourly = (share: number): string => `${Number(percent(share).toPrecision(2))} %`;

/** Time and propellant, as far as declared. */
function spentParts({ duration_s, propellant_kg }: RatedTest): readonly string[] {
  return [
    ...(duration_s === undefined ? [] : [formatQuantity(duration_s, "time", { unit: "h" })]),
    ...(propellant_kg === undefined ? [] : [`${formatQuantity(propellant_kg, "mass")} of liquid`]),
  ];
}

/** Time, propellant and narrowing per hour, as far as declared. */
function costWords(one: RatedTest): string {
  const { perHour } = one;
  const parts = [...spentParts(one), ...(perHour === undefined ? [] : [`${hourly(perHour)} per hour`])];
  return parts.length === 0 ? "not known" : parts.join(", ");
}
