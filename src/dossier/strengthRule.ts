/** The factors of safety of the shipped standards, as data with clause and origin. */
import ecss from "../../data/margins/strength-ecss-e-st-32-10c.json" with { type: "json" };
import nasa from "../../data/margins/strength-nasa-std-5001b.json" with { type: "json" };
import type { Declared } from "../quantity/index.js";

/** Names of the standards in the valve file. */
export const strengthRuleIds = ["nasa-std-5001b", "ecss-e-st-32-10c"] as const;

/** What the valve file says of its factors: `valve.strength`. */
interface GivenFactors {
  readonly standard?: (typeof strengthRuleIds)[number] | undefined;
  readonly verified_by?: "analysis" | "test" | undefined;
  readonly yield_factor?: Declared | undefined;
  readonly ultimate_factor?: Declared | undefined;
  readonly life_factor?: Declared | undefined;
}

/** The factors that the torque's path is judged with; a factor that nobody gave is undefined. */
export interface StrengthFactors {
  readonly yield: number | undefined;
  readonly ultimate: number | undefined;
  readonly life: number | undefined;
  /** Where they come from, in words. */
  readonly words: string;
}

/** Factors by the user's own values, else by the standard he names. */
export function strengthFactors(given: GivenFactors | undefined): StrengthFactors {
  const rule = [nasa, ecss].find(({ id }) => id === given?.standard);
  const way = given?.verified_by ?? "analysis";
  const shipped = rule?.[way];
  const own = {
    yield: given?.yield_factor?.value,
    ultimate: given?.ultimate_factor?.value,
    life: given?.life_factor?.value,
  };
  const hasOwn = Object.values(own).some((value) => value !== undefined);
  const ruleWords =
    rule === undefined
      ? []
      : [
          `${rule.name}, verified by ${way === "test" ? "test" : "analysis alone"}, factors from ${rule.from}`,
        ];
  return {
    yield: own.yield ?? shipped?.yield,
    ultimate: own.ultimate ?? shipped?.ultimate,
    life: own.life ?? shipped?.life,
    words: [...(hasOwn ? ["factors of valve.strength"] : []), ...ruleWords].join(", else "),
  };
}
