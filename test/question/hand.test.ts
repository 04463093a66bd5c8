/**
 * Every check against numbers worked out on paper for hand.yaml. The arithmetic stands here, step by
 * step, from the sources' equations and printed property values; nothing of the program enters it.
 */
import { beforeAll, describe, expect, it } from "vitest";
import type { Answer } from "../../src/question/index.js";
import { answersTo, checkNamed } from "./answering.js";

let duty: readonly Answer[] = [];
let dry: readonly Answer[] = [];
beforeAll(async () => {
  duty = await answersTo({ samples: 0 });
  dry = await answersTo({ caseId: "dry", samples: 0 });
});

function numberOf(answers: readonly Answer[], id: string): number {
  const check = checkNamed(answers, id);
  if (check.kind !== "known") throw new Error(`${id} is ${check.verdict}`);
  return check.value;
}

function near(found: number, expected: number, share: number): void {
  expect(Math.abs(found - expected)).toBeLessThanOrEqual(share * Math.abs(expected));
}

/** Water at 20 degC: 998.21 kg/m3 at 1 bar [wagner-pruss-2002], compressibility 4.6e-10 1/Pa. */
const rho = 998.21 * (1 + 4.6e-10 * 1e6);
/** Its vapour pressure [bar], and critical pressure [bar]; [wagner-pruss-2002]. */
const pv = 0.023393;
const pc = 220.64;
/** The definition of Kv takes water of 999 kg/m3 or 1000 kg/m3, as the edition has it: 0.1 %. */
const kvShare = 1.5e-3;

describe("flow by IEC 60534-2-1, liquid without choking: Q [m3/h] = Kv sqrt(dp [bar] / (rho/1000))", () => {
  /** Drop over the valve per (kg/s)^2 at a Kv [bar]. */
  const perSquare = (Kv: number) => (3600 / rho / Kv) ** 2 * (rho / 1000);
  /** Line: 1 + 8 bar at 5 kg/s; the whole difference is 10 bar. */
  const line = 9 / 25;
  const massFlow = (Kv: number) => Math.sqrt(10 / (line + perSquare(Kv)));

  it("the torque margin can be worked out again from the point it names", () => {
    const check = duty.flatMap(({ checks }) => checks).find(({ id }) => id === "torque-margin");
    const words = check?.assumptions.join(" ") ?? "";
    const [, gives, resists] = words.match(/the drive gives ([\d.]+) N m against ([\d.]+) N m/) ?? [];
    const [, factor] = (check?.kind === "known" && check.limit.words.match(/FS_v ([\d.]+)/)) || [];
    // The words carry three digits or more.
    near(1 + numberOf(duty, "torque-margin"), Number(gives) / (Number(factor) * Number(resists)), 5e-3);
  });

  it("mass flow wide open: 10 bar over 9 bar of line at 5 kg/s and a valve of 36 Kv pass 5.199 kg/s", () => {
    near(numberOf(duty, "installed-flow"), massFlow(36), kvShare);
  });

  it("flow capacity: 5 kg/s at 0.5 bar need 25.47 Kv, 36 Kv are there", () => {
    const needed = (3600 * 5) / rho / Math.sqrt(0.5 / (rho / 1000));
    expect(needed).toBeCloseTo(25.47, 2);
    near(1 + numberOf(duty, "flow-capacity"), 36 / needed, kvShare);
  });

  it("velocity through the bore: 5.199 kg/s in 32 mm", () => {
    expect(massFlow(36)).toBeCloseTo(5.1987, 3);
    near(numberOf(duty, "velocity-body"), massFlow(36) / rho / ((Math.PI / 4) * 0.032 ** 2), kvShare);
  });

  // The worst operating opening is that of half of 5 kg/s, wherever it lies: 10 bar less 0.36 bar per
  // (kg/s)^2 of line are left to the valve. The flow coefficient grows by 0.4 Kv/deg.
  const m = 2.5;
  const drop = 10 - line * m * m;
  const p1 = 11 - (m * m) / 25;
  const opening = (3600 * m) / rho / Math.sqrt(drop / (rho / 1000)) / 0.4;

  it("choking margin at 8.1 deg: dp / (F_L^2 (p1 - F_F pv)), F_L = 0.9", () => {
    expect(opening).toBeCloseTo(8.09, 2);
    const FF = 0.96 - 0.28 * Math.sqrt(pv / pc);
    near(numberOf(duty, "choke"), drop / (0.81 * (p1 - FF * pv)), 2 * kvShare);
    const check = duty.flatMap(({ checks }) => checks).find(({ id }) => id === "choke");
    const [, named] = check?.assumptions.join(" ").match(/Worst operating opening .*: ([\d.]+) deg/) ?? [];
    near(Number(named), opening, 2 * kvShare);
  });

  it("cavitation index at 8.1 deg: dp / (p1 - pv) over the onset 0.8", () => {
    near(numberOf(duty, "cavitation"), drop / (p1 - pv) / 0.8, 2 * kvShare);
  });

  it("controllability: 17 arcmin of backlash and 0.1 deg of the sensor on the steepest 1.5 deg", () => {
    const step = (15 + 20 / 10) / 60 + 0.1;
    const slope = (massFlow(3.6) - massFlow(3)) / 1.5;
    near(numberOf(duty, "controllability"), (slope * step) / 5, 2 * kvShare);
  });
});

