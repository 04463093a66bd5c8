/** How far a run of the compliant train is from the rows that another solver gave for the same train. */
import { type ChainRun, runChain } from "../../../src/physics/compliant/index.js";
import type { Angle, Time } from "../../../src/quantity/index.js";
import { type ChainCase, type ChainRows, trainOfCase } from "./plainChain.js";

/** Greatest distance from the reference rows: angles at the stem over travel, speeds over the no-load speed, current over stall. */
export function distances(one: ChainCase, reference: ChainRows, tolerance: number) {
  const train = trainOfCase(one);
  const bodies = one.bodies.length;
  const ratio = one.links.reduce((product, link) => product * link.ratio, 1);
  const noLoad = one.voltage / one.torqueConstant / ratio;
  const worst = { angle: 0, speed: 0, current: 0 };
  const y = new Float64Array(2 * bodies + 1);
  let next = 0;
  const run: ChainRun = runChain(train, {
    sense: one.sense,
    start: (one.sense > 0 ? 0 : one.travel) as Angle,
    horizon: one.horizon as Time,
    tolerance,
    isWhole: true,
    watch: (step, _, t, h, share) => {
      for (; next < reference.rows.length; next++) {
        const [time = 0, ...states] = reference.rows[next] ?? [];
        if (time > t + share * h + 1e-12) return;
        step.along(Math.min((time - t) / h, share), y);
        let before = 1;
        for (let b = 0; b < bodies; b++) {
          const at = ratio / before;
          worst.angle = Math.max(worst.angle, Math.abs((y[b] ?? 0) - (states[b] ?? 0)) / at / one.travel);
          const v = Math.abs((y[bodies + b] ?? 0) - (states[bodies + b] ?? 0));
          worst.speed = Math.max(worst.speed, v / at / noLoad);
          before *= one.links[b]?.ratio ?? 1;
        }
        const i = Math.abs((y[2 * bodies] ?? 0) - (states[2 * bodies] ?? 0));
        worst.current = Math.max(worst.current, (i * one.resistance) / one.voltage);
      }
    },
  });
  return { run, worst, rows: next };
}
