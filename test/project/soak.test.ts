/** What `npm run soak` takes for flat: a server that keeps something of each call must not pass, one that breathes must. */
import { describe, expect, it } from "vitest";
import { randomStream } from "../../src/numerics/index.js";
import { flatness } from "../../tools/soak/flat.js";

const sequence = (count: number, at: (k: number, noise: number) => number, seed = 1): readonly number[] => {
  const random = randomStream(seed);
  return Array.from({ length: count }, (_, k) => at(k, random.normal()));
};

describe("memory that was measured again and again", () => {
  it("is flat where it only scatters, for as good as every seed", () => {
    const flat = Array.from({ length: 100 }, (_, seed) =>
      flatness(sequence(60, (_k, noise) => 80 + 4 * noise, seed)),
    ).filter(({ isFlat }) => isFlat);
    expect(flat.length).toBeGreaterThanOrEqual(97);
  });

  it("is flat where it breathes, and where it falls", () => {
    expect(flatness(sequence(60, (k) => 80 + (k % 7))).isFlat).toBe(true);
    expect(flatness(sequence(60, (k, noise) => 120 - k + noise)).isFlat).toBe(true);
  });

  it("is flat where a sure drift is too small to matter in an hour", () => {
    const { isFlat, p } = flatness(sequence(60, (k) => 80 + 0.02 * k));
    expect([isFlat, p < 0.01]).toEqual([true, true]);
  });

  it.each([
    ["a little of each call is kept", (k: number, noise: number) => 80 + 0.2 * k + noise],
    ["it grows in steps", (k: number, noise: number) => 80 + 10 * Math.floor(k / 12) + noise],
    ["handles are never closed", (k: number) => 20 + k],
  ])("rises where %s", (_, at) => {
    expect(flatness(sequence(60, at)).isFlat).toBe(false);
  });

  it("tells the middle and how far it rose: of 20 + k over 60 values, 49.5 and 59", () => {
    expect(flatness(sequence(60, (k) => 20 + k))).toMatchObject({ median: 49.5, rise: 59, count: 60 });
  });
});
