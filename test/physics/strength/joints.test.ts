import { describe, expect, it } from "vitest";
import {
  keyJoint,
  type ParallelKey,
  pinJoint,
  setScrewTorque,
  splineJoint,
  squareJoint,
  tongueJoint,
  twoFlatsJoint,
} from "../../../src/physics/strength/index.js";
import type { Force, Length } from "../../../src/quantity/index.js";

const mm = (value: number) => (value * 1e-3) as Length;

const keyBearing = (key: ParallelKey) => {
  const { shaft, hub } = keyJoint(key);
  return Math.min(shaft, hub);
};

describe("parallel key", () => {
  it("4200 lbf in on 1 7/16 in, key 3/8 in square of 65 ksi, factor 2.8: 1.17 in for shear, 1.35 in for pressure [budynas-nisbett-2011, example 7-6; from memory]", () => {
    const perInch = keyJoint({
      shaftDiameter: 1.4375 as Length,
      width: 0.375 as Length,
      height: 0.375 as Length,
      length: 1 as Length,
      count: 1,
    });
    const torque = 4200 * 2.8;
    // The book rounds the force to 5850 lbf and the strength to 37.5 ksi: 1 %.
    expect(Math.abs(torque / perInch.shear / 37_500 / 1.165 - 1)).toBeLessThan(0.01);
    expect(Math.abs(torque / perInch.hub / 65_000 / 1.344 - 1)).toBeLessThan(0.01);
  });

  it("bears in the hub by what does not stand in the shaft, and the other way round: statics, force over area", () => {
    const key = { shaftDiameter: mm(16), width: mm(5), height: mm(5), length: mm(18), count: 1 };
    const force = 41.28 / (16e-3 / 2);
    for (const depth of [1.5, 2, 3, 3.5]) {
      const bears = Math.min(depth, 5 - depth) * 1e-3;
      const pressure = 41.28 / keyBearing({ ...key, depth: mm(depth) });
      expect(pressure / (force / (bears * 18e-3))).toBeCloseTo(1, 12);
    }
    expect(keyBearing({ ...key, depth: mm(2.5) })).toBeCloseTo(keyBearing(key), 15);
    const two = keyJoint({ ...key, depth: mm(2), count: 2 });
    // [din-6892-2012], from memory: two keys carry one and a half times as much as one.
    expect(two.shaft / keyJoint({ ...key, depth: mm(2) }).shaft).toBeCloseTo(1.5, 12);
    expect(two.hub / two.shaft).toBeCloseTo(3 / 2, 12);
    expect(two.shear / keyJoint(key).shear).toBeCloseTo(1.5, 12);
    expect(keyJoint({ ...key, depth: mm(3) }).shear).toBe(keyJoint(key).shear);
  });
});

/** Torque of a pressure that grows straight from the middle of a face to its edge, by a sum over strips. */
function linearFace(width: number, length: number, faces: number): number {
  const strips = 1000;
  const step = width / 2 / strips;
  let torque = 0;
  for (let k = 0; k < strips; k++) {
    const x = (k + 0.5) * step;
    torque += faces * (x / (width / 2)) * length * step * x;
  }
  return torque;
}

describe("faces that turn about their middle, against a sum over strips", () => {
  it("tongue: two half faces", () => {
    expect(tongueJoint(mm(14), mm(6)).hub / linearFace(mm(14), mm(6), 2)).toBeCloseTo(1, 5);
  });

  it("square: four half faces", () => {
    expect(squareJoint(mm(11), mm(12)).shaft / linearFace(mm(11), mm(12), 4)).toBeCloseTo(1, 5);
  });

  it("two flats: the tongue of their chord, 2 sqrt(h (d - h))", () => {
    const chord = 2 * Math.sqrt(mm(2) * mm(14));
    expect(twoFlatsJoint(mm(16), mm(2), mm(10)).hub).toBeCloseTo(
      tongueJoint(chord as Length, mm(10)).hub,
      15,
    );
  });

  it("pin: in the shaft two halves of its own length, in the hub evenly on both walls", () => {
    const { shaft, shear } = pinJoint(mm(4), mm(14), mm(40));
    expect(shaft / linearFace(mm(14), mm(4), 2)).toBeCloseTo(1, 5);
    const thin = pinJoint(mm(4), mm(14), mm(16)).hub;
    // Two walls of 1 mm at a lever of 7.5 mm each.
    expect(thin).toBeCloseTo(2 * mm(4) * mm(1) * mm(7.5), 15);
    expect(shear).toBeCloseTo(2 * ((Math.PI / 4) * mm(4) ** 2) * mm(7), 15);
  });
});

it("spline: 20 teeth of which half carry, each at half the pitch diameter", () => {
  const { hub, shear } = splineJoint({
    pitchDiameter: mm(20),
    teeth: 20,
    height: mm(1),
    thickness: mm(1.5),
    length: mm(12),
    sharing: 0.5,
  });
  expect(hub).toBeCloseTo(10 * mm(1) * mm(12) * mm(10), 15);
  expect(shear).toBeCloseTo(10 * mm(1.5) * mm(12) * mm(10), 15);
});

it("two set screws of 4.45 kN (1/4 in, 1000 lbf [budynas-nisbett-2011, table 7-4; from memory]) on 14 mm hold 62.3 N m", () => {
  expect(setScrewTorque(2, 4448 as Force, mm(14))).toBeCloseTo(62.3, 1);
});
