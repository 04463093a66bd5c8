/** What the checks of torque and time take for granted about the pressures on both sides of the valve. */
import type { Context } from "./context.js";
import { quantityWords, steadyPressures } from "./words.js";

/** The back pressure of the whole stroke, or how it rises from that of the shut valve. */
export function pressureWords({ conditions, prediction }: Context): string {
  const { back_pressure_at_start: shut, back_pressure: open } = conditions;
  if (shut === undefined || open === undefined || conditions.fluid === "none") return steadyPressures;
  const from = quantityWords(shut.value, "pressure");
  if (prediction.nominal.flow === undefined)
    return `The shut valve is loaded by the supply pressure less ${from} behind it.`;
  return `Supply pressure as declared, for the whole stroke; the back pressure rises from ${from} while shut to ${quantityWords(open.value, "pressure")} wide open, with the square of the flow over the flow wide open and without delay, as behind an injector that the liquid fills. A burning chamber rises in proportion to the flow, sooner: the drop taken here is the larger one. The flow is quasi-steady.`;
}