describe("turning torque, contact circle at 45 deg: T = mu F / cos g R (2/pi) E(1/2)", () => {
  /** E(1/2) = 1.3506438810 [abramowitz-stegun-1972, table 17.1]. */
  const perForce = ((0.1 * 0.025) / Math.SQRT1_2) * (2 / Math.PI) * 1.350643881;
  const preload = 2 * 500 * perForce;
  const pressed = Math.PI * 0.01767767 ** 2 * 10e5 * perForce;
  const packing = 1;
  /** Stem 14 mm at 11 - 1.013 bar(g); collar 22 / 14.5 mm, lever of even pressure. */
  const lever = ((2 / 3) * (11 ** 3 - 7.25 ** 3)) / (11 ** 2 - 7.25 ** 2) / 1e3;
  const thrust = 0.1 * (Math.PI / 4) * 0.014 ** 2 * 9.987e5 * lever;
  const ice = 0.2;
  const closed = preload + pressed + packing + thrust;
  /** Running, with ice; breakaway 1.5, dwell 1.2. */
  const running = closed + ice;
  const breakaway = closed * 1.5 * 1.2 + ice;
  /** 12 A at 0.05 N m/A less 10 mN m of the motor, through 120:1 at 0.72. */
  const gain = 120 * 0.9 * 0.8;
  const standstill = (0.05 * 12 - 0.01) * gain;
  /** 90 deg in 0.78 s: 12.08 V of back-EMF leave 11.92 A of 1 ohm. */
  const speed = (Math.PI / 2 / 0.78) * 120;
  const atSpeed = (0.05 * (24 - 0.05 * speed) - 0.01) * gain;
  /** The tables of the geometry and the elliptic integral carry six digits and more. */
  const digits = 1e-4;

  it("breakaway torque 13.10 N m against 50.98 N m", () => {
    const check = checkNamed(duty, "break-torque");
    near(numberOf(duty, "break-torque"), breakaway, digits);
    expect(check.kind === "known" && check.limit.most).toBeCloseTo(standstill, 6);
  });

  it("running torque 7.37 N m, greatest at the shut valve, against 50.62 N m", () => {
    const check = checkNamed(duty, "run-torque");
    near(numberOf(duty, "run-torque"), running, digits);
    expect(check.kind === "known" && check.limit.most).toBeCloseTo(atSpeed, 6);
  });

  it("torque to close: the last degrees against the full drop ask for most", () => {
    near(numberOf(duty, "end-torque"), standstill / running - 1, digits);
  });

  it("torque margin [nasa-std-5017a, form of the rule] with 3 on variable torques, at the breakaway", () => {
    near(numberOf(duty, "torque-margin"), standstill / (3 * breakaway) - 1, 4 * digits);
  });

  it("torque margin of the dry valve: at the breakaway too", () => {
    const atStart = (preload + packing) * 1.8 + ice;
    near(numberOf(dry, "torque-margin"), standstill / (3 * atStart) - 1, digits);
  });

  it("motorisation [ecss-e-st-33-01c, table 4-2]: 2 (3 F_R + 3 H_D + 1.5 H_M), theoretical factors", () => {
    const magnetic = 0.01 * gain;
    const required = 2 * (3 * (breakaway - ice) + 3 * ice + 1.5 * magnetic);
    near(numberOf(duty, "motorisation"), (standstill + magnetic) / required - 1, 4 * digits);
  });

  it("ice torque: the declared one", () => {
    expect(numberOf(duty, "ice-torque")).toBe(ice);
  });

  describe("opening of the dry valve: constant torque to 240 rad/s, then a linear motor [leonhard-2001]", () => {
    const load = (preload + packing + ice) / gain + 0.01;
    const inertia = 1e-5 + 2.5e-4 / (120 * gain);
    const limited = (240 * inertia) / (0.05 * 12 - load);
    const steadyCurrent = load / 0.05;
    const steady = (24 - steadyCurrent) / 0.05;
    const tau = inertia / 0.05 ** 2;
    const way = (Math.PI / 2) * 120;
    const end = limited + (way - 0.5 * 240 * limited + (steady - 240) * tau) / steady;

    it("opening time 438.2 ms from command to end of travel, closing the same", () => {
      expect(limited).toBeCloseTo(4.4475e-3, 5);
      // Breakaway falls to running friction within a milliradian; the winding's time constant is 1 microsecond.
      near(numberOf(dry, "opening-time"), 0.02 + end, 2e-4);
      near(numberOf(dry, "closing-time"), 0.02 + end, 2e-4);
    });

    it("winding temperature: three seconds at 12 A and one stroke into 20 J/K, the resistance growing by 0.393 %/K", () => {
      const hold = 0.8 * 12 ** 2 * 3;
      const fall = 12 - steadyCurrent;
      const stroke =
        0.8 *
        (12 ** 2 * limited +
          steadyCurrent ** 2 * (end - limited) +
          fall ** 2 * (tau / 2) +
          2 * steadyCurrent * fall * tau);
      // A thermal resistance of 1e6 K/W lets nothing out.
      const grown = (Math.exp((0.00393 * (hold + stroke)) / 20) - 1) / 0.00393;
      near(numberOf(dry, "motor-thermal") - 293.15, grown, 1e-3);
    });

    it("voltage at the driver: 12 A through 0.2 ohm as the back-EMF takes over from the limit", () => {
      near(24 - numberOf(dry, "supply-sag"), 2.4, 1e-6);
    });
  });
});

describe("statistics", () => {
  it("sample size: two-sided 95 % / 95 % needs 93 samples [wilks-1941]", async () => {
    const enough = checkNamed(await answersTo({ samples: 93 }), "sample-size");
    const few = checkNamed(await answersTo({ samples: 92 }), "sample-size");
    expect([enough.verdict, few.verdict]).toEqual(["holds", "fails"]);
    expect(enough.kind === "known" && enough.limit.least).toBe(93);
  });
});
