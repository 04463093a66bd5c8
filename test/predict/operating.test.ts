/** Choking and cavitation at the worst operating opening, against the ratios looked at in very small steps. */
import { describe, expect, it } from "vitest";
import { installedFlow } from "../../src/physics/flow/index.js";
import { nominalOf, ValveSample } from "../../src/predict/index.js";
import type { FlowCoefficient } from "../../src/quantity/index.js";
import { figure, having, petrel, planOf } from "./valveFile.js";

/** Every thousandth of the travel: the formulas of [iec60534-2-1] and [iec60534-8-4] in words. */
function bySmallSteps(changes: Readonly<Record<string, unknown>>) {
  const plan = planOf(having(petrel(), changes));
  const sample = new ValveSample(plan);
  sample.updateFlow();
  const { system } = sample;
  if (system === undefined) throw new Error("no flow");
  const { vapourPressure: pv, criticalPressure: pc } = system.liquid;
  const FF = 0.96 - 0.28 * Math.sqrt(pv / pc);
  const lowest = (plan.dossier.valve.duty?.throttle?.lowest?.value ?? 1) * 3.8;
  let choke = 0;
  let index = 0;
  let first = Number.NaN;
  const steps = 20_000;
  for (let j = 1; j <= steps; j++) {
    const angle = ((Math.PI / 2) * j) / steps;
    const { coefficient, recovery } = sample.openingAt(angle);
    const FL = recovery[0] ?? Number.NaN;
    const found = installedFlow(system, (coefficient[0] ?? 0) as FlowCoefficient, FL);
    if (!(found.massFlow >= lowest)) continue;
    if (Number.isNaN(first)) first = angle;
    const p1 = found.inletPressure;
    choke = Math.max(choke, found.valveDrop / (FL * FL * (p1 - FF * pv)));
    index = Math.max(index, found.valveDrop / (p1 - pv));
  }
  return { choke, cavitation: index / sample.at(plan.slots.cavitationOnset), first };
}

describe("the worst operating opening", () => {
  it.each(["45 %", "61 %", "83 %"])(
    "at a lowest flow of %s is found to 1e-3, wherever it lies between the openings of the grid",
    (lowest) => {
      const changes = { "duty.throttle.lowest": lowest };
      const fine = bySmallSteps(changes);
      const nominal = nominalOf(planOf(having(petrel(), changes)), "command-to-end");
      expect(Math.abs(figure(nominal, "choke-ratio") / fine.choke - 1)).toBeLessThan(1e-3);
      expect(Math.abs(figure(nominal, "cavitation-ratio") / fine.cavitation - 1)).toBeLessThan(1e-3);
      // Less flow, less opening, more drop: the lowest flow is the worst, and says where it is.
      expect(Math.abs((nominal.flow?.worst.choke_rad ?? 0) - fine.first)).toBeLessThan(2e-4);
    },
  );

  it("is found between two openings of the grid where a recovery factor dips there", () => {
    const changes = {
      "valve.recovery": [
        { angle: "0 deg", factor: "0.95" },
        { angle: "60 deg", factor: "0.9" },
        { angle: "60.8 deg", factor: "0.4" },
        { angle: "61.6 deg", factor: "0.9" },
        { angle: "90 deg", factor: "0.9" },
      ],
    };
    const fine = bySmallSteps(changes);
    const nominal = nominalOf(planOf(having(petrel(), changes)), "command-to-end");
    expect(figure(nominal, "choke-ratio")).toBeGreaterThan(0.98 * fine.choke);
  });
});
