/** The numbers by which choices are shown beside each other: which end of the band, which way is better, in which unit. */
import type { Dimension } from "../quantity/index.js";
import type { NamedResult, SeekAnswer } from "./answer.js";
import type { FigureId } from "./candidate.js";
import { criterionIds } from "./criteria.js";
import type { Objective } from "./front.js";

/** One number of a choice. */
export interface SeekAxis {
  readonly id: string;
  readonly figure: FigureId;
  /** Without the end of the band. */
  readonly name: string;
  readonly of: Objective["of"];
  readonly better: "more" | "less";
  readonly dimension: Dimension;
  /** Whether choices are ranked by it. */
  readonly isObjective: boolean;
  /** Its limit, SI; null without any. */
  readonly limit: number | null;
}

/** Of figures that are shown though nothing limits them. */
const usualDimensions: Readonly<Partial<Record<FigureId, Dimension>>> = {
  mass: "mass",
  "drive-mass": "mass",
  cost: "number",
  length: "length",
  current: "current",
};

const usualNames: Readonly<Partial<Record<FigureId, string>>> = {
  length: "length of motor and stages",
};

/** The dimension of a figure of a choice. */
export function dimensionOf({ limits }: Pick<SeekAnswer, "limits">, id: FigureId): Dimension {
  return limits.find((limit) => limit.id === id)?.dimension ?? usualDimensions[id] ?? "ratio";
}

/** The figures that any of some choices has. */
export function figureIds(choices: readonly Pick<NamedResult, "figures">[]): readonly FigureId[] {
  const found = new Set(choices.flatMap(({ figures }) => Object.keys(figures ?? {})));
  return [...found].flatMap((name) => criterionIds.find((id) => id === name) ?? []);
}

/** Said behind a name. */
export const endWords: Readonly<Record<Objective["of"], string>> = {
  low: "low end of its band",
  high: "high end of its band",
  nominal: "nominal",
  probability: "share of the samples",
};

/** What the choices of an answer can be shown by: first what they are ranked by, then every other figure. */
export function seekAxes(answer: SeekAnswer): readonly SeekAxis[] {
  const { limits, objectives, wanted } = answer;
  const shown = shownResults(answer);
  const isKnown = (figure: FigureId, of: Objective["of"]) =>
    shown.some(({ figures }) => (figures?.[figure]?.[of] ?? null) !== null);
  const ranked = objectives.map(({ id, figure, name, of, better }): SeekAxis => {
    const limit = limits.find((one) => one.id === figure);
    const bound = of === "probability" ? wanted : better === "less" ? limit?.most : limit?.least;
    return {
      ...{ id, figure, name, of, better },
      dimension: of === "probability" ? "ratio" : dimensionOf(answer, figure),
      isObjective: true,
      limit: bound ?? null,
    };
  });
  const others = figureIds(shown).flatMap((figure): readonly SeekAxis[] => {
    const limit = limits.find((one) => one.id === figure);
    // The pad fits or it does not: no axis.
    if (figure === "mounting") return [];
    if (ranked.some((axis) => axis.figure === figure && axis.of !== "probability")) return [];
    const isLess = limit === undefined || limit.least === null || limit.most !== null;
    return [
      {
        id: figure,
        figure,
        name: limit?.name ?? usualNames[figure] ?? figure,
        of: isLess ? "high" : "low",
        better: isLess ? "less" : "more",
        dimension: dimensionOf(answer, figure),
        isObjective: false,
        limit: (isLess ? limit?.most : limit?.least) ?? null,
      },
    ];
  });
  return [...ranked, ...others].filter(({ figure, of }) => isKnown(figure, of));
}

/** The choices that are shown: the front, and what relaxing a limit would let in. */
export function shownResults({ front, relaxations }: SeekAnswer): readonly NamedResult[] {
  const letIn = relaxations.flatMap(({ steps }) => steps.map(({ choice }) => choice));
  const known = new Map([...front, ...letIn].map((choice) => [choice.index, choice]));
  return [...known.values()];
}

/** The number of a choice on an axis, SI; null where it is not known. */
export function valueOn({ figures }: Pick<NamedResult, "figures">, { figure, of }: SeekAxis): number | null {
  return figures?.[figure]?.[of] ?? null;
}
