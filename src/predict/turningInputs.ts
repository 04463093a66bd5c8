/** What the turning torque of one sample is made of, each value at the temperature of its part. */
import { referenceTemperatures } from "../dossier/index.js";
import { angularSpeedOfSliding, type TurningInputs } from "../physics/seat/index.js";
import type {
  AngularDamping,
  AngularSpeed,
  Force,
  Length,
  PressureDifference,
  Speed,
  Torque,
} from "../quantity/index.js";
import { coldShare, ratioAt } from "./coldRatio.js";
import type { Plan } from "./plan.js";
import { tableAt } from "./table.js";

/** Gaussian fall from breakaway to running friction, as the rigid train has it (physics/motion/train.ts). */
const stribeckExponent = 2;

function valueIn(values: Float64Array): (slot: number) => number {
  return (slot) => (slot < 0 ? Number.NaN : (values[slot] ?? Number.NaN));
}

/** Speed of the stem over which breakaway falls to running friction. @param values all slots, SI */
export function stribeckSpeedOf({ slots }: Plan, values: Float64Array): AngularSpeed {
  const at = valueIn(values);
  return angularSpeedOfSliding(
    at(slots.stribeckSpeed) as Speed,
    (0.5 * at(slots.ballDiameter)) as Length,
    (0.5 * at(slots.seatContactDiameter)) as Length,
  );
}

/** @param values all slots, SI; read again by the torque curve of the result whenever it is asked */
export function turningInputsOf(plan: Plan, values: Float64Array): TurningInputs {
  const { slots } = plan;
  const at = valueIn(values);
  const cold = coldShare(at(slots.valveTemperature), referenceTemperatures.cold_K);
  // Left out, a ratio is that of the seats, sample by sample.
  const ratio = (slot: number) => Math.max(at(slot < 0 ? slots.breakawayRatio : slot), 1);
  const packingRatio = ratioAt(at(slots.packingColdRatio), cold);
  const stemDiameter = at(slots.stemDiameter) as Length;
  return {
    ballRadius: (0.5 * at(slots.ballDiameter)) as Length,
    seatContactRadius: (0.5 * at(slots.seatContactDiameter)) as Length,
    seatFriction: at(slots.seatFriction) * ratioAt(at(slots.seatFrictionColdRatio), cold),
    seatPreload: (at(slots.seatPreload) * ratioAt(at(slots.seatPreloadColdRatio), cold)) as Force,
    support:
      plan.support === "floating"
        ? { kind: "floating", preloadKept: 1 }
        : {
            kind: "trunnion",
            sealRadius: (0.5 * at(slots.sealDiameter)) as Length,
            pressurisedSeats: plan.pressurisedSeats,
            journalDiameter: at(slots.bearingDiameter) as Length,
            journalFriction: at(slots.bearingFriction) * ratioAt(at(slots.bearingColdRatio), cold),
          },
    packing:
      slots.packingTorque >= 0
        ? { kind: "measured", torque: (at(slots.packingTorque) * packingRatio) as Torque }
        : {
            kind: "rings",
            friction: at(slots.packingFriction) * packingRatio,
            stemDiameter,
            height: at(slots.packingHeight) as Length,
            radialStress: at(slots.packingStress) as PressureDifference,
          },
    thrustCollar: {
      friction: at(slots.collarFriction) * ratioAt(at(slots.collarColdRatio), cold),
      stemDiameter,
      outerRadius: (0.5 * at(slots.collarOuter)) as Length,
      innerRadius: (0.5 * at(slots.collarInner)) as Length,
      condition: "new",
    },
    bearings: [],
    flowOnBall:
      slots.hydrodynamicScale < 0
        ? "none"
        : {
            boreDiameter: at(slots.bore) as Length,
            scale: at(slots.hydrodynamicScale),
            coefficient: (angle) => tableAt(angle, slots.hydrodynamic, values),
          },
    iceTorque: at(slots.iceTorque) as Torque,
    viscousDamping: (slots.damping < 0 ? 0 : at(slots.damping)) as AngularDamping,
    breakawayRatio: {
      seat: ratio(slots.breakawayRatio),
      packing: ratio(slots.packingBreakaway),
      collar: ratio(slots.collarBreakaway),
      bearing: ratio(slots.bearingBreakaway),
    },
    dwellFactor: Math.max(at(slots.dwellRatio), 1),
    stribeck: { speed: stribeckSpeedOf(plan, values), exponent: stribeckExponent },
  };
}
