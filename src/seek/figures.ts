/** The pictures of a search: the choices across parallel axes, and two of their numbers against each other. */
import type { Figure, Mark, Role } from "../picture/index.js";
import { formatQuantity, fromSi, preferredUnit, readUnit, type Unit } from "../quantity/index.js";
import type { NamedResult, SeekAnswer } from "./answer.js";
import { endWords, type SeekAxis, shownResults, valueOn } from "./axes.js";

/** A kind of choice in a picture. */
interface Group {
  readonly words: string;
  readonly role: Role;
  readonly choices: readonly NamedResult[];
}

const frontWords = "meets every limit, and no other choice beats it";
const letInWords = "would come in if one limit were relaxed";

function groupsOf(answer: SeekAnswer): readonly Group[] {
  const onFront = new Set(answer.front.map(({ index }) => index));
  const others = shownResults(answer).filter(({ index }) => !onFront.has(index));
  // The front lies on top.
  return [
    { words: letInWords, role: "neutral" as const, choices: others },
    { words: frontWords, role: "prediction" as const, choices: answer.front },
  ].filter(({ choices }) => choices.length > 0);
}

/** Unit of an axis: that in which its largest number is printed. */
function unitOf(answer: SeekAnswer, axis: SeekAxis): { readonly words: string; readonly unit: Unit } {
  if (axis.of === "probability") return { words: "%", unit: readUnit("%", "ratio") };
  const sizes = shownResults(answer).map((choice) => Math.abs(valueOn(choice, axis) ?? 0));
  const words = preferredUnit(Math.max(...sizes, 0), axis.dimension);
  return { words, unit: readUnit(words, axis.dimension) };
}

function limitWords(axis: SeekAxis, unit: string): string {
  if (axis.limit === null) return "no limit";
  const bound = formatQuantity(axis.limit, axis.dimension, { unit, digits: 4 });
  return `${axis.better === "less" ? "at most" : "at least"} ${bound}`;
}

/** Name of an axis with the end of the band that it shows. */
function axisWords({ name, of }: Pick<SeekAxis, "name" | "of">): string {
  return of === "probability" ? name : `${name}, ${endWords[of]}`;
}

/**
 * The choices across parallel axes, the good end of each on the right.
 * @param axes    those to be drawn, at least one
 * @param chosen  number of the choice that stands out
 */
export function choicesFigure(
  answer: SeekAnswer,
  axes: readonly SeekAxis[],
  chosen: number | undefined,
): Figure<"parallel"> {
  const groups = groupsOf(answer);
  const drawn = axes.map((axis) => ({ axis, ...unitOf(answer, axis) }));
  const column = (choice: NamedResult, end?: "low" | "high") =>
    drawn.map(({ axis, unit }) => {
      const value =
        end === undefined || axis.of === "probability"
          ? valueOn(choice, axis)
          : (choice.figures?.[axis.figure]?.[end] ?? null);
      return value === null ? Number.NaN : fromSi(unit, value);
    });
  const items = groups.flatMap(({ words, role, choices }) =>
    choices.map((choice) => ({
      label: `choice ${choice.index}`,
      group: words,
      role,
      values: column(choice),
    })),
  );
  const found = shownResults(answer).find(({ index }) => index === chosen);
  const standsOut =
    found === undefined
      ? []
      : [
          {
            label: `choice ${found.index}`,
            group: `choice ${found.index}, with the band of each number`,
            role: "available" as const,
            values: column(found),
            low: column(found, "low"),
            high: column(found, "high"),
            isChosen: true,
          },
        ];
  return {
    kind: "parallel",
    id: "choices",
    title: "Choices that no other beats",
    words: `${words(answer)} Each line is a choice; the good end of every axis is on the right.${chosenWords(answer, axes, chosen)}`,
    axes: drawn.map(({ axis, words: unit, unit: resolved }) => ({
      label: axisWords(axis),
      unit,
      better: axis.better,
      ...shareRange(answer, axis),
      detail: limitWords(axis, unit),
      ...(axis.limit === null ? {} : { limit: fromSi(resolved, axis.limit) }),
    })),
    items: [...items, ...standsOut],
  };
}

/** The numbers of the choices in the order in which `choicesFigure` has them as items; the chosen one again at the end. */
export function choicesInFigure(answer: SeekAnswer, chosen: number | undefined): readonly number[] {
  const all = groupsOf(answer).flatMap(({ choices }) => choices.map(({ index }) => index));
  return chosen !== undefined && all.includes(chosen) ? [...all, chosen] : all;
}

