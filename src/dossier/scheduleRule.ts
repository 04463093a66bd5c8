/** Findings about the wanted history of the flow: one way of giving it, in order of time, in steps that can be written. */
import type { Finding } from "./finding.js";
import { nominalText } from "./provenance.js";
import type { ValveFile } from "./schema.js";

const microseconds = 1e6;
/** A rounded 5 ms is a whole number of microseconds [us]. */
const rounding = 1e-6;

export function scheduleRule({ schedule }: ValveFile): readonly Finding[] {
  const { moves, points = [], step } = schedule ?? {};
  const count = (step?.value ?? Number.NaN) * microseconds;
  return [
    ...(moves !== undefined && points.length > 0 ? [twice] : []),
    ...points.flatMap(({ time }, j): readonly Finding[] => {
      const before = points[j - 1]?.time;
      if (time === undefined || before === undefined || time.value > before.value) return [];
      return [
        {
          kind: "fault",
          code: "table-not-ascending",
          path: `schedule.points[${j}].time`,
          notKnown: ["schedule.points"],
          found: `${nominalText(time)} is not later than ${nominalText(before)} in the row before`,
          allowed: "The points follow each other in time; a jump of the flow takes a time of its own.",
          mend: "Sort the points by time, and give each time one point",
        },
      ];
    }),
    ...(step === undefined || (count > 0.5 && Math.abs(count - Math.round(count)) <= rounding)
      ? []
      : [
          {
            kind: "fault",
            code: "out-of-bounds",
            path: "schedule.step",
            notKnown: ["schedule.step"],
            found: `${nominalText(step)} is no whole number of microseconds`,
            allowed: "The rows of a schedule are written in whole microseconds.",
            mend: "Write a step of some milliseconds, as the controller takes it",
          } as const,
        ]),
  ];
}

const twice: Finding = {
  kind: "fault",
  code: "schedule-twice",
  path: "schedule.points",
  notKnown: ["schedule.moves", "schedule.points"],
  found: "the history is given as moves and as points",
  allowed: "A history has one form: `start` and `moves`, or `points`.",
  mend: "Delete one of the two",
};
