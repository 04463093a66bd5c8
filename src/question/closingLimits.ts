/** How fast the line lets the valve close: its own motion against the shortest that every rating allows, and the declared one. */
import type { SurgeAnswer } from "../predict/index.js";
import type { Check, CheckDefinition } from "./check.js";
import { type Context, faultsAmong } from "./context.js";
import { failing, judgeOwn, waiting } from "./judgeOwn.js";
import {
  fullOfLiquid,
  levels,
  needsOf,
  noClosingWords,
  ofThisLine,
  overAll,
  ownMotion,
  rated,
  ratingNeed,
  unrated,
} from "./lineRatings.js";

const limitDefinition: CheckDefinition = {
  id: "close-limit",
  designChecks: ["close-limit"],
  failureModes: ["shock"],
  name: "Closing-time lower limit",
  dimension: "ratio",
  equation:
    "t_motion / t_least >= 1, t_least: this motion run through faster until a place reaches its rating",
  source: "wylie-streeter-1993, ch. 3; no linear ramp: the motion is that of the ball",
  assumptions: [ownMotion, fullOfLiquid, ofThisLine],
};

const declaredLimitDefinition: CheckDefinition = {
  ...limitDefinition,
  name: "Closing-time lower limit, as declared",
  dimension: "time",
  equation: "t_least in the definition of the closing limit <= duty.close_within.no_faster_than",
};

/** The closing against the shortest that the ratings allow, and that against the declared one. */
export function limits(context: Context, answer: SurgeAnswer): readonly Check[] {
  const needs = [...needsOf(answer), ...(rated(answer).length === 0 ? answer.places.map(ratingNeed) : [])];
  const declared = context.duty.close_within?.no_faster_than;
  const isToEnd = (context.duty.close_within?.definition ?? "command-to-end") === "command-to-end";
  if (needs.length > 0) return [waiting(limitDefinition, needs)];
  const ratio = answer.figures.nominal.ratio ?? Number.NaN;
  const none = noClosingWords(answer);
  const own =
    none !== undefined
      ? failing(limitDefinition, none, { wanted: context.wanted })
      : Number.isFinite(ratio)
        ? overAll(
            answer.places,
            judgeOwn(limitDefinition, {
              figures: answer.figures,
              figure: "ratio",
              limit: { least: 1, words: "the shortest time that every place allows" },
              wanted: context.wanted,
              unit: "",
              assumptions: [...levels(answer), ...unrated(answer)],
            }),
          )
        : waiting(limitDefinition, [
            "a closing that arrives, within eight times its time of one that the ratings allow",
          ]);
  if (declared === undefined) return [own];
  const faults = faultsAmong(context, ["duty.close_within.definition"]);
  if (faults.length > 0) return [own, waiting(declaredLimitDefinition, faults)];
  const least = answer.figures.nominal.shortest ?? Number.NaN;
  const noneSoSlow = isToEnd ? noClosingWords(answer, declared.value) : undefined;
  if (noneSoSlow !== undefined)
    return [
      own,
      failing(declaredLimitDefinition, noneSoSlow, {
        wanted: context.wanted,
        limit: { most: declared.value, words: "duty.close_within.no_faster_than" },
        unit: "ms",
      }),
    ];
  if (!isToEnd || !Number.isFinite(least))
    return [
      own,
      waiting(declaredLimitDefinition, [
        isToEnd
          ? "a closing that the ratings allow"
          : "duty.close_within.definition: command-to-end, the one in which the shortest time is known",
      ]),
    ];
  return [
    own,
    overAll(
      answer.places,
      judgeOwn(declaredLimitDefinition, {
        figures: answer.figures,
        figure: "shortest",
        limit: { most: declared.value, words: "duty.close_within.no_faster_than" },
        wanted: context.wanted,
        unit: "ms",
        assumptions: [...levels(answer), ...unrated(answer)],
      }),
    ),
  ];
}
