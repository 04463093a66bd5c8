/** The schedule in question 4: whether the loops follow a wanted history of the flow, and what limits it. */
import type { FollowedSchedule, ScheduleAnswer } from "../predict/index.js";
import type { Table } from "./answer.js";
import type { Check, CheckDefinition } from "./check.js";
import { failing, judgeOwn, waiting } from "./judgeOwn.js";
import type { Finding } from "./question.js";
import { scheduleFigures } from "./scheduleFigures.js";
import { percentWords, quantityWords, valueWords } from "./words.js";

const given = [
  "The drive is powered and its loops run before the first row; between two rows they follow a straight line, with its slope as feed-forward.",
  "The train is rigid: play and wind-up are in `position-accuracy`.",
];

const angleDefinition: CheckDefinition = {
  id: "schedule-angle-error",
  designChecks: [],
  failureModes: [],
  name: "Ball behind its schedule",
  dimension: "angle",
  equation:
    "max |theta(t) - theta_schedule(t)| under i = m (a + b e) + q, e = w + P (theta_schedule - theta) - theta'",
  source: "leonhard-2001, cascaded loops with feed-forward; derived in docs/theory/schedule.md",
  assumptions: given,
};

const flowDefinition: CheckDefinition = {
  id: "schedule-flow-error",
  designChecks: [],
  failureModes: [],
  name: "Flow off the wanted history",
  dimension: "ratio",
  equation: "max |W(theta(t)) - W_wanted(t)| / W_duty, W(theta) the installed flow",
  source: "iec60534-2-1, clause 5.1, with the line in series; derived in docs/theory/schedule.md",
  assumptions: [
    ...given,
    "The flow is that of the standing opening: the inertia of the liquid in the line is left out.",
  ],
};

/** What a schedule adds to the answer; nothing where none is asked for, or the case has no flow to set. */
export function scheduleFinding(
  answer: ScheduleAnswer,
  { wanted, largest }: ScheduleJudging,
): Required<Pick<Finding, "sentence" | "checks" | "figures" | "tables">> {
  if (!answer.isWanted || answer.unfit !== undefined)
    return { sentence: "", checks: [], figures: [], tables: [] };
  const { followed } = answer;
  const judged = (definition: CheckDefinition, figure: "angle" | "flow", unit: string): Check => {
    const path = `schedule.largest_${figure}_error`;
    const most = largest[figure];
    const needs = [...answer.missing, ...(most === undefined ? [path] : [])];
    if (needs.length > 0 || most === undefined) return waiting(definition, needs);
    const limit = { most, words: path };
    if (answer.stuck !== undefined) return failing(definition, stuckWords(answer.stuck), { wanted, limit });
    return judgeOwn(definition, {
      figures: answer.figures,
      figure,
      limit,
      wanted,
      unit,
      isNominal: answer.figures.count === 0,
      assumptions:
        answer.figures.count > 0
          ? []
          : ["At the nominal values; `coldturn profile` follows the schedule at samples of the band too."],
    });
  };
  return {
    sentence: sentence(answer),
    checks: [judged(angleDefinition, "angle", "deg"), judged(flowDefinition, "flow", "%")],
    figures: followed === undefined ? [] : scheduleFigures(followed),
    tables: followed === undefined ? [] : [limitTable(followed), errorTable(answer, followed)],
  };
}

/** What a schedule is held against. */
export interface ScheduleJudging {
  /** Probability with which the limits are to be kept [-]. */
  readonly wanted: number;
  /** Errors that are accepted: of the angle [rad], of the flow over the duty's [-]. */
  readonly largest: Readonly<Record<"angle" | "flow", number | undefined>>;
}

const degrees = (value: number) => valueWords(value, undefined, "angle", "deg");
const seconds = (value: number) => valueWords(value, undefined, "time", "s");

function stuckWords({ stuckAt }: NonNullable<ScheduleAnswer["stuck"]>): string {
  return `there is no schedule: at ${degrees(stuckAt)} the share of the torque that it may ask for does not move the ball, at the slow end of the band`;
}

