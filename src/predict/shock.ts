/**
 * What the valve's own motion does to the parts that carry its torque, in one case, with a small band of its own:
 * the greatest torque in motor, each gear stage, coupling, stem and stop, in opening, in closing, with the ball
 * jammed at mid travel, and with the rotor locked (docs/theory/compliant.md).
 */
import type { Dossier } from "../dossier/index.js";
import { Refusal } from "../fault/index.js";
import { stemInertia } from "../physics/compliant/index.js";
import { type OwnFigures, ownFigures, type Sampling } from "./ownBand.js";
import {
  elementPath,
  type PeakCause,
  type RunSettings,
  type ShockId,
  shockIds,
  shockPeaks,
  stopPath,
} from "./shockPieces.js";
import { ShockTrace, type TracedPiece } from "./shockTrace.js";
import { TrainSample, trainPlan } from "./shockTrain.js";

/** The greatest torque in one element. */
export interface ElementPeak {
  /** Path of the element: drive.motor, drive.stages[i], drive.coupling, valve.stem, drive.stop. */
  readonly element: string;
  readonly label: string;
  /** Of each sample; NaN where the sample has none [N m]. */
  readonly torque_Nm: Float64Array;
  /** At the nominal values, its time from the command, NaN where it has none [s], and its cause. */
  readonly nominal_Nm: number;
  readonly time_s: number;
  readonly cause: PeakCause;
}

export interface ShockEvent {
  readonly id: ShockId;
  readonly peaks: readonly ElementPeak[];
  /** Speed of the ball at the nominal values as it was stopped; undefined where it was not [rad/s]. */
  readonly stoppedAt_rad_s: number | undefined;
}

export interface ShockAnswer {
  /** Fields without which nothing of it is known. */
  readonly missing: readonly string[];
  /** Why the values of the case cannot be followed. */
  readonly unfit: string | undefined;
  readonly events: readonly ShockEvent[];
  /** Where the inputs stood; figures by `shockFigure`. */
  readonly figures: OwnFigures;
  /** Whether the stop yields; else the torque in the stop itself is not known. */
  readonly isStopSoft: boolean;
  /** All inertia at the stem at the nominal values [kg m2]. */
  readonly inertia_kg_m2: number;
  /** Start and stop of the opening at the nominal values. */
  readonly opening: readonly TracedPiece[];
}

/** Id of a figure: an event's greatest torque in an element. */
export function shockFigure(event: ShockId, element: string): string {
  return `${event}: ${element}`;
}

/** More samples would not move what is printed. */
const mostSamples = 64;
/** How closely runs are followed, and their steps at most. */
const exact: RunSettings = { tolerance: 1e-4, mostSteps: 5000 };
const near: RunSettings = { tolerance: 3e-3, mostSteps: 1000 };

/** Follows the shock of a case. Refuses an unknown case. */
export function shockOf(dossier: Dossier, caseId: string, sampling: Sampling): ShockAnswer {
  const of = trainPlan(dossier, caseId);
  const { missing, space, isStopSoft } = of;
  const elements = elementsOf(dossier);
  const ids = shockIds.flatMap((event) => elements.map(({ path }) => shockFigure(event, path)));
  const nothing = (unfit: string | undefined): ShockAnswer => ({
    missing,
    unfit,
    events: [],
    figures: ownFigures(space, ids, { ...sampling, samples: 0 }, () => ({})),
    isStopSoft,
    inertia_kg_m2: Number.NaN,
    opening: [],
  });
  if (missing.length > 0) return nothing(undefined);
  try {
    const trace = new ShockTrace();
    const sample = new TrainSample(of);
    const trains = sample.trains("every");
    const nominal = shockPeaks(sample.sample, trains, exact, trace);
    const inertia_kg_m2 = stemInertia(trains.train);
    const figures = ownFigures(space, ids, { ...sampling, most: mostSamples }, (values) => {
      const events = shockPeaks(sample.sample, sample.trains("light joined", values), near);
      return Object.fromEntries(
        shockIds.flatMap((id) =>
          elements.map(({ path }) => [
            shockFigure(id, path),
            events[id].peaks.get(path)?.torque_Nm ?? Number.NaN,
          ]),
        ),
      );
    });
    return {
      missing,
      unfit: undefined,
      events: shockIds.map((id) => ({
        id,
        stoppedAt_rad_s: nominal[id].stoppedAt,
        peaks: elements.flatMap(({ path, label }): readonly ElementPeak[] => {
          const peak = nominal[id].peaks.get(path);
          if (peak === undefined) return [];
          const { torque_Nm: nominal_Nm, time_s, cause } = peak;
          const torque_Nm = figures.samples[shockFigure(id, path)] ?? new Float64Array(0);
          return [{ element: path, label, torque_Nm, nominal_Nm, time_s, cause }];
        }),
      })),
      figures,
      isStopSoft,
      inertia_kg_m2,
      opening: trace.pieces.toSorted((a, b) => a.piece.localeCompare(b.piece)),
    };
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    return nothing(thrown.faults.map(({ found }) => found).join("; "));
  }
}

function elementsOf({
  valve: { drive },
}: Dossier): readonly { readonly path: string; readonly label: string }[] {
  return [
    { path: elementPath({ element: "motor", stage: -1 }), label: "motor shaft" },
    ...(drive?.stages ?? []).map(({ name }, stage) => ({
      path: elementPath({ element: "stage", stage }),
      label: name ?? `gear stage ${stage + 1}`,
    })),
    { path: elementPath({ element: "coupling", stage: -1 }), label: "coupling" },
    { path: elementPath({ element: "stem", stage: -1 }), label: "stem" },
    { path: stopPath, label: "end stop" },
  ];
}
