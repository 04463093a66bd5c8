/**
 * Shapes of a section through ball, seats and port in the plane of the pipe's axis, square to the stem.
 * Lengths are in ball radii, x along the flow, y across it, the stem's axis at the origin.
 */
import { throatArea } from "../../../physics/flow/index.js";
import type { Angle, Length } from "../../../quantity/index.js";

/** What is known of the valve; SI. */
export interface SectionGeometry {
  readonly ballDiameter: number;
  readonly bore: number;
  /** Of the circle on which a seat touches the ball; undefined where it is not known: no seat is drawn. */
  readonly seatContact: number | undefined;
  /** Angle from closed to wide open. */
  readonly travel: number;
}

/** The drawing reaches so far from the stem's axis along the pipe and across it, in ball radii. */
export const reach = { x: 2.1, y: 1.5 } as const;
/** Space between ball and body, and how deep a seat is along the pipe, in ball radii. */
const [space, seatDepth] = [0.08, 0.22] as const;
const points = 24;

const at = (x: number, y: number): string => `${x.toFixed(4)} ${(-y).toFixed(4)}`;
const polygon = (corners: readonly (readonly [number, number])[]): string =>
  `M${corners.map(([x, y]) => at(x, y)).join("L")}Z`;

/** Turn of the bore from the pipe's axis: none wide open. */
function turnOf({ travel }: SectionGeometry, opening: number): number {
  return travel - opening;
}

/** The metal of the ball: what is left of the circle on either side of the bore. @param opening from closed [rad] */
export function ballShape(geometry: SectionGeometry, opening: number): string {
  const half = Math.asin(Math.min(geometry.bore / geometry.ballDiameter, 1));
  const turn = turnOf(geometry, opening);
  const side = (middle: number): string =>
    polygon(
      Array.from({ length: points + 1 }, (_, k) => {
        const angle = middle - (Math.PI / 2 - half) + ((Math.PI - 2 * half) * k) / points;
        return [Math.cos(angle), Math.sin(angle)];
      }),
    );
  return side(turn + Math.PI / 2) + side(turn - Math.PI / 2);
}

/** The bore, from rim to rim with the caps of the ball that it cuts off. */
export function boreShape(geometry: SectionGeometry, opening: number): string {
  const half = Math.asin(Math.min(geometry.bore / geometry.ballDiameter, 1));
  const turn = turnOf(geometry, opening);
  const cap = (middle: number): readonly (readonly [number, number])[] =>
    Array.from({ length: points + 1 }, (_, k) => {
      const angle = middle - half + (2 * half * k) / points;
      return [Math.cos(angle), Math.sin(angle)];
    });
  return polygon([...cap(turn), ...cap(turn + Math.PI)]);
}

/** The port on one side, up to the ball. @param side -1 upstream, 1 downstream */
export function portShape({ bore, ballDiameter }: SectionGeometry, side: -1 | 1): string {
  const r = bore / ballDiameter;
  const half = Math.asin(Math.min(r, 1));
  const rim = Array.from({ length: points + 1 }, (_, k): readonly [number, number] => {
    const angle = half - (2 * half * k) / points;
    return [side * Math.cos(angle), Math.sin(angle)];
  });
  return polygon([[side * reach.x, r], ...rim, [side * reach.x, -r]]);
}

/** The four cuts through the two seats, each touching the ball at the contact circle; nothing where that is not known. */
export function seatShapes({ bore, ballDiameter, seatContact }: SectionGeometry): readonly string[] {
  if (seatContact === undefined || !(seatContact < ballDiameter)) return [];
  const inner = Math.min(bore, seatContact) / ballDiameter;
  const contact = seatContact / ballDiameter;
  // As much beyond the contact circle as lies between it and the port.
  const outer = Math.min(contact + Math.max(contact - inner, 0.06), 0.98);
  const face = (y: number): number => Math.sqrt(1 - Math.min(y, 1) ** 2);
  const back = face(contact) + seatDepth + face(inner) - face(outer);
  return [-1, 1].flatMap((side) =>
    [-1, 1].map((across) => {
      const rim = Array.from({ length: points + 1 }, (_, k): readonly [number, number] => {
        const y = inner + ((outer - inner) * k) / points;
        return [side * face(y), across * y];
      });
      return polygon([...rim, [side * back, across * outer], [side * back, across * inner]]);
    }),
  );
}

/** The body around cavity and ports. */
export function bodyShape({ bore, ballDiameter }: SectionGeometry): string {
  const r = bore / ballDiameter;
  const cavity = 1 + space;
  const half = Math.asin(Math.min(r / cavity, 1));
  const part = (across: -1 | 1): string => {
    const arc = Array.from({ length: points + 1 }, (_, k): readonly [number, number] => {
      const angle = half + ((Math.PI - 2 * half) * k) / points;
      return [cavity * Math.cos(angle), across * cavity * Math.sin(angle)];
    });
    return polygon([
      [reach.x, across * reach.y],
      [reach.x, across * r],
      ...arc,
      [-reach.x, across * r],
      [-reach.x, across * reach.y],
    ]);
  };
  return part(1) + part(-1);
}

/** Area of the throat at an opening, and its share of that wide open. Refuses a bore that does not fit the ball. */
export function openArea(geometry: SectionGeometry, opening: number): { area: number; share: number } {
  const port = {
    ballRadius: (geometry.ballDiameter / 2) as Length,
    boreRadius: (geometry.bore / 2) as Length,
  };
  const area = throatArea(port, turnOf(geometry, opening) as Angle);
  return { area, share: area / throatArea(port, 0 as Angle) };
}