function sentence({ stuck, followed, figures }: ScheduleAnswer): string {
  if (stuck !== undefined) return `For the wanted history ${stuckWords(stuck)}.`;
  if (followed === undefined) return "";
  const { angle = Number.NaN, flow = Number.NaN } = figures.nominal;
  const { worstAngle_s, worstFlow_s } = followed;
  return `The schedule for the wanted history leaves the ball at most ${degrees(angle)} behind (at ${seconds(worstAngle_s)}) and the flow ${valueWords(flow, undefined, "ratio", "%")} of the duty's off (at ${seconds(worstFlow_s)}).${reachWords(followed)}`;
}

/** What of the history no opening gives, with both of its ends: they may lie close together. */
function reachWords({ outOfReach: { share, least, most }, history }: FollowedSchedule): string {
  if (!(share > 0)) return "";
  const percent = (value: number) => `${(100 * value).toFixed(2)} %`;
  const [lowest, highest] = [Math.min(...history.wanted), Math.max(...history.wanted)];
  const beyond = [
    ...(highest > most
      ? [`up to ${percent(highest)} is wanted, and the widest opening allowed passes ${percent(most)}`]
      : []),
    ...(lowest < least
      ? [`down to ${percent(lowest)} is wanted, and the smallest opening allowed passes ${percent(least)}`]
      : []),
  ];
  return ` For ${percentWords(share)} of its time it is out of reach: ${beyond.join("; ")} of the duty's flow.`;
}

function limitTable({ limits, schedule, limitSamples, step_s, history }: FollowedSchedule): Table {
  const low = Math.min(...history.scheduled_rad);
  const high = Math.max(...history.scheduled_rad);
  const least = (column: Float64Array) => {
    const from = Math.floor(low / limits.spacing);
    const to = Math.min(Math.ceil(high / limits.spacing), column.length - 1);
    return Math.min(...column.subarray(from, to + 1));
  };
  const speed = (value: number) => valueWords(value, undefined, "angular speed", "deg/s");
  const acceleration = (value: number) => `${((value * 180) / Math.PI).toPrecision(3)} deg/s2`;
  const row = (name: string, of: "opening" | "closing") => [
    [`${name}: speed without torque left, at least`, speed(least(limits[of].speed))],
    [`${name}: gain of speed from rest, at least`, acceleration(least(limits[of].gain))],
    [`${name}: loss of speed, at least`, acceleration(least(limits[of].loss))],
  ];
  return {
    title: `What the schedule keeps within, from ${degrees(low)} to ${degrees(high)}${
      limitSamples > 0 ? `, at the slow end of ${limitSamples} samples` : ", at the nominal values"
    }`,
    columns: ["what", "value"],
    rows: [
      ...row("opening", "opening"),
      ...row("closing", "closing"),
      ["share of that speed that a row may ask for", percentWords(limits.speedShare)],
      ["most that a row asks for, of that share", percentWords(schedule.demand.speed)],
      ["most that a row asks for, of the gain or loss of speed", percentWords(schedule.demand.acceleration)],
      ["change of speed spread over", quantityWords(schedule.torqueTime, "time")],
      ["change of acceleration spread over", quantityWords(schedule.jerkTime, "time")],
      ["rows, and time between them", `${schedule.angle.length}, ${quantityWords(step_s, "time")}`],
      ["the wanted history begins after", quantityWords(schedule.lead, "time")],
    ],
  };
}

function errorTable({ figures }: ScheduleAnswer, { worstAngle_s, worstFlow_s }: FollowedSchedule): Table {
  const { angle = 0, flow = 0 } = figures.nominal;
  const percent = (value: number) => valueWords(value, undefined, "ratio", "%");
  return {
    title: `How it is followed, nominal${figures.count > 0 ? `; the checks have the band of ${figures.count} samples` : ""}`,
    columns: ["error", "at most", "at", "root of the mean square"],
    rows: [
      ["of the angle", degrees(angle), seconds(worstAngle_s), degrees(figures.nominal["angle-rms"] ?? 0)],
      [
        "of the flow, over the duty's",
        percent(flow),
        seconds(worstFlow_s),
        percent(figures.nominal["flow-rms"] ?? 0),
      ],
    ],
  };
}
