import { describe, expect, it } from "vitest";
import { type ElementPeak, OwnAnswers, type ShockAnswer } from "../../src/predict/index.js";
import { type ShockId, shockPeaks, wholeStroke } from "../../src/predict/shockPieces.js";
import { TrainSample, trainPlan } from "../../src/predict/shockTrain.js";
import type { Section } from "./randomValve.js";
import { dossierOf, having, petrel } from "./valveFile.js";

const shockOf = (data: Section, samples = 0, caseId = "duty"): ShockAnswer =>
  new OwnAnswers(dossierOf(data, caseId), caseId, { seed: 1, samples }).shock;

function peakOf(answer: ShockAnswer, event: ShockId, element: string): ElementPeak {
  const peak = answer.events.find(({ id }) => id === event)?.peaks.find((one) => one.element === element);
  if (peak === undefined) throw new Error(`no peak of ${element} in ${event}`);
  return peak;
}

const torqueOf = (answer: ShockAnswer, event: ShockId, element: string): number =>
  peakOf(answer, event, element).nominal_Nm;

const path = ["drive.motor", "drive.stages[0]", "drive.stages[1]", "drive.coupling", "valve.stem"];

describe("the pieces of a stroke against the whole stroke, step by step", () => {
  const of = trainPlan(dossierOf(petrel()), "duty");
  const sample = new TrainSample(of);
  const trains = sample.trains("every");
  const how = { tolerance: 1e-4, mostSteps: 20_000 };
  const pieces = shockPeaks(sample.sample, trains, how);

  for (const direction of ["opening", "closing"] as const) {
    it(`${direction}: within 1 % in every part, and no less than 0.5 % under it`, () => {
      const whole = wholeStroke(sample.sample, trains, direction, how);
      for (const element of path) {
        const share =
          (pieces[direction].peaks.get(element)?.torque_Nm ?? Number.NaN) /
          (whole.peaks.get(element)?.torque_Nm ?? Number.NaN);
        expect(share, element).toBeGreaterThan(0.995);
        expect(share, element).toBeLessThan(1.01);
      }
    });
  }

  it("light bodies joined to their neighbours move no part's torque by more than 1 %", () => {
    const joined = shockPeaks(sample.sample, sample.trains("light joined"), how);
    for (const event of ["opening", "closing", "jammed"] as const)
      for (const element of path) {
        const share =
          (joined[event].peaks.get(element)?.torque_Nm ?? Number.NaN) /
          (pieces[event].peaks.get(element)?.torque_Nm ?? Number.NaN);
        expect(Math.abs(share - 1), `${event} ${element}`).toBeLessThan(0.01);
      }
  });
});

describe("the demo's shock", () => {
  const answer = shockOf(petrel(), 4000);

  it("has each part in each event, with a band, time and cause", () => {
    for (const event of ["opening", "closing", "jammed"] as const)
      for (const element of path) {
        const { torque_Nm, time_s, cause } = peakOf(answer, event, element);
        expect(torque_Nm.length).toBeGreaterThan(50);
        expect(torque_Nm.every((torque) => torque > 0)).toBe(true);
        expect(time_s).toBeGreaterThan(0);
        expect(["stop", "jammed"]).toContain(cause);
      }
  });

  it("locked rotor: k_t i prod(n eta) at V/R, by hand", () => {
    // 25.2 V over 2.0 + 0.06 + 0.08 ohm; 0.045 N m/A; 10 x 0.90, 10 x 0.86. Motor at 20 degC, as its data.
    const motor = (0.045 * 25.2) / 2.14;
    expect(torqueOf(answer, "locked rotor", "drive.motor")).toBeCloseTo(motor, 6);
    expect(torqueOf(answer, "locked rotor", "drive.stages[0]")).toBeCloseTo(motor * 9, 5);
    expect(torqueOf(answer, "locked rotor", "valve.stem")).toBeCloseTo(motor * 9 * 8.6, 4);
  });

  it("traces start and stop of the opening", () => {
    expect(answer.opening.map(({ piece }) => piece)).toEqual(["start", "stop"]);
    for (const { time_s, link_Nm, ratio } of answer.opening) {
      expect(ratio.at(-1)).toBe(1);
      for (const row of link_Nm) expect(row.length).toBe(time_s.length);
      expect(time_s.every((time, j) => j === 0 || time >= (time_s[j - 1] ?? 0))).toBe(true);
    }
  });
});

