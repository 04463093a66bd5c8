/** The sieves before the band against the slow way that has none: every candidate through every sample. */
import { describe, expect, it } from "vitest";
import { seekPlan } from "../../src/seek/index.js";
import { evaluatorOf } from "../../src/seek/plan.js";
import { petrelOrder } from "./order.js";

/** Small libraries, each with candidates that fail in their own way. */
const libraries = {
  "motors and stages": {
    try: [{ kind: "motor" }, { kind: "stage", class: "planetary" }],
    stages: { least: 1, most: 2 },
    limits: { drive_mass: "2.2 kg", torque_margin: -0.6, stem_margin: -0.5, gear_margin: -0.3 },
  },
  "chains of two, in a shorter time": {
    try: [
      { kind: "stage", class: "spur" },
      { kind: "stage", part: "generic planetary 10:1 60 mm" },
      { kind: "stage", part: "generic worm 30:1 one start" },
      { kind: "stage", part: "generic strain wave 50:1 60 mm" },
    ],
    stages: { least: 1, most: 2 },
    commands: [{ kind: "full", current_limit: "6 A" }],
    limits: { torque_margin: -0.9, gear_margin: -0.5 },
  },
  valves: {
    try: [
      { kind: "valve", class: "floating" },
      { kind: "motor", part: "generic brushed 150 W" },
    ],
    limits: { torque_margin: -0.9, gear_margin: -0.5, stem_margin: -0.5 },
  },
};

/** Opening time asked for [s]: short enough that the closed form of the time decides of some. */
const withins: Readonly<Record<string, string>> = { "chains of two, in a shorter time": "0.25 s" };

describe.each(Object.entries(libraries))("of %s", (name, seek) => {
  const plan = seekPlan(petrelOrder(seek, { within: withins[name] ?? "0.8 s" }));
  const sieved = evaluatorOf(plan);
  const slow = evaluatorOf(plan, { exhaustive: true });
  const all = Array.from({ length: plan.space.count }, (_unused, index) => ({
    quick: sieved.evaluate(index),
    whole: slow.evaluate(index),
  }));

  it("the sieves discard nothing that meets every limit at the end, and let nothing through", () => {
    for (const { quick, whole } of all)
      expect([quick.index, quick.misses.length === 0]).toEqual([whole.index, whole.misses.length === 0]);
  });

  it("each limit that a sieve names is broken at the end too", () => {
    for (const { quick, whole } of all) {
      const broken = whole.misses.map(({ id }) => id);
      for (const { id } of quick.misses) expect(broken).toContain(id);
    }
  });

  it("some fall at the bounds, some meet every limit", () => {
    const passing = all.filter(({ whole }) => whole.misses.length === 0).length;
    const early = all.filter(({ quick }) => quick.sieve === "bounds").length;
    expect(early).toBeGreaterThan(0);
    expect(passing).toBeGreaterThan(0);
  });

  it("what comes to the band has the same figures either way", () => {
    for (const { quick, whole } of all)
      if (quick.figures !== undefined) expect(quick.figures).toEqual(whole.figures);
  });
});
