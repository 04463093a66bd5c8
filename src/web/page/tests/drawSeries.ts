/** Draws one quantity against time: band, prediction, tests, events, crosshair. Every extreme of a pixel column is kept. */
import { linear, type Role, roleStyles, ticks } from "../../../picture/index.js";
import { margin, pixelOf, pointsToDraw } from "../../compute/plotPlace.js";

/** A series in the units of the axes. */
export interface DrawnLine {
  readonly role: Role;
  /** Number among the lines of its role: parts them by dash. */
  readonly order: number;
  readonly x: readonly number[];
  readonly y: readonly number[];
}

/** A mark at an instant. */
export interface DrawnEvent {
  readonly id: string;
  readonly x: number;
  readonly isHeld: boolean;
}

export interface DrawnPanel {
  readonly label: string;
  readonly unit: string;
  readonly x: readonly [number, number];
  readonly y: readonly [number, number];
  readonly band?: {
    readonly x: readonly number[];
    readonly low: readonly number[];
    readonly high: readonly number[];
  };
  readonly lines: readonly DrawnLine[];
  readonly events: readonly DrawnEvent[];
  /** Names of the events stand in this panel. */
  readonly hasNames: boolean;
  readonly crosshair: number;
}

/** Colour of a role on the page as it looks now. */
function colours(): (role: Role | "ink" | "quiet" | "rule" | "paper" | "link") => string {
  const style = getComputedStyle(document.documentElement);
  const isDark =
    style.colorScheme.includes("dark") &&
    (!style.colorScheme.includes("light") || matchMedia("(prefers-color-scheme: dark)").matches);
  const body = getComputedStyle(document.body);
  return (name) => {
    if (name === "ink") return body.color;
    if (name === "paper") return body.backgroundColor;
    if (name === "quiet" || name === "rule" || name === "link") return named(name, isDark);
    return isDark ? roleStyles[name].colour.dark : roleStyles[name].colour.light;
  };
}

/** A colour that the page's own sheet has as light-dark(a,b). */
function named(name: string, isDark: boolean): string {
  const text = getComputedStyle(document.body).getPropertyValue(`--${name}`);
  const both = /light-dark\(([^,]+),([^)]+)\)/.exec(text);
  return (isDark ? both?.[2] : both?.[1])?.trim() ?? text;
}

/** Draws a panel. @param width, height  of the canvas [px of the page] */
export function drawPanel(canvas: HTMLCanvasElement, panel: DrawnPanel, width: number, height: number): void {
  const context = canvas.getContext("2d");
  if (context === null) return;
  const fine = Math.max(1, window.devicePixelRatio);
  if (canvas.width !== Math.round(width * fine) || canvas.height !== Math.round(height * fine)) {
    canvas.width = Math.round(width * fine);
    canvas.height = Math.round(height * fine);
  }
  const colour = colours();
  context.setTransform(fine, 0, 0, fine, 0, 0);
  context.clearRect(0, 0, width, height);
  const top = margin.top + (panel.hasNames ? margin.strip : 0);
  const px = (x: number): number => pixelOf(x, panel.x, width);
  const py = linear(panel.y, height - margin.bottom, top);
  drawGrid(context, panel, { width, height, top, px, py, colour });
  context.save();
  context.beginPath();
  context.rect(margin.left, top, width - margin.left - margin.right, height - margin.bottom - top);
  context.clip();
  drawBand(context, panel, px, py, colour("band"));
  for (const line of panel.lines)
    drawLine(context, line, panel, { width, px, py, colour: colour(line.role) });
  context.restore();
  drawEvents(context, panel, { width, height, top, px, colour });
}

interface Place {
  readonly width: number;
  readonly height: number;
  readonly top: number;
  readonly px: (x: number) => number;
  readonly py: (y: number) => number;
  readonly colour: ReturnType<typeof colours>;
}

function fontOf(context: CanvasRenderingContext2D): number {
  const size = Number.parseFloat(getComputedStyle(document.documentElement).fontSize) * 0.82;
  context.font = `${size}px ${getComputedStyle(document.body).fontFamily}`;
  return size;
}

