/** What `coldturn seek` prints. */
import { samplesToShow } from "../predict/index.js";
import { formatQuantity } from "../quantity/index.js";
import type {
  CandidateFigure,
  CriterionId,
  LossCount,
  NamedResult,
  PeakMargins,
  Relaxation,
  SeekAnswer,
  Sieve,
} from "../seek/index.js";
import { type Page, paragraph, section } from "./page.js";
import { tableLines } from "./table.js";

/** Rows of a table on the page; all are in the JSON record and in the file of --front. */
const mostRows = 12;

const sieveWords: Readonly<Record<Sieve, string>> = {
  bounds: "parts and closed forms",
  nominal: "one opening and closing",
  band: "samples of the band",
};

export function seekPage(
  page: Page,
  title: string,
  answer: SeekAnswer,
  peaks: readonly PeakMargins[],
  file: string | undefined,
): string {
  const { front, passing, candidates } = answer;
  const lead =
    passing === 0
      ? `None of ${candidates} choices meets every limit with the wanted probability of ${answer.wanted}.`
      : `${passing} of ${candidates} choices meet every limit with the wanted probability of ${answer.wanted}; ${front.length} of them no other choice beats.`;
  return [
    ...paragraph(page, `${title}.`),
    ...paragraph(page, lead),
    ...paragraph(
      page,
      `model ${answer.model}, ${answer.samples} samples of each band, seed ${answer.seed}, the same for all choices`,
    ),
    ...fewLines(page, answer),
    ...(file === undefined ? [] : paragraph(page, `Wrote ${file}`)),
    ...frontLines(page, answer, peaks),
    ...section(page, "Why the others lost", lossLines(page, answer)),
    ...section(page, "What relaxing a limit would buy", relaxationLines(page, answer)),
    ...section(page, "What this rests on", assumptionLines(page, answer)),
  ].join("\n");
}

function frontLines(page: Page, answer: SeekAnswer, peaks: readonly PeakMargins[]): readonly string[] {
  const { front } = answer;
  if (front.length === 0) return [];
  const shown = shownOf(answer);
  const varied = (["valve", "motor", "stages", "battery", "command"] as const).filter(
    (part) => new Set(front.map((choice) => partText(choice, part))).size > 1,
  );
  const same = (["valve", "motor", "stages", "battery", "command"] as const).filter(
    (part) => !varied.includes(part),
  );
  const heads = [
    "choice",
    "opens in",
    "in time",
    "torque margin",
    "stages",
    "peaks",
    "stem",
    "peaks",
    "peak current",
    "mass",
  ];
  const rows = shown.flatMap((choice) => {
    const { figures = {} } = choice;
    return [
      [
        String(choice.index),
        rangeText(figures["opening-time"], "time"),
        figures["opening-time"] === undefined ? "" : share(figures["opening-time"].probability),
        lowText(figures["torque-margin"]),
        lowText(figures["gear-margin"]),
        marginText(peaks.find(({ index }) => index === choice.index)?.stages),
        lowText(figures["stem-margin"]),
        marginText(peaks.find(({ index }) => index === choice.index)?.stem),
        highText(figures.current, "current"),
        figures.mass?.nominal === null || figures.mass === undefined
          ? "not known"
          : formatQuantity(figures.mass.nominal, "mass", { digits: 3 }),
      ],
    ];
  });
  const parts = shown.map((choice) => [
    String(choice.index),
    ...varied.map((part) => partText(choice, part)),
  ]);
  const first = front[0];
  return [
    ...section(page, "Choices that no other choice beats, the lightest first", [
      ...tableLines(page, heads, rows),
      "",
      ...tableLines(page, ["choice", ...varied], parts),
      ...(same.length === 0 || first === undefined
        ? []
        : [
            "",
            ...paragraph(
              page,
              `In all of them: ${same.map((part) => `${part} ${partText(first, part)}`).join("; ")}.`,
              "  ",
            ),
          ]),
      ...(front.length > shown.length
        ? [
            "",
            ...paragraph(
              page,
              `${front.length - shown.length} more: --front <file> writes all of them.`,
              "  ",
            ),
          ]
        : []),
      ...overloadLines(page, shown, peaks),
      "",
      ...paragraph(
        page,
        "Opening time as band of 95 %; margins with the low end of their band, the current with the high end; mass nominal. Stages and stem against the slow torque of the locked drive, and behind it (peaks) against the greatest torque of breakaway, jam, stop and locked rotor on the compliant train at the nominal values.",
        "  ",
      ),
    ]),
  ];
}

