/** The small shapes that mark single values and tell lines apart without colour. */
import type { Role } from "../role.js";
import { type Bead, roleStyles } from "../theme.js";
import { element, pixel } from "./element.js";
import { filled, filledAndStroked } from "./sheet.js";

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
  const corners = cornersOf[bead].map(([dx, dy]) => `${pixel(x + dx * size)},${pixel(y + dy * size)}`);
  return element("polygon", { points: corners.join(" "), ...filled(role) });
}

const cornersOf: Readonly<Record<Exclude<Bead, "ring" | "disc">, readonly (readonly [number, number])[]>> = {
  diamond: [
    [0, -1.25],
    [1.25, 0],
    [0, 1.25],
    [-1.25, 0],
  ],
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
