/** Pictures of question 10: both valves above the mixture ratio, chamber pressure and flows with their bands, the phase. */
import type { Figure, Mark } from "../picture/index.js";
import { ownBand, type ShownOpening, type StartAnswer } from "../predict/index.js";
import { inUnit } from "./inUnit.js";
import { quantityWords } from "./words.js";

/** The box of the mixture ratio, as far as it is known. */
export interface Box {
  readonly least: number | undefined;
  readonly most: number | undefined;
}

const ms = (values: readonly number[]) => inUnit(values, "time", "ms");
const time = { label: "Time since the first command", unit: "ms" } as const;

/** The pictures of a start; none where it is not known. */
export function startFigures(answer: StartAnswer, box: Box): readonly Figure[] {
  const { runs } = answer;
  if (runs?.start.trace === undefined) return [];
  const { start } = runs;
  const trace = runs.start.trace;
  const ignition: readonly Mark[] =
    start.ignites === undefined
      ? []
      : [{ kind: "event", role: "neutral", x: ms([start.ignites])[0] ?? 0, label: "ignition" }];
  const end = trace.time.at(-1) ?? 0;
  const lit = trace.time.flatMap((t, k) => (t > (start.ignites ?? Number.POSITIVE_INFINITY) ? [k] : []));
  const ratio = lit.map((k) => (trace.oxidiser[k] ?? 0) / (trace.fuel[k] ?? 0));
  const known = lit.filter((_, j) => Number.isFinite(ratio[j]));
  const at = (values: readonly number[], of: readonly number[]) => of.map((k) => values[k] ?? 0);
  const boxLimits: readonly Mark[] = [
    ...(box.least === undefined
      ? []
      : [{ kind: "limit", axis: "y", value: box.least, label: "least", forbidden: "below" } as const]),
    ...(box.most === undefined
      ? []
      : [{ kind: "limit", axis: "y", value: box.most, label: "greatest", forbidden: "above" } as const]),
  ];
  return [
    {
      kind: "plot",
      id: "start-openings",
      title: "Openings of both valves",
      words: `Flow coefficient of both valves over that wide open, against the time since the first command, up to ${quantityWords(end, "time", "ms")}; the mixture ratio stands below on the same time.`,
      x: time,
      y: { label: "Of wide open", unit: "%" },
      marks: [
        { kind: "line", role: "prediction", label: "this valve", ...opening(runs.own, end) },
        { kind: "line", role: "demand", label: "the other valve", ...opening(runs.partner, end) },
        ...ignition,
      ],
    },
    {
      kind: "plot",
      id: "start-mixture-ratio",
      title: "Mixture ratio",
      words:
        known.length === 0
          ? "Mixture ratio against the time since the first command: it does not light."
          : `Mixture ratio from ignition on against the time since the first command: between ${start.leastRatio.toPrecision(3)} and ${start.mostRatio.toPrecision(3)}.`,
      x: time,
      y: { label: "Oxidiser over fuel", unit: "" },
      marks: [
        { kind: "event", role: "neutral", x: 0, label: "first command" },
        ...(known.length === 0
          ? []
          : [
              {
                kind: "line",
                role: "prediction",
                label: "mixture ratio",
                x: ms(at(trace.time, known)),
                y: known.map((k) => (trace.oxidiser[k] ?? 0) / (trace.fuel[k] ?? 1)),
              } as const,
            ]),
        ...ignition,
        ...boxLimits,
      ],
    },
    {
      kind: "plot",
      id: "start-pressure",
      title: "Chamber pressure",
      words: `Chamber pressure against the time since the first command, ${quantityWords(start.pressure, "pressure")} at the end; what burns at once of the unburnt mass is not in it.`,
      x: time,
      y: { label: "Pressure", unit: "bar(a)" },
      marks: [
        ...bandOf(answer, "p", (values) => inUnit(values, "pressure", "bar(a)")),
        {
          kind: "line",
          role: "prediction",
          label: "nominal",
          x: ms(trace.time),
          y: inUnit(trace.pressure, "pressure", "bar(a)"),
        },
        ...ignition,
      ],
    },
    {
      kind: "plot",
      id: "start-flows",
      title: "Flows at the injector",
      words: `Flow of oxidiser and of fuel at the injector against the time since the first command, ${quantityWords(start.oxidiser.flow, "mass flow")} and ${quantityWords(start.fuel.flow, "mass flow")} at the end.`,
      x: time,
      y: { label: "Mass flow", unit: "kg/s" },
      marks: [
        ...bandOf(answer, "ox", (values) => values),
        ...bandOf(answer, "fu", (values) => values),
        { kind: "line", role: "prediction", label: "oxidiser", x: ms(trace.time), y: [...trace.oxidiser] },
        { kind: "line", role: "demand", label: "fuel", x: ms(trace.time), y: [...trace.fuel] },
        ...ignition,
      ],
    },
    {
      kind: "plot",
      id: "start-phase",
      title: "Phase of the start",
      words:
        "Flow of oxidiser against that of fuel through the start; straight lines from the origin are the ends of the box of the mixture ratio.",
      x: { label: "Fuel", unit: "kg/s" },
      y: { label: "Oxidiser", unit: "kg/s" },
      marks: [
        ...[box.least, box.most].flatMap((slope, j) => {
          if (slope === undefined) return [];
          const reach = Math.min(Math.max(...trace.fuel), Math.max(...trace.oxidiser) / slope);
          return [
            {
              kind: "line",
              role: "limit",
              label: j === 0 ? "least ratio" : "greatest ratio",
              x: [0, reach],
              y: [0, reach * slope],
            } as const,
          ];
        }),
        { kind: "line", role: "prediction", label: "start", x: [...trace.fuel], y: [...trace.oxidiser] },
      ],
    },
  ];
}

/** Percent of wide open, standing before the motion and after it. */
function opening({ trace, offset_s }: ShownOpening, end: number) {
  const { coefficient, start, end: stops } = trace;
  const last = coefficient.length - 1;
  const wide = Math.max(...coefficient);
  const share = (C: number | undefined) => (100 * (C ?? 0)) / (wide > 0 ? wide : 1);
  const inside = Array.from(coefficient, (C, k) => ({
    t: offset_s + start + ((stops - start) * k) / last,
    y: share(C),
  })).filter(({ t }) => t > 0 && t < end);
  return {
    x: ms([0, ...inside.map(({ t }) => t), end]),
    y: [
      inside[0]?.y ?? share(coefficient[0]),
      ...inside.map(({ y }) => y),
      inside.at(-1)?.y ?? share(coefficient[last]),
    ],
  };
}

function bandOf(
  { figures, times }: StartAnswer,
  id: string,
  shown: (values: readonly number[]) => readonly number[],
): readonly Mark[] {
  const bands = times.map((_, k) => ownBand(figures.samples[`${id}:${k}`] ?? new Float64Array(0)));
  const ends = bands.flatMap((band) => (band === undefined ? [] : [band]));
  if (ends.length < times.length || times.length === 0) return [];
  const names: Readonly<Record<string, string>> = {
    p: "band",
    ox: "band of the oxidiser",
    fu: "band of the fuel",
  };
  return [
    {
      kind: "band",
      role: id === "fu" ? "demand" : "prediction",
      label: names[id] ?? "band",
      x: ms(times),
      low: shown(ends.map(({ low }) => low)),
      high: shown(ends.map(({ high }) => high)),
    },
  ];
}
