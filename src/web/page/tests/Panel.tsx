/** One panel of the time series, and its picture to keep. */
import { useEffect, useRef } from "react";
import { drawSvg, figureCsv, type PlotFigure } from "../../../picture/index.js";
import { margin } from "../../compute/plotPlace.js";
import { keepPng, keepText } from "../keepFile.js";
import { css } from "../look.js";
import { type DrawnPanel, drawPanel } from "./drawSeries.js";
import { own } from "./look.js";
import { useThemeTurn } from "./seriesView.js";

/** Height of the plot of a panel [px of the page]. */
const plotHeight = 190;
const keptWidth = 1200;

/** @param words what it shows, for who cannot see it */
export function Panel({
  panel,
  width,
  words,
}: {
  readonly panel: DrawnPanel;
  readonly width: number;
  readonly words: string;
}) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const turn = useThemeTurn();
  const height = plotHeight + (panel.hasNames ? margin.strip : 0);
  useEffect(() => {
    void turn;
    if (canvas.current === null) return;
    canvas.current.style.width = `${width}px`;
    canvas.current.style.height = `${height}px`;
    drawPanel(canvas.current, panel, width, height);
    performance.mark("series drawn");
  }, [panel, width, height, turn]);
  return <canvas ref={canvas} className={own.panel} role="img" aria-label={words} />;
}

/** Buttons that hand out what a panel shows. */
export function KeepPanel({ figure }: { readonly figure: () => PlotFigure }) {
  const draw = (): string => drawSvg(figure(), { width: keptWidth });
  const name = (ending: string): string => `${figure().id}.${ending}`;
  const title = figure().y.label;
  return (
    <fieldset className={`${css.acts} noprint`} aria-label={`Keep ${title}`}>
      <span className={own.keep}>{title}</span>
      <button type="button" onClick={() => keepText(draw(), name("svg"), "image/svg+xml")}>
        SVG
      </button>
      <button type="button" onClick={() => void keepPng(draw(), name("png"))}>
        PNG
      </button>
      <button type="button" onClick={() => keepText(figureCsv(figure()), name("csv"), "text/csv")}>
        Data (CSV)
      </button>
    </fieldset>
  );
}
