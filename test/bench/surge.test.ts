/** The water-hammer bench measures what a plain loop would give. */
import { expect, it } from "vitest";
import { plainSteps, sweptSteps } from "../../bench/surge.js";

it("the inner loop gives the pressures of a plain one, through a closing and its reflections", () => {
  for (const count of [1, 2, 500, 2500]) {
    const plain = plainSteps(count);
    const swept = sweptSteps(count);
    const worst = plain.reduce((most, p, i) => Math.max(most, Math.abs(p - (swept[i] ?? 0))), 0);
    expect(worst).toBeLessThan(1e-3);
  }
  expect(Math.max(...plainSteps(500))).toBeGreaterThan(2.5e6);
});
