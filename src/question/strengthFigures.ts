/** Pictures and tables of the strength: margin by part and load, and margin and strength against the current. */
import type { Figure } from "../picture/index.js";
import {
  capacityFigure,
  ownBand,
  ownProbability,
  type PathElement,
  type StrengthAnswer,
  useFigure,
} from "../predict/index.js";
import type { Table } from "./answer.js";
import { verdictOf } from "./check.js";
import type { Context } from "./context.js";
import { kindWords, loadWords, type Use, usesOf, worstLoad } from "./strengthLoads.js";
import { ampere, noWindow, windowOf } from "./strengthWindow.js";
import { bandWords, percentWords, quantityWords, valueWords } from "./words.js";

/** The figures; none where nothing is known. */
export function strengthFigures(context: Context, answer: StrengthAnswer): readonly Figure[] {
  return [...marginFigures(context, answer), ...currentFigures(answer)];
}

const roles = { holds: "better", thin: "doubtful", fails: "worse" } as const;

function worstOfEach(uses: readonly Use[]): readonly Use[] {
  return uses.filter(
    ({ element, value }) => !uses.some((other) => other.element === element && other.value > value),
  );
}

/** Every load of each section; of the other parts the worst. */
function marginFigures(context: Context, answer: StrengthAnswer): readonly Figure[] {
  const all = usesOf(answer, answer.elements);
  const sections = all.filter(({ element }) => element.kind === "section");
  const others = worstOfEach(all.filter(({ element }) => element.kind !== "section"));
  return [
    ...usesFigure(context, answer, sections, {
      id: "strength-sections",
      title: "Sections of the stem: torque over what each bears",
    }),
    ...usesFigure(context, answer, others, {
      id: "strength-parts",
      title: "Joints, coupling, gears and stop: worst torque over what each bears",
    }),
  ];
}

function usesFigure(
  { wanted }: Context,
  answer: StrengthAnswer,
  shown: readonly Use[],
  named: { readonly id: string; readonly title: string },
): readonly Figure[] {
  const worst = shown.toSorted((a, b) => b.value - a.value)[0];
  if (worst === undefined) return [];
  return [
    {
      kind: "interval",
      ...named,
      words: `Torque of each load over the torque that the part bears with its factors. The most used is ${worst.element.name}${kindWords[worst.element.kind]}, by ${loadWords[worst.load]}, at ${valueWords(worst.value, undefined, "ratio", "%")}.`,
      checks: shown.map(({ element, load, value }) => {
        // A stroke that stalls does not hit its stop: such a sample has no load there.
        const samples = (answer.figures.samples[useFigure(element.id, load)] ?? new Float64Array(0)).filter(
          (use) => !Number.isNaN(use),
        );
        const band = ownBand(samples);
        const probability = band === undefined ? undefined : ownProbability(samples, { most: 1 });
        const verdict = verdictOf(value, { most: 1, words: "" }, probability, wanted);
        return {
          kind: "known",
          label: `${element.name}${kindWords[element.kind]}, ${load}`,
          unit: "%",
          value: 100 * value,
          ...(band === undefined ? {} : { low: 100 * band.low, high: 100 * band.high }),
          limit: 100,
          allowed: "at most",
          verdict,
          role: roles[verdict],
        } as const;
      }),
    },
  ];
}

