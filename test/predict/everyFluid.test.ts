import { expect, it } from "vitest";
import { nominalOf } from "../../src/predict/index.js";
import type { Pressure, Temperature } from "../../src/quantity/index.js";
import { inletLiquid, inletNames } from "../../src/substance/index.js";
import { figure, having, petrel, planOf } from "./valveFile.js";

/** Of the Petrel, fully open [m3/h at 1 bar, water]. */
const ratedKv = 150;

/** A temperature at which a fluid is a plain liquid under the Petrel's pressures. */
function coldEnough(name: string): Temperature {
  const { coldest, critical } = inletLiquid(name);
  return Math.max(coldest + 1, Math.min(0.6 * critical.T, 300)) as Temperature;
}

function flowOf(name: string): number {
  const changes = {
    "duty.fluid": name,
    "duty.fluid_temperature": `${coldEnough(name)} K`,
    correlations: undefined,
  };
  return figure(nominalOf(planOf(having(petrel(), changes)), "command-to-90-flow"), "mass-flow");
}

it.each(inletNames)(
  "%s can be the fluid of a valve; it passes less than the bare valve at the whole drop (IEC 60534-2-1, eq. 1)",
  (name) => {
    const { rho } = inletLiquid(name).at(28e5 as Pressure, coldEnough(name));
    // kg/s of Kv at the 10 bar between tank and chamber, none of it lost in line and injector.
    const most = (ratedKv * Math.sqrt(1000 * rho * 10)) / 3600;
    const flow = flowOf(name);
    expect(flow).toBeGreaterThan(0.01 * most);
    expect(flow).toBeLessThan(most);
  },
);
