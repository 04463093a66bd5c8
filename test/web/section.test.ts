import { describe, expect, it } from "vitest";
import { angleAt, motionPath } from "../../src/web/page/section/motionPath.js";
import {
  ballShape,
  boreShape,
  openArea,
  type SectionGeometry,
  seatShapes,
} from "../../src/web/page/section/sectionShape.js";

const degrees = Math.PI / 180;
const valve: SectionGeometry = {
  ballDiameter: 0.052,
  bore: 0.032,
  seatContact: 0.038,
  travel: 90 * degrees,
};

/** Corners of each closed part of a path. */
function parts(path: string): readonly (readonly (readonly [number, number])[])[] {
  return path
    .split("Z")
    .filter((part) => part !== "")
    .map((part) =>
      part
        .slice(1)
        .split("L")
        .map((corner) => {
          const [x = Number.NaN, y = Number.NaN] = corner.split(" ").map(Number);
          return [x, -y] as const;
        }),
    );
}

/** Area by the sum of cross products. */
function area(path: string): number {
  return parts(path).reduce((all, corners) => {
    const twice = corners.reduce((sum, [x, y], k) => {
      const [nextX, nextY] = corners[(k + 1) % corners.length] ?? [0, 0];
      return sum + x * nextY - nextX * y;
    }, 0);
    return all + Math.abs(twice) / 2;
  }, 0);
}

describe("the section of ball and bore", () => {
  it.each([0, 20, 45, 90])("at %d deg: bore and metal together are the circle of the ball", (angle) => {
    const both = area(ballShape(valve, angle * degrees)) + area(boreShape(valve, angle * degrees));
    expect(both).toBeCloseTo(Math.PI, 1);
  });

  it("wide open the bore lies along the pipe, shut across it", () => {
    const reachX = (path: string) =>
      Math.max(
        ...parts(path)
          .flat()
          .map(([x]) => Math.abs(x)),
      );
    const half = valve.bore / valve.ballDiameter;
    expect(reachX(boreShape(valve, 90 * degrees))).toBeCloseTo(1, 6);
    expect(reachX(boreShape(valve, 0))).toBeCloseTo(half, 3);
  });

  // Closed form: a bore of radius r is pi r^2 wide; it first opens at pi/2 - 2 asin(r/R) (docs/theory/flow.md).
  it("is coloured by the throat: pi r^2 wide open, nothing before the first opening", () => {
    expect(openArea(valve, 90 * degrees).area).toBeCloseTo(Math.PI * 0.016 ** 2, 12);
    expect(openArea(valve, 90 * degrees).share).toBe(1);
    const first = Math.PI / 2 - 2 * Math.asin(0.032 / 0.052);
    expect(openArea(valve, first - 1e-6).area).toBe(0);
    expect(openArea(valve, first + 0.02).area).toBeGreaterThan(0);
  });

  it("no seat is drawn where its contact circle is not known", () => {
    expect(seatShapes(valve)).toHaveLength(4);
    expect(seatShapes({ ...valve, seatContact: undefined })).toEqual([]);
  });

  it("a seat touches the ball at its contact circle and never cuts into it", () => {
    for (const shape of seatShapes(valve))
      for (const [x, y] of parts(shape).flat()) expect(Math.hypot(x, y)).toBeGreaterThanOrEqual(0.9999);
  });
});

describe("the motion that it follows", () => {
  const figure = {
    kind: "plot" as const,
    id: "opening-angle-opening",
    title: "",
    words: "",
    x: { label: "", unit: "ms" },
    y: { label: "", unit: "deg" },
    marks: [
      { kind: "line" as const, role: "measurement" as const, x: [0, 1], y: [5, 5] },
      { kind: "line" as const, role: "prediction" as const, x: [0, 100, 200], y: [0, 30, 90] },
    ],
  };

  it("is that of the picture of the answer, straight between its instants and at rest beyond them", () => {
    const path = motionPath([figure]);
    if (path === undefined) throw new Error("there is a path");
    expect([-5, 0, 50, 150, 200, 300].map((t) => angleAt(path, t))).toEqual([0, 0, 15, 60, 90, 90]);
  });

  it("is not there where no motion is known", () => {
    expect(motionPath([])).toBeUndefined();
    expect(motionPath([{ ...figure, marks: [] }])).toBeUndefined();
  });
});
