/** Liquid that boils behind the valve: an outlet below the vapour pressure of what enters. */
import type { Notice } from "../fault/index.js";
import type { Context } from "./context.js";
import { quantityWords } from "./words.js";

interface Outlet {
  readonly angle_rad: number;
  readonly outlet_Pa: number;
}

/** Openings with flow whose outlet lies below the vapour pressure: the first, and how many there are to wide open. */
function boilingOutlets({ prediction }: Context): readonly Outlet[] {
  const { flow } = prediction.nominal;
  if (flow === undefined) return [];
  return flow.angle_rad.flatMap((angle_rad, j) => {
    const outlet_Pa = (flow.inlet_Pa[j] ?? 0) - Math.abs(flow.drop_Pa[j] ?? 0);
    const flows = Math.abs(flow.massFlow_kg_s[j] ?? 0) > 0;
    return flows && outlet_Pa < flow.vapourPressure_Pa ? [{ angle_rad, outlet_Pa }] : [];
  });
}

/** Whether the liquid boils behind the valve when it is wide open. */
export function isFlashingOpen(context: Context): boolean {
  const open = context.prediction.nominal.flow?.angle_rad.at(-1);
  return open !== undefined && boilingOutlets(context).at(-1)?.angle_rad === open;
}

/** The caveat of question 1. */
export function flashing(context: Context): readonly Notice[] {
  const outlets = boilingOutlets(context);
  const [first] = outlets;
  const last = outlets.at(-1);
  const { flow } = context.prediction.nominal;
  if (first === undefined || last === undefined || flow === undefined) return [];
  const boils = quantityWords(flow.vapourPressure_Pa, "pressure");
  const angle = (at: Outlet) => quantityWords(at.angle_rad, "angle", "deg");
  const lowest = quantityWords(Math.min(...outlets.map(({ outlet_Pa }) => outlet_Pa)), "pressure");
  return [
    {
      code: "flashing-behind-valve",
      field: "back_pressure",
      text: `from ${angle(first)} to ${angle(last)} from closed the pressure behind the valve falls as low as ${lowest}, below the vapour pressure ${boils} of the liquid that enters: it boils there, the outlet carries liquid and vapour, and the line behind it has more drop than is counted`,
    },
  ];
}

/** What boiling behind the valve means for the choking check. */
export function flashingWords(context: Context): readonly string[] {
  if (boilingOutlets(context).length === 0) return [];
  return [
    "At some openings the outlet lies below the vapour pressure: the liquid flashes for good instead of cavitating. The form of the standard gives the flow up to choking and that of the choked valve, not the two-phase flow behind it.",
  ];
}
