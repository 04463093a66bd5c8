import { describe, expect, it } from "vitest";
import {
  assembleTrain,
  stemInertia,
  stemStiffness,
  type TrainParts,
} from "../../../src/physics/compliant/index.js";
import type { Angle, AngularStiffness, Inertia, Torque } from "../../../src/quantity/index.js";
import { referenceRuns, trainOfCase } from "./plainChain.js";

const stage = (
  ratio: number,
  stiffness: number,
  backlash: number,
  inertia: number,
  noLoadTorque: number,
) => ({
  ratio,
  efficiency: 0.9,
  startingEfficiency: 0.8,
  backEfficiency: 0.88,
  stiffness: stiffness as AngularStiffness,
  backlash: backlash as Angle,
  inertia: inertia as Inertia,
  noLoadTorque: noLoadTorque as Torque,
});
const parts: TrainParts = {
  rotorInertia: 6e-6 as Inertia,
  motorFriction: 0.005 as Torque,
  stages: [stage(10, 2750, 0.006, 6e-7, 0.004), stage(8, 10_300, 0.004, 1.5e-6, 0.012)],
  coupling: { stiffness: 900 as AngularStiffness, backlash: 0.002 as Angle },
  stemStiffness: 1400 as AngularStiffness,
  couplingInertia: 6e-6 as Inertia,
  ballInertia: 2.4e-4 as Inertia,
  dampingRatio: 0.05,
  stopAt: "stem",
};
const whole = { ...trainOfCase(referenceRuns()[0]?.of ?? never()) };
function never(): never {
  throw new Error("no case");
}

describe("bodies and links from the parts, by hand", () => {
  it("every body: rotor with the first stage, second stage, coupling, ball; coupling and stem in series", () => {
    const { bodies, links, elements, stopBody } = assembleTrain(parts, "every");
    expect(bodies.map(({ inertia }) => inertia)).toEqual([6.6e-6, 1.5e-6, 6e-6, 2.4e-4]);
    expect(bodies.map(({ friction }) => friction)).toEqual([0.005 + 0.004, 0.012, 0, 0]);
    expect(links.map(({ ratio }) => ratio)).toEqual([10, 8, 1]);
    expect(links[2]?.stiffness).toBeCloseTo(1 / (1 / 900 + 1 / 1400), 9);
    expect(links[2]?.backlash).toBe(0.002);
    expect(stopBody).toBe(3);
    expect(elements.map(({ element, link }) => `${element} ${link}`)).toEqual([
      "motor 0",
      "stage 0",
      "stage 1",
      "coupling 2",
      "stem 2",
    ]);
  });

  it("light bodies joined: one spring of all in series, all backlash at the stem, all inertia kept", () => {
    const { bodies, links, elements } = assembleTrain(parts, "light joined");
    expect(links).toHaveLength(1);
    expect(links[0]?.ratio).toBe(80);
    expect(links[0]?.efficiency).toBeCloseTo(0.81, 12);
    const compliance = 1 / 900 + 1 / 1400 + 1 / 10_300 + 1 / (2750 * 64);
    expect(links[0]?.stiffness).toBeCloseTo(1 / compliance, 9);
    expect(links[0]?.backlash).toBeCloseTo(0.002 + 0.004 + 0.006 / 8, 12);
    const every = assembleTrain(parts, "every");
    const inertia = stemInertia({ ...whole, ...every });
    expect(stemInertia({ ...whole, bodies, links })).toBeCloseTo(inertia, 12);
    expect(stemStiffness({ ...whole, ...every })).toBeCloseTo(1 / compliance, 9);
    // The first stage's torque from the stem's: by the second mesh, and its no-load torque.
    const first = elements.find(({ element, stage: j }) => element === "stage" && j === 0);
    expect(first?.driving).toBeCloseTo(1 / (8 * 0.9), 12);
    expect(first?.driven).toBeCloseTo(0.88 / 8, 12);
    expect(first?.added).toBeCloseTo(0.012, 12);
  });

  it("a stop at the gear output keeps the body it acts on", () => {
    const { bodies, stopBody } = assembleTrain({ ...parts, stopAt: "gear output" }, "light joined");
    expect(bodies).toHaveLength(3);
    expect(stopBody).toBe(1);
  });

  it("damping: 2 zeta sqrt(k J1 J2/(J1 + J2)) of what the link joins", () => {
    const { links, bodies } = assembleTrain(parts, "light joined");
    const [link] = links;
    const ahead = (bodies[0]?.inertia ?? 0) * 6400;
    const behind = bodies[1]?.inertia ?? 0;
    const reduced = (ahead * behind) / (ahead + behind);
    expect(link?.damping).toBeCloseTo(2 * 0.05 * Math.sqrt((link?.stiffness ?? 0) * reduced), 9);
  });
});
