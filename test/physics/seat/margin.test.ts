import fc from "fast-check";
import { describe, expect, it } from "vitest";
import ecss from "../../../data/margins/ecss-e-st-33-01c.json" with { type: "json" };
import nasa from "../../../data/margins/nasa-std-5017a.json" with { type: "json" };
import {
  type MotorisationFactors,
  type MotorisationTorques,
  motorisationMargin,
  motorisationTorque,
  motorisationTorques,
  resistingTorque,
  type TurningContribution,
  torqueMargin,
  turningTerms,
} from "../../../src/physics/seat/index.js";
import type { Torque } from "../../../src/quantity/index.js";
import reference from "../../reference/mechanics-torque.json" with { type: "json" };

const off = (x: number, expected: number) => Math.abs(x / expected - 1);

const factors = (kind: "theoretical" | "measured"): MotorisationFactors => ({
  inertia: ecss.components.inertia[kind],
  spring: ecss.components.spring[kind],
  magneticLosses: ecss.components.magneticLosses[kind],
  friction: ecss.components.friction[kind],
  hysteresis: ecss.components.hysteresis[kind],
  other: ecss.components.other[kind],
  adhesion: ecss.components.adhesion[kind],
  overall: ecss.overall,
  dynamic: ecss.dynamic,
  deliverable: ecss.deliverable,
});

describe("NASA-STD-5017A torque margin", () => {
  const row = reference.nasa;
  const resisting = { known: row.known as Torque, variable: row.variable as Torque };
  it("62 N m against 6 known and 14 variable at critical design: 0.2157", () => {
    const phase = nasa.phases.find(({ id }) => id === "critical design");
    expect(phase).toMatchObject(row.factors);
    const result = torqueMargin(row.available as Torque, resisting, row.factors);
    expect(off(result.margin ?? Number.NaN, row.margin)).toBeLessThan(row.tolerance.relative);
    expect(result.holds).toBe(row.holds);
    expect(result.required).toBe(51);
  });
  it("is zero exactly where the available torque is the factored one", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.01, max: 100, noNaN: true }),
        fc.double({ min: 0.01, max: 100, noNaN: true }),
        (known, variable) => {
          const { required } = torqueMargin(
            1 as Torque,
            { known: known as Torque, variable: variable as Torque },
            row.factors,
          );
          const exact = torqueMargin(
            required,
            { known: known as Torque, variable: variable as Torque },
            row.factors,
          );
          expect(exact.margin).toBe(0);
          expect(exact.holds).toBe(true);
        },
      ),
    );
  });
  it("nothing to turn has no margin and holds; a drive that pulls back fails", () => {
    const none = { known: 0 as Torque, variable: 0 as Torque };
    expect(torqueMargin(5 as Torque, none, row.factors)).toEqual({
      margin: undefined,
      required: 0,
      holds: true,
    });
    expect(torqueMargin(-5 as Torque, resisting, row.factors)).toMatchObject({ holds: false });
  });
  it("negative torques are refused", () => {
    expect(() =>
      torqueMargin(5 as Torque, { known: -1 as Torque, variable: 0 as Torque }, row.factors),
    ).toThrow(/known resisting torque is -1/);
  });
});

describe("ECSS-E-ST-33-01C motorisation", () => {
  const row = reference.ecss;
  const given = row.torques;
  const torques: MotorisationTorques = {
    inertia: given.inertia as Torque,
    spring: given.spring as Torque,
    magneticLosses: given.magneticLosses as Torque,
    friction: given.friction as Torque,
    hysteresis: given.hysteresis as Torque,
    other: given.other as Torque,
    adhesion: given.adhesion as Torque,
    dynamic: given.dynamic as Torque,
    deliverable: given.deliverable as Torque,
  };
  it("the printed row of components asks for 83.015 N m", () => {
    expect(off(motorisationTorque(torques, factors("theoretical")), row.T_min)).toBeLessThan(
      row.tolerance.relative,
    );
  });
  it("measured components ask for less", () => {
    const measured = motorisationTorque(torques, factors("measured"));
    expect(measured).toBeLessThan(row.T_min);
    expect(motorisationMargin(row.T_min as Torque, torques, factors("measured")).holds).toBe(true);
    expect(motorisationMargin(80 as Torque, torques, factors("theoretical")).holds).toBe(false);
  });
});

describe("from the ledger", () => {
  const ledger: readonly TurningContribution[] = turningTerms.map((term, i) => ({
    term,
    torque: (term.character === "flow" ? -3 : i + 1) as Torque,
  }));
  it("what helps earns no credit; the rest is counted once, in one class", () => {
    const { known, variable } = resistingTorque(ledger);
    const resisting = ledger.reduce((sum, { torque }) => sum + Math.max(0, torque), 0);
    expect(known + variable).toBeCloseTo(resisting, 12);
    const components = motorisationTorques(ledger, 0 as Torque, 0 as Torque);
    const counted = Object.values(components).reduce((sum, torque) => sum + torque, 0);
    expect(counted).toBeCloseTo(resisting, 12);
  });
  it("friction is variable and friction; ice is adhesion", () => {
    for (const term of turningTerms) {
      if (term.character === "friction") expect(term.marginClass).toBe("variable");
    }
    expect(turningTerms.find(({ id }) => id === "ice")?.motorisationClass).toBe("adhesion");
  });
  it("inertia and magnetic losses of the drive join their components", () => {
    const components = motorisationTorques(ledger, 2 as Torque, 0.5 as Torque);
    expect([components.inertia, components.magneticLosses]).toEqual([2, 0.5]);
  });
});
