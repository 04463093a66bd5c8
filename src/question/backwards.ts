/** A line whose back pressure is not below its supply: nothing runs forward through the valve. */
import { type Context, chanceOf, nominalValue } from "./context.js";
import { probabilityWords, quantityWords } from "./words.js";

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

/** "in 33 % of the samples the liquid does not run forward"; undefined where it does in all of them. */
export function backwardShare(context: Context): string | undefined {
  const chance = chanceOf(context, "mass-flow", { least: Number.MIN_VALUE });
  if (chance === undefined || chance.estimate === 1 || nominalValue(context, "mass-flow") === undefined)
    return undefined;
  const against = { estimate: 1 - chance.estimate, low: 1 - chance.high, high: 1 - chance.low };
  return `the probability that the liquid does not run forward at all is ${probabilityWords(against)}; such a valve has no time by its flow`;
}

/** What a check of forward flow waits for where nothing runs forward. */
export function forwardNeeds(context: Context): readonly string[] {
  return backwardWords(context) === undefined ? [] : ["a supply pressure above the back pressure"];
}
