import { describe, expect, it } from "vitest";
import { frontCsv } from "../../src/cli/seekCsv.js";
import { seekPage, shownOf } from "../../src/cli/seekText.js";
import { peakMargins, planBlocks, seekAnswer, seekPlan, workBlock } from "../../src/seek/index.js";
import { petrelOrder } from "../seek/order.js";

const order = petrelOrder(
  {
    probability: "0.5",
    try: [{ kind: "motor" }],
    commands: [{ kind: "full", current: "12 A" }],
    limits: { torque_margin: -0.7, stem_margin: -0.5, gear_margin: -0.5, drive_mass: "2 kg" },
  },
  { samples: 16 },
);
const plan = seekPlan(order);
const answer = seekAnswer(
  plan,
  planBlocks(plan).map((block) => workBlock(plan, block)),
);
const page = { columns: 140, unicode: true, colour: false };

describe("the page of a search", () => {
  const peaks = shownOf(answer).map(({ index }) => peakMargins(plan, index));
  const text = seekPage(page, "A valve, duty", answer, peaks, "front.csv");

  it("says how many choices meet every limit, shows the front, the losses, the relaxations and what it rests on", () => {
    expect(answer.front.length).toBeGreaterThan(0);
    expect(text).toContain(`${answer.passing} of ${answer.candidates} choices meet every limit`);
    for (const { index, names } of shownOf(answer)) {
      expect(text).toMatch(new RegExp(`^ +${index} `, "m"));
      expect(text).toContain(names.motor);
    }
    for (const title of ["Why the others lost", "What relaxing a limit would buy", "What this rests on"])
      expect(text).toContain(title);
  });

  it("says which of the choices overloads a part at its peaks, and nothing where none does", () => {
    const withPeaks = (margin: number) =>
      seekPage(
        page,
        "A valve, duty",
        answer,
        peaks.map((one) => ({ ...one, stages: margin, stem: 1 })),
        undefined,
      );
    expect(withPeaks(-0.1)).toContain("overloads a stage or the stem at its peaks");
    expect(withPeaks(0.1)).not.toContain("overloads a stage or the stem");
  });

  it("has the peaks of the compliant train beside the slow margins", () => {
    for (const { stages, stem } of peaks) {
      expect(stages).toBeGreaterThan(-1);
      expect(stem).toBeGreaterThan(-1);
    }
  });

  it("says so where nothing meets every limit", () => {
    const none = seekPage(page, "A valve, duty", { ...answer, passing: 0, front: [] }, [], undefined);
    expect(none).toContain(`None of ${answer.candidates} choices meets every limit`);
  });
});

describe("the CSV of the front", () => {
  it("has one row a choice, its parts, and the figures that JSON has, with units in the heads", () => {
    const [head = "", ...rows] = frontCsv(answer).trimEnd().split("\n");
    expect(rows).toHaveLength(answer.front.length);
    const names = head.split(",");
    expect(names).toContain("opening-time high [s]");
    const cells = rows[0]?.split(",") ?? [];
    expect(cells[0]).toBe(String(answer.front[0]?.index));
    expect(Number(cells[names.indexOf("opening-time high [s]")])).toBe(
      answer.front[0]?.figures?.["opening-time"]?.high,
    );
  });
});
