/** The abort in question 10: the closing that is wanted against the fastest that the line allows. */
import type { Check, CheckDefinition } from "./check.js";
import { type Context, faultsAmong } from "./context.js";
import { failing, judgeOwn, waiting } from "./judgeOwn.js";
import { noClosingWords, overAll } from "./lineRatings.js";

const abortDefinition: CheckDefinition = {
  id: "abort-closing-time",
  designChecks: ["close-limit", "closing-time"],
  failureModes: ["shock"],
  name: "Fastest abort closing that the line allows",
  dimension: "time",
  equation:
    "t_least <= t_abort, t_least: the closing of this valve run through faster until a rated place reaches its rating",
  source: "wylie-streeter-1993, ch. 3; no linear ramp: the motion is that of the ball",
  assumptions: ["As close-limit of question 9; each rated part stands in its table."],
};

/** The wanted time of an abort against the shortest that the ratings allow. */
export function abortCheck(context: Context): Check {
  const { surge } = context.own;
  const wanted = context.duty.close_within;
  const isToEnd = (wanted?.definition ?? "command-to-end") === "command-to-end";
  const needs = [
    ...(surge.unfit === undefined ? surge.missing : [surge.unfit]),
    ...(wanted?.time === undefined ? ["duty.close_within.time"] : []),
    ...faultsAmong(context, ["duty.close_within.definition"]),
    ...(isToEnd
      ? []
      : ["duty.close_within.definition: command-to-end, the one in which the shortest time is known"]),
  ];
  if (needs.length > 0 || wanted?.time === undefined) return waiting(abortDefinition, needs);
  if (surge.places.every(({ allowed_Pa }) => allowed_Pa === undefined))
    return waiting(
      abortDefinition,
      surge.places.map(({ path }) => path),
    );
  const limit = { most: wanted.time.value, words: "duty.close_within.time" };
  const none = noClosingWords(surge, wanted.time.value);
  if (none !== undefined)
    return failing(abortDefinition, none, { wanted: context.wanted, limit, unit: "ms" });
  if (!Number.isFinite(surge.figures.nominal.shortest ?? Number.NaN))
    return waiting(abortDefinition, [
      "a closing to its end that arrives, within eight times its time of one that the ratings allow",
    ]);
  return overAll(
    surge.places,
    judgeOwn(abortDefinition, {
      figures: surge.figures,
      figure: "shortest",
      limit,
      wanted: context.wanted,
      unit: "ms",
    }),
  );
}