/** Fewer samples than can show the wanted probability, whatever they say. */
function fewLines(page: Page, { samples, wanted }: SeekAnswer): readonly string[] {
  const enough = samplesToShow(wanted);
  return samples >= enough
    ? []
    : paragraph(
        page,
        `${samples} samples cannot show a probability of ${wanted}: ${enough} are needed, and "meets" means no more here than that none of them broke a limit too often.`,
        "! ",
      );
}

/** Choices within every limit of the search that would all the same break a part at their peaks. */
function overloadLines(
  page: Page,
  shown: readonly NamedResult[],
  peaks: readonly PeakMargins[],
): readonly string[] {
  const over = shown.filter(({ index }) => {
    const found = peaks.find((one) => one.index === index);
    return (found?.stages ?? 0) < 0 || (found?.stem ?? 0) < 0;
  });
  if (over.length === 0) return [];
  const which =
    over.length === shown.length
      ? "Every choice shown"
      : `Choice ${over.map(({ index }) => index).join(", ")}`;
  return [
    "",
    ...paragraph(
      page,
      `${which} overloads a stage or the stem at its peaks (a margin below 0), though it is within the limits of the search.`,
      "  ! ",
    ),
  ];
}

/** The choices that are shown on the page: the lightest of the front. */
export function shownOf({ front }: SeekAnswer): readonly NamedResult[] {
  return [...front].sort((a, b) => massOf(a) - massOf(b) || a.index - b.index).slice(0, mostRows);
}

function massOf({ figures }: NamedResult): number {
  return figures?.mass?.nominal ?? Number.POSITIVE_INFINITY;
}

export function partText({ names }: NamedResult, part: keyof NamedResult["names"]): string {
  return part === "stages" ? names.stages.join(" + ") : names[part];
}

function share(probability: number): string {
  return `${(100 * probability).toFixed(0)} %`;
}

function rangeText(figure: CandidateFigure | undefined, dimension: "time"): string {
  if (figure === undefined || figure.low === null || figure.high === null) return "not known";
  return `${formatQuantity(figure.low, dimension, { digits: 3 })} to ${formatQuantity(figure.high, dimension, { digits: 3 })}`;
}

function marginText(margin: number | null | undefined): string {
  return margin === null || margin === undefined ? "not known" : margin.toFixed(2);
}

function lowText(figure: CandidateFigure | undefined): string {
  return figure === undefined || figure.low === null ? "not known" : figure.low.toFixed(2);
}

function highText(figure: CandidateFigure | undefined, dimension: "current"): string {
  return figure === undefined || figure.high === null
    ? "not known"
    : formatQuantity(figure.high, dimension, { digits: 3 });
}

function limitOf({ limits }: SeekAnswer, id: CriterionId) {
  return limits.find((limit) => limit.id === id);
}

function nameOf(answer: SeekAnswer, id: CriterionId): string {
  return limitOf(answer, id)?.name ?? id;
}

function valueText(answer: SeekAnswer, id: CriterionId, value: number | null): string {
  const dimension = limitOf(answer, id)?.dimension ?? "ratio";
  return value === null ? "not known" : formatQuantity(value, dimension, { digits: 3 });
}

function limitText(answer: SeekAnswer, id: CriterionId): string {
  const limit = limitOf(answer, id);
  const most = limit?.most ?? null;
  const least = limit?.least ?? null;
  return [
    ...(most === null ? [] : [`at most ${valueText(answer, id, most)}`]),
    ...(least === null ? [] : [`at least ${valueText(answer, id, least)}`]),
  ].join(", ");
}

