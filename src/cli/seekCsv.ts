/** The front as CSV: one row a choice, SI, the unit in the name of the column. */
import { csvCell } from "../picture/index.js";
import { dimensions } from "../quantity/index.js";
import type { NamedResult, SeekAnswer } from "../seek/index.js";

const parts = ["valve", "motor", "stages", "battery", "command"] as const;

export function frontCsv({ front, limits }: SeekAnswer): string {
  const ids = [...new Set(front.flatMap(({ figures }) => Object.keys(figures ?? {})))];
  const unitOf = (id: string) => {
    const dimension = limits.find((limit) => limit.id === id)?.dimension ?? usualDimensions[id];
    const unit = dimension === undefined ? "" : dimensions[dimension].si;
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
      const figure = Object.entries(result.figures ?? {}).find(([name]) => name === id)?.[1];
      return [figure?.nominal, figure?.low, figure?.high].map((value) => String(value ?? ""));
    }),
    String(result.figures?.["opening-time"]?.probability ?? ""),
  ]);
  return `${[heads, ...rows].map((row) => row.map(csvCell).join(",")).join("\n")}\n`;
}

/** Of figures that are shown though nothing limits them. */
const usualDimensions: Readonly<Record<string, "mass" | "number" | "length" | "current">> = {
  mass: "mass",
  cost: "number",
  length: "length",
  current: "current",
};

function namesText({ names }: NamedResult, part: (typeof parts)[number]): string {
  return part === "stages" ? names.stages.join(" + ") : names[part];
}