describe("what is left out", () => {
  for (const field of [
    "drive.stages[0].stiffness",
    "drive.stages[1].stiffness",
    "drive.stages[0].backlash",
    "drive.coupling.stiffness",
    "drive.coupling.backlash",
    "drive.motor.inertia",
  ])
    it(`${field}: nothing is known, and it is named`, () => {
      const answer = shockOf(having(petrel(), { [field]: undefined }));
      expect(answer.missing).toEqual([field]);
      expect(answer.events).toEqual([]);
    });

  it("damping of the twist: none, which raises the torques or leaves them", () => {
    const damped = shockOf(having(petrel(), { "drive.twist_damping": "0.2" }));
    const bare = shockOf(having(petrel(), { "drive.twist_damping": undefined }));
    for (const element of path)
      expect(torqueOf(bare, "jammed", element)).toBeGreaterThan(0.999 * torqueOf(damped, "jammed", element));
  });

  it("stiffness of the stop: it does not yield, and its own torque is known for the locked rotor alone", () => {
    const answer = shockOf(having(petrel(), { "drive.stop.stiffness": undefined }));
    expect(answer.isStopSoft).toBe(false);
    expect(() => peakOf(answer, "opening", "drive.stop")).toThrow();
    expect(torqueOf(answer, "opening", "valve.stem")).toBeGreaterThan(
      0.999 * torqueOf(shockOf(petrel()), "opening", "valve.stem"),
    );
  });

  it("a coupling heavier than all that turns with it is no answer", () => {
    const answer = shockOf(having(petrel(), { "drive.coupling.inertia": "1 kg m2" }));
    expect(answer.missing).toEqual([
      "drive.coupling.inertia: less than valve.inertia, of which it is a part",
    ]);
  });

  it("inertia of the coupling with a stop at the gear output: named", () => {
    const atGear = having(petrel(), { "drive.stop.at": "gear output" });
    expect(shockOf(having(atGear, { "drive.coupling.inertia": undefined })).missing).toEqual([
      "drive.coupling.inertia",
    ]);
    const answer = shockOf(atGear);
    expect(answer.missing).toEqual([]);
    // The stem is spared what the gears bear.
    expect(torqueOf(answer, "opening", "valve.stem")).toBeLessThan(
      torqueOf(answer, "opening", "drive.stages[1]"),
    );
  });
});

describe("other commands and cases", () => {
  it("a profile comes to rest ahead of the stop: less torque than a full stroke", () => {
    const profiled = having(petrel(), {
      "drive.command": {
        kind: "trapezoid",
        duration: "0.6 s",
        sample_time: "1 ms",
        position_gain: "30 1/s",
        speed_bandwidth: "200 1/s",
      },
    });
    const answer = shockOf(profiled);
    expect(answer.missing).toEqual([]);
    expect(torqueOf(answer, "opening", "valve.stem")).toBeLessThan(
      0.7 * torqueOf(shockOf(petrel()), "opening", "valve.stem"),
    );
    expect(torqueOf(answer, "opening", "valve.stem")).toBeGreaterThan(0);
  });

  it("a drive that cannot break away winds its springs up and stops nothing", () => {
    const stuck = having(petrel(), { "valve.ice_torque": "80 N m" });
    const answer = shockOf(stuck);
    const opening = answer.events.find(({ id }) => id === "opening");
    expect(opening?.stoppedAt_rad_s).toBeUndefined();
    const wound = torqueOf(answer, "opening", "valve.stem");
    expect(wound).toBeGreaterThan(0.9 * torqueOf(answer, "locked rotor", "valve.stem"));
  });

  it("every case of the demo", () => {
    for (const caseId of ["start-oxygen", "dry-ambient", "pressurised-ambient", "nitrogen"])
      expect(torqueOf(shockOf(petrel(), 0, caseId), "opening", "valve.stem"), caseId).toBeGreaterThan(5);
  });
});

describe("a stalled drive winds the train up to k_t i prod(n eta), what it gives at rest, by hand", () => {
  // 10 x 0.90 and 10 x 0.86; 25.2 V, or 20 V, over 2.0 + 0.06 + 0.08 ohm. Motor at 20 degC.
  const stages = [9, 9 * 8.6] as const;
  const damped = { "valve.ice_torque": "80 N m", "drive.twist_damping": "0.9" };
  for (const { name, more, current } of [
    { name: "at full voltage", more: {}, current: 25.2 / 2.14 },
    { name: "on a weak battery", more: { "drive.supply.open_circuit_voltage": "20 V" }, current: 20 / 2.14 },
  ])
    it(`${name}: of each element, put down to the drive, at no instant`, () => {
      const answer = shockOf(having(petrel(), { ...damped, ...more }));
      const motor = 0.045 * current;
      const hand = [
        ["drive.stages[0]", motor * stages[0]],
        ["drive.stages[1]", motor * stages[1]],
        ["drive.coupling", motor * stages[1]],
        ["valve.stem", motor * stages[1]],
      ] as const;
      for (const [element, torque] of hand) {
        const peak = peakOf(answer, "opening", element);
        expect(peak.nominal_Nm, element).toBeCloseTo(torque, 6);
        expect(peak.cause, element).toBe("drive");
        expect(peak.time_s, element).toBeNaN();
      }
      // The rotor has run up through the play: its own inertia adds a little as it stops.
      const own = torqueOf(answer, "opening", "drive.motor");
      expect(own).toBeGreaterThan(motor * (1 - 1e-9));
      expect(own).toBeLessThan(1.05 * motor);
      // A ball that does not come to its stop loads no stop.
      expect(() => peakOf(answer, "opening", "drive.stop")).toThrow();
    });
});
