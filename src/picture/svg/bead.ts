/** The small shapes that mark single values and tell lines apart without colour. */
import type { Role } from "../role.js";
import { roleStyles } from "../theme.js";
import { element, pixel } from "./element.js";
import { filled, filledAndStroked, stroked } from "./sheet.js";

/** The shape of a role around a point. @param x, y  [px]; @param size  half height [px] */
export function beadShape(role: Role, x: number, y: number, size: number): string {
  const bead = roleStyles[role].bead;
  if (bead === "ring")
    return element("circle", {
      cx: x,
      cy: y,
      r: size * 0.9,
      ...filledAndStroked("paper", role),
      "stroke-width": 1.75,
    });
  if (bead === "disc") return element("circle", { cx: x, cy: y, r: size, ...filled(role) });
  if (bead === "half disc") return halfDisc(role, x, y, size);
  if (bead === "cross") return cross(role, x, y, size);
  const corners = cornersOf[bead].map(([dx, dy]) => `${pixel(x + dx * size)},${pixel(y + dy * size)}`);
  return element("polygon", { points: corners.join(" "), ...filled(role) });
}

/** A ring whose left half is full. */
function halfDisc(role: Role, x: number, y: number, size: number): string {
  const ring = element("circle", {
    cx: x,
    cy: y,
    r: size * 0.95,
    ...filledAndStroked("paper", role),
    "stroke-width": 1.5,
  });
  const [top, bottom, radius] = [y - size, y + size, size].map(pixel);
  const d = `M${pixel(x)} ${top}A${radius} ${radius} 0 0 0 ${pixel(x)} ${bottom}Z`;
  return ring + element("path", { d, ...filled(role) });
}

/** Two strokes across each other, rimmed so that they stand out from the band behind them. */
function cross(role: Role, x: number, y: number, size: number): string {
  const [left, right, top, bottom] = [x - size, x + size, y - size, y + size].map(pixel);
  const d = `M${left} ${top}L${right} ${bottom}M${right} ${top}L${left} ${bottom}`;
  const rim = element("path", { d, ...stroked("paper"), "stroke-width": 6 });
  return rim + element("path", { d, ...stroked(role), "stroke-width": 3 });
}

const cornersOf: Readonly<Record<"square" | "triangle", readonly (readonly [number, number])[]>> = {
  square: [
    [-0.9, -0.9],
    [0.9, -0.9],
    [0.9, 0.9],
    [-0.9, 0.9],
  ],
  triangle: [
    [0, -1.2],
    [1.15, 0.9],
    [-1.15, 0.9],
  ],
};
