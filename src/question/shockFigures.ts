/** Pictures of the shock: torque of the parts over time as the opening starts, and at its end stop. */
import type { Figure, Mark } from "../picture/index.js";
import { elementPath, type ShockAnswer, type TracedPiece } from "../predict/index.js";
import { inUnit } from "./inUnit.js";
import { quantityWords } from "./words.js";

const titles = {
  start: "Start of the opening: torque in each part",
  stop: "At the open stop: torque in each part",
} as const;

/** One picture of each piece; none where nothing is known. */
export function shockFigures({ opening, events }: ShockAnswer): readonly Figure[] {
  const labels = new Map(
    events.flatMap(({ peaks }) => peaks.map(({ element, label }) => [element, label] as const)),
  );
  return opening.flatMap((piece) => pieceFigure(piece, labels));
}

function pieceFigure(piece: TracedPiece, labels: ReadonlyMap<string, string>): readonly Figure[] {
  const from = firstMotion(piece);
  const kept = piece.time_s.map((_, j) => j).filter((j) => j >= from);
  if (kept.length < 2) return [];
  const pick = (values: readonly number[]) => kept.map((j) => values[j] ?? Number.NaN);
  const x = inUnit(pick(piece.time_s), "time", "ms");
  const lines = piece.link_Nm.map((row, l) => ({
    label: labelOf(piece, l, labels),
    y: pick(row).map((torque) => torque * (piece.ratio[l] ?? Number.NaN)),
  }));
  const stop = pick(piece.stop_Nm);
  const greatest = lines.map(({ label, y }) => {
    const most = y.reduce((a, b) => (Math.abs(b) > Math.abs(a) ? b : a), 0);
    const at = x[y.indexOf(most)] ?? Number.NaN;
    return `${label} ${quantityWords(Math.abs(most), "torque", "N m")} at ${at.toFixed(1)} ms`;
  });
  const marks: readonly Mark[] = [
    ...lines.map(
      ({ label, y }, l): Mark => ({
        kind: "line",
        role: l === lines.length - 1 ? "prediction" : "neutral",
        label,
        x,
        y,
      }),
    ),
    ...(stop.some((torque) => torque !== 0)
      ? [{ kind: "line", role: "demand", label: "end stop", x, y: stop } as const]
      : []),
  ];
  return [
    {
      kind: "plot",
      id: `shock-${piece.piece}`,
      title: titles[piece.piece],
      words: `Torque in each part against the time from the command, at the nominal values, each counted at the stem: times the ratio of the gears behind it. Greatest: ${greatest.join("; ")}.`,
      x: { label: "Time from the command", unit: "ms" },
      y: { label: "Torque, counted at the stem", unit: "N m" },
      marks,
    },
  ];
}

/** Before the first torque there is nothing to see. */
function firstMotion({ link_Nm, time_s }: TracedPiece): number {
  const first = time_s.findIndex((_, j) => link_Nm.some((row) => row[j] !== 0));
  return Math.max(first - 1, 0);
}

function labelOf({ elements }: TracedPiece, link: number, labels: ReadonlyMap<string, string>): string {
  return elements
    .filter((element) => element.link === link && element.element !== "motor")
    .map((element) => labels.get(elementPath(element)) ?? element.element)
    .join(", ");
}
