import type { Numbers, Role } from "../role.js";
import { lastPoint, type MarkKind, requireSameLength } from "./mark.js";
import { strokeSvg, strokeText } from "./stroke.js";

/** A series that holds each value until the next one, as a command or a counted share does. */
export interface StepMark {
  readonly kind: "step";
  readonly role: Role;
  readonly label?: string;
  readonly x: Numbers;
  readonly y: Numbers;
}

/** How a step series is checked, drawn and listed. */
export const step: MarkKind<StepMark> = {
  check: ({ x, y }) => requireSameLength("step", { x, y }),
  extent: ({ x, y }) => ({ xs: x, ys: y }),
  outlines: (mark) => [corners(mark)],
  label: ({ label, role, x, y }) => {
    const end = lastPoint(x, y);
    if (label === undefined || end === undefined) return undefined;
    return { where: "end", text: label, role, sample: "line", ...end };
  },
  overhangs: true,
  drawSvg: (mark, space) => strokeSvg(mark.role, corners(mark).x, corners(mark).y, space),
  drawText: (mark, space) => strokeText(mark.role, corners(mark).x, corners(mark).y, space),
  rows: ({ x, y }) => Array.from(x, (value, index) => ({ x: value, y: y[index] ?? Number.NaN })),
};

/** The series with a corner ahead of each new value. */
function corners({ x, y }: StepMark): { readonly x: Numbers; readonly y: Numbers } {
  const cornerX: number[] = [];
  const cornerY: number[] = [];
  for (let index = 0; index < x.length; index++) {
    const [valueX, valueY] = [x[index] ?? Number.NaN, y[index] ?? Number.NaN];
    if (index > 0) {
      cornerX.push(valueX);
      cornerY.push(y[index - 1] ?? Number.NaN);
    }
    cornerX.push(valueX);
    cornerY.push(valueY);
  }
  return { x: cornerX, y: cornerY };
}