/** Margin and strength against the current limit, and where both hold. */
function currentFigures(answer: StrengthAnswer): readonly Figure[] {
  const { curves, currentLimit_A } = answer;
  if (curves === undefined) return [];
  const { current_A: x, torqueMargin, strengthMargin, shortCircuit_A } = curves;
  const window = windowOf(answer);
  const none = noWindow(window);
  const { least } = window;
  const most = Math.min(window.most, shortCircuit_A);
  const percent = (values: readonly number[]) => values.map((value) => 100 * value);
  const found =
    none === undefined
      ? `Both hold from ${ampere(least)} to ${ampere(most)}.`
      : `${none.charAt(0).toUpperCase()}${none.slice(1)}.`;
  return [
    {
      kind: "plot",
      id: "strength-current",
      title: "Current limit: torque margin against strength",
      words: `Torque margin of the drive, and least margin of strength with the rotor locked, against the current limit of the driver. ${found}`,
      x: { label: "Current limit", unit: "A" },
      y: { label: "Margin", unit: "%", range: [-100, mostShown] },
      marks: [
        ...(none === undefined
          ? [
              {
                kind: "region",
                x: [least, most],
                label: "both hold",
                role: "better",
              } as const,
            ]
          : []),
        { kind: "line", role: "available", label: "torque margin", x, y: percent(torqueMargin) },
        { kind: "line", role: "demand", label: "strength, locked rotor", x, y: percent(strengthMargin) },
        { kind: "limit", axis: "y", value: 0, label: "no margin", forbidden: "below" },
        ...(currentLimit_A === undefined
          ? []
          : [
              {
                kind: "limit",
                axis: "x",
                value: currentLimit_A,
                label: "declared limit",
                role: "neutral",
              } as const,
            ]),
      ],
    },
  ];
}

/** Margins beyond this say no more [%]. */
const mostShown = 300;

/** Sections and joints one by one, and the greatest torques of the train. */
export function strengthTables(context: Context, answer: StrengthAnswer): readonly Table[] {
  return [...partTables(context, answer), ...peakTables(context)];
}

function partTables({ prediction }: Context, answer: StrengthAnswer): readonly Table[] {
  const { figures, elements, sections, materials } = answer;
  const parts = elements.filter(
    ({ id, missing }) =>
      missing.length === 0 && !Number.isNaN(figures.nominal[capacityFigure(id)] ?? Number.NaN),
  );
  if (parts.length === 0) return [];
  const temperatureOf = (element: PathElement) => {
    const section = sections.find(({ id }) => id === element.id);
    const found = materials.find(({ path }) => path === section?.path);
    return found === undefined ? "" : quantityWords(found.temperature_K, "temperature", "K");
  };
  return [
    {
      title: `What carries the torque, ${prediction.caseId}`,
      columns: ["part", "temperature", "bears with its factors", "worst load", "torque there", "used"],
      rows: parts.map((element) => {
        const capacity = figures.nominal[capacityFigure(element.id)] ?? Number.NaN;
        const band = ownBand(figures.samples[capacityFigure(element.id)] ?? new Float64Array(0));
        const hasBand = band !== undefined && band.high > band.low;
        const worst = worstLoad(answer, element);
        return [
          `${element.name}${kindWords[element.kind]}`,
          temperatureOf(element),
          `${valueWords(capacity, hasBand ? band : undefined, "torque", "N m")}${hasBand ? ` (${percentWords(band.coverage)} ${bandWords(band, "torque", "N m")})` : ""}`,
          worst?.load ?? "",
          worst === undefined ? "" : valueWords(worst.value * capacity, undefined, "torque", "N m"),
          worst === undefined ? "" : valueWords(worst.value, undefined, "ratio", "%"),
        ];
      }),
    },
  ];
}

/** Greatest torque of each element in each event, with its time from the command and its cause. */
function peakTables({ prediction, own }: Context): readonly Table[] {
  const rows = own.shock.events.flatMap(({ id, peaks }) =>
    peaks.map(({ label, nominal_Nm, torque_Nm, time_s, cause }) => {
      const band = ownBand(torque_Nm);
      const hasBand = band !== undefined && band.high > band.low;
      return [
        id,
        label,
        `${valueWords(nominal_Nm, hasBand ? band : undefined, "torque", "N m")}${hasBand ? ` (${percentWords(band.coverage)} ${bandWords(band, "torque", "N m")})` : ""}`,
        Number.isNaN(time_s) ? "" : quantityWords(time_s, "time", "ms"),
        cause,
      ];
    }),
  );
  if (rows.length === 0) return [];
  return [
    {
      title: `Greatest torque in each part, ${prediction.caseId}`,
      columns: ["load", "part", "torque", "after the command", "cause"],
      rows,
    },
  ];
}
