/** The front as CSV: one row a choice, SI, the unit in the name of the column. */
import { csvCell } from "../picture/index.js";
import { dimensions } from "../quantity/index.js";
import { dimensionOf, type FigureId, figureIds, type NamedResult, type SeekAnswer } from "../seek/index.js";

const parts = ["valve", "motor", "stages", "battery", "command"] as const;

export function frontCsv(answer: SeekAnswer): string {
  const { front } = answer;
  const ids = figureIds(front);
  const unitOf = (id: FigureId) => {
    const unit = dimensions[dimensionOf(answer, id)].si;
    return unit === "" ? "" : ` [${unit}]`;
  };
  const heads = [
    "choice",
    ...parts,
    ...ids.flatMap((id) => ["nominal", "low", "high"].map((which) => `${id} ${which}${unitOf(id)}`)),
    "probability of opening in time",
  ];
  const rows = front.map((result) => [
    String(result.index),
    ...parts.map((part) => namesText(result, part)),
    ...ids.flatMap((id) => {
      const figure = result.figures?.[id];
      return [figure?.nominal, figure?.low, figure?.high].map((value) => String(value ?? ""));
    }),
    String(result.figures?.["opening-time"]?.probability ?? ""),
  ]);
  return `${[heads, ...rows].map((row) => row.map(csvCell).join(",")).join("\n")}\n`;
}

function namesText({ names }: NamedResult, part: (typeof parts)[number]): string {
  return part === "stages" ? names.stages.join(" + ") : names[part];
}
