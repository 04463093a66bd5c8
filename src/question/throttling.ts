/** Question 4: can it hold a part opening? How finely the flow can be set, and what holds it there. */
import type { Figure } from "../picture/index.js";
import { forwardNeeds } from "./backwards.js";
import type { Check, CheckDefinition } from "./check.js";
import { bandFor, type Context, hasFlow, nominalValue } from "./context.js";
import { holdingFinding } from "./holding.js";
import { inUnit } from "./inUnit.js";
import { judge, missingOf } from "./judge.js";
import type { Finding, Question } from "./question.js";
import { rankDrivers } from "./rankDrivers.js";
import { scheduleFinding } from "./schedule.js";
import { bandWords, percentWords, quantityWords, valueWords } from "./words.js";

/** Question 4. */
export const throttling: Question = {
  id: "throttling",
  number: 4,
  words: "Can it hold a part opening?",
  answer: (context): Finding => {
    const holding = holdingFinding(context);
    const schedule = ofSchedule(context);
    return {
      sentence: `${sentence(context)} ${holding.sentence} ${schedule.sentence}`.trim(),
      checks: [controllability(context), ...holding.checks, ...schedule.checks],
      figures: [...figures(context), ...holding.figures, ...schedule.figures],
      tables: [...holding.tables, ...schedule.tables],
      drivers: [
        ...rankDrivers(context, "flow-step", "the smallest sure step of the flow"),
        ...holding.drivers,
      ].toSorted((a, b) => b.share - a.share),
    };
  },
};

function ofSchedule({ own, wanted, prediction }: Context) {
  const { largest_angle_error, largest_flow_error } = prediction.dossier.valve.schedule ?? {};
  return scheduleFinding(own.schedule, {
    wanted,
    largest: { angle: largest_angle_error?.value, flow: largest_flow_error?.value },
  });
}

const definition: CheckDefinition = {
  id: "controllability",
  designChecks: ["controllability"],
  failureModes: [],
  name: "Controllability",
  dimension: "ratio",
  equation: "max (dm/d angle) (backlash at the stem + sensor step) / m_duty <= step wanted",
  source: "common practice, no source",
  assumptions: [
    "The angle is known to the backlash of all stages, brought to the stem, and one step of the position sensor.",
    "The angle that stiction winds up in the train is not in it: `position-accuracy` has it.",
  ],
};

function controllability(context: Context): Check {
  const { duty, prediction } = context;
  const { drive } = prediction.dossier.valve;
  const step = duty.throttle?.step?.value;
  return judge(context, definition, {
    column: "flow-step",
    limit: step === undefined ? undefined : { most: step, words: "duty.throttle.step" },
    matter: "flow",
    needs: [
      ...forwardNeeds(context),
      ...missingOf({
        "duty.mass_flow": duty.mass_flow,
        "duty.throttle.step": duty.throttle?.step,
        "duty.throttle.lowest": duty.throttle?.lowest,
        "drive.stages": drive?.stages,
        ...Object.fromEntries(
          (drive?.stages ?? []).flatMap(({ ratio, backlash }, j) => [
            [`drive.stages[${j}].ratio`, ratio],
            [`drive.stages[${j}].backlash`, backlash],
          ]),
        ),
        "drive.position_sensor.resolution": drive?.position_sensor?.resolution,
      }),
    ],
    absent: "a case in which liquid flows",
    unit: "%",
  });
}

function sentence(context: Context): string {
  const step = nominalValue(context, "flow-step");
  const { throttle } = context.duty;
  if (!hasFlow(context) || step === undefined || throttle?.step === undefined)
    return "Not known: how finely the flow can be set needs a throttling range, the backlash of the stages and the sensor's step, in a case with flow.";
  const band = bandFor(context, "flow-step");
  const within =
    band === undefined ? "" : `${percentWords(band.coverage)} ${bandWords(band, "ratio", "%")}; `;
  return `The smallest sure step changes the flow by ${valueWords(step, band, "ratio", "%")} of the duty's at most (${within}limit ${quantityWords(throttle.step.value, "ratio", "%")}).`;
}

function figures({ prediction, duty }: Context): readonly Figure[] {
  const { flow } = prediction.nominal;
  const wanted = duty.mass_flow?.value;
  if (flow === undefined || wanted === undefined) return [];
  const lowest = duty.throttle?.lowest?.value;
  const share = flow.massFlow_kg_s.map((massFlow) => (100 * massFlow) / wanted);
  const angle = inUnit(flow.angle_rad, "angle", "deg");
  const from = lowest === undefined ? undefined : angle[share.findIndex((value) => value >= 100 * lowest)];
  return [
    {
      kind: "plot",
      id: "throttling-flow",
      title: "Flow that an opening gives",
      words: `Mass flow as a share of the duty's against opening: ${(share.at(-1) ?? 0).toFixed(0)} % wide open${
        from === undefined || lowest === undefined
          ? ""
          : `, the lowest one wanted, ${percentWords(lowest)}, at ${from.toFixed(1)} deg`
      }.`,
      x: { label: "Opening from closed", unit: "deg" },
      y: { label: "Mass flow over the duty's", unit: "%" },
      marks: [
        { kind: "line", role: "prediction", label: "mass flow", x: angle, y: share },
        ...(lowest === undefined
          ? []
          : [
              {
                kind: "limit",
                axis: "y",
                value: 100 * lowest,
                label: "lowest flow to hold",
                role: "neutral",
              } as const,
            ]),
      ],
    },
  ];
}