function drawGrid(context: CanvasRenderingContext2D, panel: DrawnPanel, place: Place): void {
  const { width, height, top, px, py, colour } = place;
  const size = fontOf(context);
  context.lineWidth = 1;
  context.strokeStyle = colour("rule");
  context.fillStyle = colour("ink");
  context.textBaseline = "middle";
  context.textAlign = "right";
  const rows = Math.max(2, Math.floor((height - top - margin.bottom) / (3 * size)));
  for (const { value, text } of ticks(panel.y, rows, panel.unit)) {
    line(context, margin.left, py(value), width - margin.right, py(value));
    context.fillText(text, margin.left - 8, py(value));
  }
  context.textBaseline = "top";
  context.textAlign = "center";
  const columns = Math.max(2, Math.floor((width - margin.left) / (7 * size)));
  for (const { value, text } of ticks(panel.x, columns, "ms")) {
    line(context, px(value), top, px(value), height - margin.bottom);
    context.fillText(text, px(value), height - margin.bottom + 6);
  }
  context.textAlign = "left";
  context.textBaseline = "middle";
  context.fillText(`${panel.label} [${panel.unit}]`, margin.left, top - margin.top / 2);
  context.textAlign = "right";
  context.fillText("ms", width - margin.right, top - margin.top / 2);
}

function line(context: CanvasRenderingContext2D, x0: number, y0: number, x1: number, y1: number): void {
  context.beginPath();
  context.moveTo(x0, y0);
  context.lineTo(x1, y1);
  context.stroke();
}

function drawBand(
  context: CanvasRenderingContext2D,
  { band }: DrawnPanel,
  px: (x: number) => number,
  py: (y: number) => number,
  colour: string,
): void {
  if (band === undefined) return;
  const known = band.x.flatMap((x, i) => {
    const [low, high] = [band.low[i], band.high[i]];
    return Number.isFinite(low) && Number.isFinite(high)
      ? [[px(x), py(low ?? 0), py(high ?? 0)] as const]
      : [];
  });
  context.beginPath();
  for (const [x, , high] of known) context.lineTo(x, high);
  for (const [x, low] of known.toReversed()) context.lineTo(x, low);
  context.closePath();
  context.fillStyle = colour;
  context.globalAlpha = 0.28;
  context.fill();
  context.globalAlpha = 1;
  context.strokeStyle = colour;
  context.lineWidth = 1;
  context.setLineDash([]);
  context.stroke();
}

function drawLine(
  context: CanvasRenderingContext2D,
  { role, order, x, y }: DrawnLine,
  panel: DrawnPanel,
  {
    width,
    px,
    py,
    colour,
  }: { width: number; px: (x: number) => number; py: (y: number) => number; colour: string },
): void {
  const { dashes, lineWidth } = roleStyles[role];
  context.setLineDash(
    (dashes[order % dashes.length] ?? "")
      .split(" ")
      .filter((one) => one !== "")
      .map(Number),
  );
  context.lineWidth = lineWidth;
  context.strokeStyle = colour;
  context.lineJoin = "round";
  context.beginPath();
  let isDown = false;
  for (const i of pointsToDraw(x, y, panel.x, width - margin.left - margin.right)) {
    const value = y[i] ?? Number.NaN;
    if (Number.isNaN(value)) isDown = false;
    else if (isDown) context.lineTo(px(x[i] ?? 0), py(value));
    else {
      context.moveTo(px(x[i] ?? 0), py(value));
      isDown = true;
    }
  }
  context.stroke();
  context.setLineDash([]);
}

function drawEvents(
  context: CanvasRenderingContext2D,
  panel: DrawnPanel,
  { width, height, top, px, colour }: Omit<Place, "py">,
): void {
  const size = fontOf(context);
  const inside = (x: number): boolean => x >= panel.x[0] && x <= panel.x[1];
  const rows: number[] = [];
  context.textBaseline = "middle";
  for (const { id, x, isHeld } of [...panel.events].sort((a, b) => a.x - b.x)) {
    if (!inside(x)) continue;
    context.strokeStyle = colour(isHeld ? "worse" : "ink");
    context.fillStyle = colour(isHeld ? "worse" : "ink");
    context.lineWidth = isHeld ? 3 : 1;
    context.setLineDash(isHeld ? [] : [2, 4]);
    line(context, px(x), panel.hasNames ? 4 : top, px(x), height - margin.bottom);
    context.setLineDash([]);
    if (!panel.hasNames) continue;
    const text = context.measureText(id).width;
    const isLeft = px(x) + text + 12 > width - margin.right;
    context.textAlign = isLeft ? "right" : "left";
    const from = isLeft ? px(x) - text - 8 : px(x);
    let row = rows.findIndex((end) => end < from);
    if (row < 0) row = rows.length;
    rows[row] = isLeft ? px(x) : px(x) + text + 14;
    const y = 8 + row * size * 1.15;
    // Where names crowd, the list below has them: one over the other could not be read.
    if (y > margin.strip - 4) continue;
    context.fillText(id, px(x) + (isLeft ? -5 : 5), y);
  }
  if (!inside(panel.crosshair)) return;
  context.strokeStyle = colour("link");
  context.lineWidth = 2;
  context.setLineDash([]);
  line(context, px(panel.crosshair), top, px(panel.crosshair), height - margin.bottom);
}