function lossLines(page: Page, answer: SeekAnswer): readonly string[] {
  const beaten = answer.losers.filter(({ beatenBy }) => beatenBy !== undefined).length;
  const rows = [
    ...answer.losses.map((loss) => [
      String(loss.count),
      `${nameOf(answer, loss.id)}: ${loss.kind === "fails" ? "not met" : "not known"}`,
      limitText(answer, loss.id),
      sieveWords[loss.sieve],
      nearestText(answer, loss),
    ]),
    ...(beaten === 0 ? [] : [[String(beaten), "beaten by another choice in everything", "", "", ""]]),
  ];
  return tableLines(page, ["choices", "first reason", "limit", "found by", "nearest"], rows);
}

/** The loser of a reason that came nearest to its limit, or what its losers lack. */
function nearestText(answer: SeekAnswer, { id, nearest, needs }: LossCount): string {
  if (nearest !== null) return `choice ${nearest.index}: ${valueText(answer, id, nearest.value)}`;
  return needs.length === 0 ? "" : `needs ${needs.slice(0, 3).join(", ")}`;
}

function relaxationLines(page: Page, answer: SeekAnswer): readonly string[] {
  const rows = answer.relaxations.flatMap((relaxation) => stepRows(answer, relaxation));
  if (rows.length === 0) return paragraph(page, "No choice is kept out by a single limit.", "  ");
  return tableLines(page, ["limit", "to", "lets in", "first choice", "better in"], rows);
}

function stepRows(answer: SeekAnswer, { id, steps }: Relaxation): readonly (readonly string[])[] {
  return steps.map(({ limit, count, choice, gains }, place) => [
    place === 0 ? `${nameOf(answer, id)}, ${limitText(answer, id)}` : "",
    valueText(answer, id, limit),
    String(count),
    String(choice.index),
    gains.length === 0
      ? "nothing"
      : gains
          .map(({ objective, from, to }) => {
            const named = answer.objectives.find((each) => each.id === objective);
            const say = (value: number | null) =>
              value === null ? "none" : gainText(named?.figure, named?.of, value);
            return `${named?.name ?? objective} ${say(to)} instead of ${say(from)}`;
          })
          .join("; "),
  ]);
}

const gainDimensions = { mass: "mass", current: "current", cost: "number" } as const;

function gainText(figure: CriterionId | undefined, of: string | undefined, value: number): string {
  if (of === "probability") return share(value);
  const dimension =
    figure === "mass" || figure === "current" || figure === "cost" ? gainDimensions[figure] : "ratio";
  return formatQuantity(value, dimension, { digits: 3 });
}

function assumptionLines(page: Page, answer: SeekAnswer): readonly string[] {
  const triesValves = answer.front.some(({ names }) => names.valve !== "as declared");
  return [
    "Everything that is not exchanged stays as declared: duty, line, seats' friction, temperatures.",
    "A share of the samples decides, not its confidence interval; `coldturn check` of a written choice draws 512 samples, `coldturn predict` ten thousand.",
    `Judged in the case ${answer.caseId} alone: what a choice does in the other cases of the dossier, as the start, \`coldturn check\` of the written choice says with --case.`,
    "The limits of stages and stem are held against the slow torque of the locked drive. A choice whose margin over the peaks is negative overloads a part at its nominal values: question 5 of `coldturn check` has the rest.",
    ...(answer.unlimited.length === 0
      ? []
      : [
          `Not limited, as the dossier gives no limit: ${answer.unlimited.map(({ name }) => name).join(", ")}.`,
        ]),
    "A mass or price that nobody gave is not within a limit, and counts as the worst where choices are compared.",
    ...(triesValves
      ? ["Another valve has the declared seats and packing, preload and packing torque scaled to its size."]
      : []),
  ].flatMap((line) => paragraph(page, line, "  - "));
}
