import { drawSvg, drawText, type Figure, figureCsv } from "../../src/picture/index.js";

const time = [0, 10, 20, 30, 40, 50, 60];
const angle = [0, 2, 17, 45, 73, 88, 90];

const figure: Figure = {
  kind: "plot",
  id: "opening",
  title: "Opening angle after the command",
  words: "The predicted angle reaches 90° at 55 ms, inside the limit of 60 ms.",
  x: { label: "Time since command", unit: "ms" },
  y: { label: "Angle at the stem", unit: "°" },
  marks: [
    { kind: "line", role: "prediction", label: "prediction", x: time, y: angle },
    { kind: "limit", axis: "x", value: 60, forbidden: "above", label: "at most 60 ms" },
  ],
};

export const picture = drawSvg(figure, { width: 720 });
export const terminal = drawText(figure, { columns: 80, rows: 24, unicode: true });
export const table = figureCsv(figure);
