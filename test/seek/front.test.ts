import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { frontOf, objectives, rankOf } from "../../src/seek/front.js";
import type { CandidateResult } from "../../src/seek/index.js";

const figure = fc.option(fc.integer({ min: 1, max: 5 }), { nil: null }).map((nominal) => ({
  nominal,
  low: nominal,
  high: nominal,
  probability: (nominal ?? 0) / 5,
}));
const candidates = fc
  .array(fc.record({ "opening-time": figure, "torque-margin": figure, mass: figure, current: figure }), {
    maxLength: 25,
  })
  .map((list) =>
    list.map((figures, index): CandidateResult => ({ index, sieve: "band", misses: [], figures })),
  );
const ranksOf = (result: CandidateResult) => objectives.map((objective) => rankOf(result, objective));
const isNoWorse = (a: CandidateResult, b: CandidateResult) => {
  const other = ranksOf(b);
  return ranksOf(a).every((rank, k) => rank <= (other[k] ?? 0));
};
const isBetter = (a: CandidateResult, b: CandidateResult) => isNoWorse(a, b) && !isNoWorse(b, a);

describe("the front", () => {
  it("is what no candidate beats, by comparing every pair", () => {
    fc.assert(
      fc.property(candidates, (list) => {
        const { front, beaten } = frontOf(list);
        for (const one of front) expect(list.some((other) => isBetter(other, one))).toBe(false);
        for (const { index, by } of beaten) {
          const winner = front.find((one) => one.index === by);
          const loser = list[index];
          expect(winner !== undefined && loser !== undefined && isNoWorse(winner, loser)).toBe(true);
        }
        expect(front.length + beaten.length).toBe(list.length);
      }),
    );
  });

  it("does not depend on the order in which the candidates come", () => {
    fc.assert(
      fc.property(candidates, (list) => {
        expect(frontOf([...list].reverse())).toEqual(frontOf(list));
      }),
    );
  });

  it("counts a mass that nobody gave as the heaviest", () => {
    const known = { nominal: 9, low: 9, high: 9, probability: 1 };
    const unknown = { nominal: null, low: null, high: null, probability: 0 };
    const make = (index: number, mass: typeof known | typeof unknown): CandidateResult => ({
      index,
      sieve: "band",
      misses: [],
      figures: { mass, "opening-time": known },
    });
    expect(frontOf([make(0, unknown), make(1, known)]).front.map(({ index }) => index)).toEqual([1]);
  });
});
