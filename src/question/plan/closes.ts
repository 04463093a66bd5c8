/** Which open items a run would close, and which no run does. */
import { conditionsOf } from "../../dossier/index.js";
import type { Evidence } from "../context.js";
import { coldValve_K, torquePoints } from "../reductionChecks.js";
import type { MadeRun } from "./madeRun.js";
import type { PlacedCheck, RunCase } from "./runCase.js";
import type { RunPlace } from "./stages.js";
import type { StrokeCount } from "./strokeCount.js";

/** An open item that a run would close. */
export interface Closing {
  /** Id of its check. */
  readonly check: string;
  readonly name: string;
  readonly words: string;
}

/** Checks of other questions that a test in the cold answers, by the field that records it. */
const byColdTest: Readonly<Record<string, string>> = {
  "polymer-state": "valve.cold.seat_tested_at",
  "self-relief-test": "valve.cavity.self_relief.tested_at",
};

/** What a run is asked to close. */
export interface OpenItems {
  /** Judged checks of the decision that do not hold. */
  readonly open: readonly PlacedCheck[];
  readonly evidence: Evidence;
  readonly made: readonly MadeRun[];
  readonly strokes: StrokeCount | undefined;
}

/** The open items that a run would close. */
export function closesOf(
  { stage, kind, caseId }: RunPlace,
  of: RunCase,
  items: OpenItems,
): readonly Closing[] {
  if (kind === "leak") return leakItems(stage === "nitrogen" || stage === "propellant", items);
  if (kind !== "stroke") return [];
  const isOpen = (id: string) => items.open.find(({ check }) => check.id === id)?.check;
  const isTicked = items.made.some((run) => run.isTicked);
  const drive = isOpen("oxygen-at-drive");
  const clocks = isOpen("time-base");
  return [
    ...torqueItems(of, stage !== "dry", items),
    ...(isTicked
      ? []
      : [
          {
            check: "vv",
            name: "Prediction held against test",
            words: `opening and closing time of ${caseId}, against its sealed prediction`,
          },
        ]),
    ...seriesItem(caseId, items),
    ...(clocks === undefined
      ? []
      : [{ check: clocks.id, name: clocks.name, words: "the clocks of its logs, once reduced" }]),
    ...flowItem(of),
    ...(stage !== "nitrogen"
      ? []
      : Object.entries(byColdTest).flatMap(([id, field]): readonly Closing[] => {
          const check = isOpen(id);
          return check?.kind === "unknown" && check.needs.includes(field)
            ? [
                {
                  check: id,
                  name: check.name,
                  words: `enter the temperature at which it was shown as ${field}`,
                },
              ]
            : [];
        })),
    ...(stage === "propellant" && drive?.kind === "unknown"
      ? [{ check: drive.id, name: drive.name, words: "oxygen measured at packing and gearbox, cold" }]
      : []),
  ];
}

function torqueItems(of: RunCase, isPressurised: boolean, { evidence }: OpenItems): readonly Closing[] {
  if (!of.known) return [];
  const { prediction } = of.context;
  const temperature = conditionsOf(prediction.dossier, of.caseId).valve_temperature?.value ?? coldValve_K;
  const isCold = temperature < coldValve_K;
  const points = torquePoints(evidence).filter(
    ({ cold, pressurised, torques }) =>
      cold === isCold && pressurised === isPressurised && !torques.some(({ measured }) => measured.known),
  );
  if (points.length === 0) return [];
  const words = points.map((point) => point.words).join("; ");
  return [{ check: "torque-shape-test", name: "Measured torque at six points", words }];
}

function seriesItem(caseId: string, { strokes }: OpenItems): readonly Closing[] {
  if (strokes === undefined || strokes.made >= strokes.forShare) return [];
  return [
    {
      check: "series-tolerance",
      name: "Strokes for a tolerance limit",
      words: `${strokes.forShare - strokes.made} more openings of ${caseId}, if the share is wanted`,
    },
  ];
}

function flowItem(of: RunCase): readonly Closing[] {
  if (!of.known || of.context.prediction.nominal.flow === undefined) return [];
  return [
    {
      check: "flow-capacity",
      name: "Flow capacity",
      words: "the flow coefficient from flow and drop, beside the declared valve.flow_coefficient",
    },
  ];
}

function leakItems(isCold: boolean, { open, made }: OpenItems): readonly Closing[] {
  if (made.some(({ isTicked }) => isTicked)) return [];
  const ids = ["leak-unc", isCold ? "seat-leak-cold" : "seat-leak-ambient"];
  return open
    .filter(({ check }) => ids.includes(check.id) && check.kind === "unknown")
    .map(({ check }) => ({
      check: check.id,
      name: check.name,
      words: "leakage from the change of pressure, with the temperature of the gas, once reduced",
    }));
}

/** Ids of the checks that runs are held against, whatever else is open of them. */
const ofTests: ReadonlySet<string> = new Set(["vv", "vv-present", "series-drift", "series-tolerance"]);

/** The open items of the decision that no run of the plan closes: they want an input, an inspection, or another design. */
export function notClosedByRuns(
  open: readonly PlacedCheck[],
  closings: readonly Closing[],
): readonly PlacedCheck[] {
  const closed = new Set(closings.map(({ check }) => check));
  return open.filter(
    ({ check }) => !ofTests.has(check.id) && (!closed.has(check.id) || check.kind !== "unknown"),
  );
}
