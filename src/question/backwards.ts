/** A line whose back pressure is not below its supply: nothing runs forward through the valve. */
import { type Context, nominalValue } from "./context.js";
import { quantityWords } from "./words.js";

/** Why no liquid runs forward at the nominal values; undefined where it does, or none flows in this case. */
export function backwardWords(context: Context): string | undefined {
  const massFlow = nominalValue(context, "mass-flow");
  const { supply_pressure: supply, back_pressure: back } = context.conditions;
  if (massFlow === undefined || massFlow > 0 || supply === undefined || back === undefined) return undefined;
  const [ahead, behind] = [supply, back].map(({ value }) => quantityWords(value, "pressure"));
  return massFlow < 0
    ? `the back pressure, ${behind}, is above the supply pressure, ${ahead}, and the liquid runs backwards`
    : `the back pressure, ${behind}, is that of the supply, ${ahead}, and no liquid runs`;
}

/** What a check of forward flow waits for where nothing runs forward. */
export function forwardNeeds(context: Context): readonly string[] {
  return backwardWords(context) === undefined ? [] : ["a supply pressure above the back pressure"];
}