/** Two numbers of the choices against each other. */
export function scatterFigure(
  answer: SeekAnswer,
  x: SeekAxis,
  y: SeekAxis,
  chosen: number | undefined,
): Figure<"plot"> {
  const [ofX, ofY] = [unitOf(answer, x), unitOf(answer, y)];
  const points = scatterPoints(answer, x, y);
  const column = (own: typeof points, axis: "x" | "y") =>
    own.map((point) => fromSi(axis === "x" ? ofX.unit : ofY.unit, point[axis]));
  const marks = groupsOf(answer).flatMap(({ words: label, role, choices }): readonly Mark[] => {
    const own = points.filter(({ index }) => choices.some((choice) => choice.index === index));
    return own.length === 0
      ? []
      : [{ kind: "points", role, label, x: column(own, "x"), y: column(own, "y") }];
  });
  const limits = (
    [
      [x, ofX, "x"],
      [y, ofY, "y"],
    ] as const
  ).flatMap(([axis, { unit, words: named }, at]) =>
    limitNear(axis, points, at, unit).map(
      (value): Mark => ({
        kind: "limit",
        axis: at,
        value,
        forbidden: axis.better === "less" ? "above" : "below",
        label: limitWords(axis, named),
      }),
    ),
  );
  const at = points.find(({ index }) => index === chosen);
  const { low = null, high = null } =
    (y.of === "probability"
      ? undefined
      : shownResults(answer).find(({ index }) => index === chosen)?.figures?.[y.figure]) ?? {};
  const standsOut: readonly Mark[] =
    at === undefined
      ? []
      : [
          {
            kind: "points",
            role: "available",
            label: `choice ${at.index}`,
            x: column([at], "x"),
            y: column([at], "y"),
            ...(low === null || high === null
              ? {}
              : { low: [fromSi(ofY.unit, low)], high: [fromSi(ofY.unit, high)] }),
          },
        ];
  const lacking = shownResults(answer).length - points.length;
  const left = lacking === 0 ? "" : ` ${lacking} of them have no place here: a number is not known.`;
  return {
    kind: "plot",
    id: "choices-two-numbers",
    title: `${capital(y.name)} against ${x.name}`,
    words: `${words(answer)} ${betterWords(x)}, ${betterWords(y).toLowerCase()}.${left}${chosenWords(answer, [x, y], chosen)}`,
    x: {
      label: axisWords(x),
      unit: ofX.words,
      ...roomyRange(column(points, "x"), limitNear(x, points, "x", ofX.unit)),
      ...shareRange(answer, x),
    },
    y: { label: axisWords(y), unit: ofY.words, ...shareRange(answer, y) },
    marks: [...limits, ...marks, ...standsOut],
  };
}

/** The choices that have both numbers, in the order in which they are drawn, SI. */
export function scatterPoints(
  answer: SeekAnswer,
  x: SeekAxis,
  y: SeekAxis,
): readonly { readonly index: number; readonly x: number; readonly y: number }[] {
  return groupsOf(answer).flatMap(({ choices }) =>
    choices.flatMap((choice) => {
      const [atX, atY] = [valueOn(choice, x), valueOn(choice, y)];
      return atX === null || atY === null ? [] : [{ index: choice.index, x: atX, y: atY }];
    }),
  );
}

/** A share of samples ends at all of them: an axis never runs on beyond. */
function shareRange(answer: SeekAnswer, axis: SeekAxis): { readonly range?: [number, number] } {
  if (axis.of !== "probability") return {};
  const shares = shownResults(answer).map((choice) => 100 * (valueOn(choice, axis) ?? 1));
  return { range: [Math.min(...shares, 100 * (axis.limit ?? 1), leastShareShown), 100] };
}

/** Least end of an axis of shares [%]. */
const leastShareShown = 95;

/** A level axis ends at its values: some room keeps the beads of the first and the last whole. */
function roomyRange(
  values: readonly number[],
  limit: readonly number[],
): { readonly range?: [number, number] } {
  const all = [...values, ...limit];
  const [low, high] = [Math.min(...all), Math.max(...all)];
  return high > low ? { range: [low - edgeRoom * (high - low), high + edgeRoom * (high - low)] } : {};
}

/** Share of the range at each end. */
const edgeRoom = 0.04;

/** The limit of an axis, unless it lies so far off that it would press the choices together. */
function limitNear(
  { limit }: SeekAxis,
  points: readonly { readonly x: number; readonly y: number }[],
  at: "x" | "y",
  unit: Unit,
): readonly number[] {
  if (limit === null) return [];
  const values = points.map((point) => point[at]);
  const [low, high] = [Math.min(...values), Math.max(...values)];
  const isNear = limit > low - (high - low) && limit < high + (high - low);
  return isNear ? [fromSi(unit, limit)] : [];
}

const betterWords = ({ name, better }: SeekAxis): string =>
  `${better === "more" ? "More" : "Less"} ${name} is better`;

const capital = (text: string): string => `${text.charAt(0).toUpperCase()}${text.slice(1)}`;

function words({ front, passing, candidates }: SeekAnswer): string {
  return `${passing} of ${candidates} choices meet every limit; ${front.length} of them no other choice beats.`;
}

function chosenWords(answer: SeekAnswer, axes: readonly SeekAxis[], chosen: number | undefined): string {
  const found = shownResults(answer).find(({ index }) => index === chosen);
  if (found === undefined) return "";
  const numbers = axes.map((axis) => {
    const value = valueOn(found, axis);
    const { words: unit } = unitOf(answer, axis);
    return `${axis.name} ${value === null ? "not known" : formatQuantity(value, axis.dimension, { unit, digits: 3 })}`;
  });
  return ` Choice ${found.index}: ${numbers.join(", ")}.`;
}
