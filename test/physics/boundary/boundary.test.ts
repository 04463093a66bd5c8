/** Walls, bolts and the stem's shoulder, against handbook values and closed forms. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  allowedStress,
  boreStress,
  burstPressure,
  coverStress,
  ejectionForce,
  endLoadPerBolt,
  loadedBolt,
  neededCover,
  neededTubeWall,
  shoulderStress,
  wallLeft,
} from "../../../src/physics/boundary/index.js";
import type { Force, Length } from "../../../src/quantity/index.js";

const length = (metres: number) => metres as Length;
const force = (newtons: number) => newtons as Force;
const tube = (outer: number, wall: number, allowance = 0) => ({
  outerDiameter: length(outer),
  thickness: length(wall),
  allowance: length(allowance),
  tolerance: 0,
});

describe("walls", () => {
  it("48.3 mm tube at 55 bar with S = 138 MPa needs 0.9474 mm [asme-b31.3-2016, 304.1.2, worked by hand]", () => {
    expect(neededTubeWall(tube(48.3e-3, 2.77e-3), 5.5e6, 138e6, 1)).toBeCloseTo(0.9474e-3, 7);
  });

  it("a thick tube takes Y from its own diameters [asme-b31.3-2016, table 304.1.1, note]: 40 mm with 10 mm wall, Y = 1/3", () => {
    const p = 60e6;
    const needed = neededTubeWall(tube(40e-3, 10e-3), p, 138e6, 1);
    expect(needed).toBeCloseTo((p * 40e-3) / (2 * (138e6 + p / 3)), 9);
  });

  it("bore 20 mm, outside 40 mm, 60 MPa: hoop stress 100 MPa [budynas-nisbett-2011, sec. 3-14]", () => {
    const { hoop, equivalent } = boreStress(length(40e-3), length(10e-3), 60e6);
    expect(hoop / 1e6).toBeCloseTo(100, 9);
    // Closed ends: axial p ri2/(ro2-ri2) = 20, radial -60; von Mises of (100, 20, -60).
    expect(equivalent / 1e6).toBeCloseTo(Math.sqrt((80 ** 2 + 80 ** 2 + 160 ** 2) / 2), 9);
  });

  it("a thin tube feels p r / t, by the membrane equation", () => {
    const { hoop } = boreStress(length(1), length(1e-4), 1e5);
    expect(hoop / 1e6).toBeCloseTo((1e5 * 0.5) / 1e-4 / 1e6, 0);
  });

  it("a cover as thick as it needs to be is stressed as allowed [asme-viii-1-2015, UG-34]", () => {
    const t = neededCover(length(0.2), 0.3, 5e6, 138e6, 1);
    expect(t).toBeCloseTo(0.2 * Math.sqrt((0.3 * 5) / 138), 12);
    expect(coverStress(length(0.2), 0.3, 5e6, t) / 1e6).toBeCloseTo(138, 9);
  });

  it("bursts where a fully plastic tube does if it does not harden: 2/sqrt3 s ln(ro/ri) [budynas-nisbett-2011, closed form]", () => {
    const p = burstPressure(length(40e-3), length(10e-3), 250e6, 250e6);
    expect(p / 1e6).toBeCloseTo((2 / Math.sqrt(3)) * 250 * Math.log(2), 6);
  });

  it("annealed 316 at its least strengths, 205 and 515 MPa, is allowed 137 MPa where the code tables 138 (20 ksi) [asme-b31.3-2016, table A-1, from memory]", () => {
    expect(allowedStress(205e6, 515e6) / 1e6).toBeCloseTo(138, -1);
    expect(allowedStress(205e6, 515e6) / 138e6).toBeCloseTo(1, 1);
  });

  it("tolerance and allowance come off the drawn wall", () => {
    expect(wallLeft({ thickness: length(8e-3), tolerance: 0.125, allowance: length(1e-3) })).toBeCloseTo(
      6e-3,
      12,
    );
  });

  it("more pressure never needs less wall", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1e5, max: 5e7, noNaN: true }),
        fc.double({ min: 1.01, max: 3, noNaN: true }),
        fc.double({ min: 0.02, max: 0.45, noNaN: true }),
        (p, more, share) => {
          const one = tube(0.05, 0.05 * share);
          return neededTubeWall(one, p * more, 138e6, 1) > neededTubeWall(one, p, 138e6, 1);
        },
      ),
    );
  });
});

describe("bolts", () => {
  const flange = { count: 4, sealedDiameter: length(50e-3), stiffnessRatio: 4 };

  it("share the end load", () => {
    expect(endLoadPerBolt(flange, 6e6)).toBeCloseTo((6e6 * Math.PI * 0.05 ** 2) / 16, 6);
  });

  it("take up a fifth of the load where the joint is four times stiffer [vdi-2230-1-2015, sec. 5.3]", () => {
    const { bolt, clamp } = loadedBolt(flange, force(10e3), force(5e3));
    expect(bolt).toBeCloseTo(11e3, 6);
    expect(clamp).toBeCloseTo(6e3, 6);
  });

  it("carry all of it once the joint is open, and bolt less clamp is the load until then", () => {
    expect(loadedBolt(flange, force(1e3), force(5e3)).bolt).toBe(5e3);
    expect(loadedBolt(flange, force(1e3), force(5e3)).clamp).toBeLessThan(0);
    fc.assert(
      fc.property(
        fc.double({ min: 1e3, max: 2e4, noNaN: true }),
        fc.double({ min: 0, max: 1e3, noNaN: true }),
        (preload, load) => {
          const { bolt, clamp } = loadedBolt(flange, force(preload), force(load));
          expect(bolt - clamp).toBeCloseTo(load, 6);
        },
      ),
    );
  });
});

describe("stem", () => {
  it("14 mm on its packing at 60 bar is driven out by 924 N", () => {
    expect(ejectionForce(6e6, length(14e-3))).toBeCloseTo(6e6 * Math.PI * 49e-6, 6);
  });

  it("a shoulder shears over the bore's edge and presses on the ring between", () => {
    const shoulder = { outerDiameter: length(22e-3), height: length(4e-3), bonnetBore: length(14e-3) };
    const { shear, bearing } = shoulderStress(shoulder, force(1000));
    expect(shear).toBeCloseTo(1000 / (Math.PI * 14e-3 * 4e-3), 3);
    expect(bearing).toBeCloseTo(1000 / ((Math.PI / 4) * (22e-3 ** 2 - 14e-3 ** 2)), 3);
    expect(shoulderStress({ ...shoulder, outerDiameter: length(13e-3) }, force(1)).bearing).toBe(Infinity);
  });
});
