/** The seat's preload in the cold from materials and dimensions, where nobody declared its ratio. */
import { interferenceRemaining, preloadRatio } from "../physics/cold/index.js";
import { type Declared, type Length, lawInterval, type Temperature } from "../quantity/index.js";
import { contraction, type Solid } from "../substance/index.js";
import { materialNamed } from "./ownSolid.js";
import { referenceTemperatures, type ValveFile } from "./schema.js";

/** The ratio of the preload at 90 K to that at ambient, with its limits. */
export interface ColdPreload {
  readonly nominal: number;
  readonly low: number;
  readonly high: number;
}

/** A normal law has no end: this many deviations are followed. */
const reach = 2;

function ends(declared: Declared): readonly [number, number] {
  const { law, value } = declared;
  if (law.kind === "normal") return [law.mean - reach * law.deviation, law.mean + reach * law.deviation];
  const { low, high } = lawInterval(law, value);
  return [low, high];
}

/**
 * Derives the ratio from `valve.cold`; undefined where anything for it is missing. Its limits are the
 * corners of interference, stiffness and the seat's contraction, which are the wide ones.
 */
export function coldPreload(file: ValveFile): ColdPreload | undefined {
  const { valve } = file;
  const cold = valve?.cold;
  const { interference, seat_height: height, stiffness_cold_ratio: stiffness } = cold ?? {};
  const { ball_diameter: ball, seat_contact_diameter: contact } = valve ?? {};
  const names = [cold?.body_material, cold?.ball_material, cold?.seat_material];
  const [body, sphere, seat] = names.map((name) =>
    contractionOf(materialNamed(file, name), cold?.inspected_at?.value),
  );
  if (
    interference === undefined ||
    height === undefined ||
    stiffness === undefined ||
    ball === undefined ||
    contact === undefined ||
    body === undefined ||
    sphere === undefined ||
    seat === undefined ||
    !(contact.value < ball.value)
  )
    return undefined;
  const ratio = (delta: number, seatContraction: number, stiff: number) =>
    preloadRatio(
      interferenceRemaining({
        interference: delta as Length,
        ballRadius: (ball.value / 2) as Length,
        contactRadius: (contact.value / 2) as Length,
        seatHeight: height.value as Length,
        contraction: { body: body.value, ball: sphere.value, seat: seatContraction },
      }),
      delta as Length,
      stiff,
    );
  const [tight, loose] = [ends(interference), ends(stiffness)];
  return {
    nominal: ratio(interference.value, seat.value, stiffness.value),
    low: ratio(tight[0], seat.high, loose[0]),
    high: ratio(tight[1], seat.low, loose[1]),
  };
}

/** Whether the data of a material reach down to the cold reference temperature, or nearly. */
function reachesCold(material: Solid): boolean {
  const ambient = referenceTemperatures.ambient_K as Temperature;
  return contraction(material, ambient, ambient).TMin <= referenceTemperatures.cold_K + reachBeyond;
}

/** A contraction is followed this far beyond its data [K]. */
const reachBeyond = 30;

/** Contraction from inspection to the cold reference temperature. */
function contractionOf(material: Solid | undefined, inspectedAt: number = referenceTemperatures.ambient_K) {
  if (material === undefined || !reachesCold(material)) return undefined;
  return contraction(material, inspectedAt as Temperature, referenceTemperatures.cold_K as Temperature);
}
