/** The pictures of a schedule: opening scheduled against achieved, and on the same time flow wanted against achieved. */
import type { Figure } from "../picture/index.js";
import type { FollowedSchedule } from "../predict/index.js";
import { inUnit } from "./inUnit.js";
import { quantityWords } from "./words.js";

const time = { label: "Time since the first row", unit: "s" } as const;

/** Schedule against achieved, of the opening and of the flow. */
export function scheduleFigures({
  history,
  schedule,
  worstAngle_s,
  worstFlow_s,
  dutyFlow_kg_s,
}: FollowedSchedule): readonly Figure[] {
  const x = [...history.time_s];
  const percent = (values: readonly number[]) => values.map((value) => 100 * value);
  const line = (role: "demand" | "prediction" | "neutral", label: string, y: readonly number[]) =>
    ({ kind: "line", role, label, x, y: [...y] }) as const;
  return [
    {
      kind: "plot",
      id: "throttling-schedule",
      title: "Schedule against achieved",
      words: `Opening against time since the first row, as scheduled and as the ball follows it under its loops: farthest off at ${quantityWords(worstAngle_s, "time")}.`,
      x: time,
      y: { label: "Opening from closed", unit: "deg" },
      marks: [
        line("demand", "scheduled", inUnit(history.scheduled_rad, "angle", "deg")),
        line("prediction", "achieved", inUnit(history.angle_rad, "angle", "deg")),
      ],
    },
    {
      kind: "plot",
      id: "throttling-schedule-flow",
      title: "Flow wanted against achieved",
      words: `Flow over the duty's ${quantityWords(dutyFlow_kg_s, "mass flow")} against time since the first row, as wanted, as the schedule's opening passes it and as the ball's does: farthest off at ${quantityWords(worstFlow_s, "time")}. The history begins ${quantityWords(schedule.lead, "time")} after the first row.`,
      x: time,
      y: { label: "Mass flow over the duty's", unit: "%" },
      marks: [
        line("demand", "wanted", percent(history.wanted)),
        line("neutral", "by the schedule", percent(history.scheduledFlow)),
        line("prediction", "achieved", percent(history.flow)),
      ],
    },
  ];
}
