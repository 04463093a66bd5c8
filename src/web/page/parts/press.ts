/** Which choice was meant by a press on the picture. */
import { type Figure, nearestItem } from "../../../picture/index.js";
import { choicesInFigure, type SeekAnswer, type SeekAxis, scatterPoints } from "../../../seek/index.js";

/** Half of what a gloved finger needs [px]. */
const reach = 28;

/** The choice nearest to a press; undefined where none is near. */
export function choiceAtPress(
  answer: SeekAnswer,
  figure: Figure<"parallel"> | Figure<"plot">,
  axes: readonly [SeekAxis, SeekAxis] | undefined,
  chosen: number | undefined,
  { target, clientX, clientY }: Pick<MouseEvent, "target" | "clientX" | "clientY">,
): number | undefined {
  const svg = target instanceof Element ? target.closest("svg") : null;
  if (svg === null) return undefined;
  if (figure.kind === "plot")
    return axes === undefined ? undefined : nearestPoint(answer, svg, axes, clientX, clientY);
  const { left, top, width } = svg.getBoundingClientRect();
  const drawn = svg.viewBox.baseVal.width;
  const scale = width === 0 ? 1 : drawn / width;
  const at = { x: (clientX - left) * scale, y: (clientY - top) * scale };
  const item = nearestItem(figure, { width: drawn, caption: "left out" }, at);
  return item === undefined ? undefined : choicesInFigure(answer, chosen)[item];
}

/** The beads stand in the picture in the order in which the points are given. */
function nearestPoint(
  answer: SeekAnswer,
  svg: SVGSVGElement,
  [x, y]: readonly [SeekAxis, SeekAxis],
  clientX: number,
  clientY: number,
): number | undefined {
  const points = scatterPoints(answer, x, y);
  const beads = [...svg.querySelectorAll('g[role="group"][aria-label$="(points)"] > :is(circle, polygon)')];
  let best: number | undefined;
  let nearest = reach;
  for (const [place, { index }] of points.entries()) {
    const bead = beads[place]?.getBoundingClientRect();
    if (bead === undefined) continue;
    const distance = Math.hypot(
      clientX - (bead.left + bead.right) / 2,
      clientY - (bead.top + bead.bottom) / 2,
    );
    if (distance >= nearest) continue;
    best = index;
    nearest = distance;
  }
  return best;
}
