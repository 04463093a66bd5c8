/** Question 10: each check in each of its verdicts, and numbers that follow on paper. */
import { describe, expect, it } from "vitest";
import { OwnAnswers } from "../../src/predict/index.js";
import { textOf } from "../project/files.js";
import { answerAloneTo, answerNumbered, type Edits, predictionOf } from "./answering.js";
import { itProvokes, type Provocation } from "./provocations.js";

const pipe = (name: string, side: string) =>
  `    - { name: ${name}, side: ${side}, length: 2 m, bore: 40 mm, wall: 3 mm, material: stainless-304, restraint: throughout, roughness: 5 um, rating: 60 bar(a) }\n`;
// Water stands for one propellant and ethanol for the other: the start does not ask what they are, only what burns of them.
const text = `${textOf("test/question/hand.yaml").replace(
  "valve:\n  support: floating\n",
  `  pipes:
${pipe("feed", "upstream")}${pipe("manifold", "downstream")}valve:
  support: floating
  boundary: { ends: [{ name: inlet, rating: 60 bar(a) }, { name: outlet, rating: 60 bar(a) }] }
`,
)}
engine:
  side: oxidiser
  throat_area: 2000 mm2
  chamber_volume: 2 L
  heat_ratio: 1.2
  characteristic_velocity:
    - { mixture_ratio: 0.05, velocity: 150 m/s }
    - { mixture_ratio: 30, velocity: 150 m/s }
  velocity_source: invented
  efficiency: 90 %
  ignition: { condition: both at the injector, delay: 10 ms }
  box: { least: 0.05, most: 30 }
  lead: { least: -2 s, most: 2 s }
  largest_unburnt: 100 kg
  least_injector_share: 0.01 %
  fill_within: 5 s
  sequence: { open_offset: 0 ms, close_offset: 900 ms, abort_offset: 900 ms }
  own:
    tank: { kind: regulated, droop: 0 bar }
    volume: 1 L
    injector_drop: 0.1 bar
  partner:
    fluid: ethanol
    fluid_temperature: 290 K
    supply_pressure: 11 bar(a)
    tank: { kind: regulated, droop: 0 bar }
    at: 2 kg/s
    upstream_drop: 0.2 bar
    downstream_drop: 1 bar
    volume: 1 L
    injector_drop: 0.8 bar
    bore: 32 mm
    ball_diameter: 52 mm
    flow_coefficient: 100 Kv
    contraction: 0.63
    recovery_factor: 0.9
    dead_time: 10 ms
    opening_time: 0.3 s
    closing_time: 0.3 s
`;
const alone = (edits: Edits = {}, samples = 80) => answerAloneTo(10, { text, edits, samples });
const answer = async (edits: Edits = {}) => answerNumbered(await alone(edits, 0), 10);
const known = async (id: string, edits: Edits = {}) => {
  const check = (await answer(edits)).checks.find((one) => one.id === id);
  return check?.kind === "known" ? check.value : Number.NaN;
};

describe("numbers on paper", () => {
  it("the command of the other valve moves its arrival, and so the lead, by itself", async () => {
    const now = await known("lead-at-injector");
    const later = await known("lead-at-injector", { "engine.sequence.open_offset": "70 ms" });
    expect(now - later).toBeCloseTo(0.07, 3);
  });

  it("the lead of a fuel valve is that of an oxidiser valve with its sign turned", async () => {
    const one = await known("lead-at-injector");
    const other = await known("lead-at-injector", { "engine.side": "fuel" });
    expect(other).toBeCloseTo(-one, 6);
  });

  it("ten milliseconds more until ignition leave the unlit flow of ten milliseconds more", async () => {
    const one = await known("accumulated-unburnt-mass");
    const later = await known("accumulated-unburnt-mass", { "engine.ignition.delay": "20 ms" });
    const furthest = await known("accumulated-unburnt-mass", { "engine.ignition.delay": "30 ms" });
    expect(later).toBeGreaterThan(one);
    // Near the end of the motions the unlit flow hardly changes.
    expect((furthest - later) / (later - one)).toBeGreaterThan(0.8);
    expect((furthest - later) / (later - one)).toBeLessThan(1.5);
  });

  it("a slower closing of the fuel puts it further behind the oxidiser", async () => {
    const one = await known("shutdown-order");
    expect(await known("shutdown-order", { "engine.partner.closing_time": "0.6 s" })).toBeGreaterThan(one);
  });
});

describe("what it says", () => {
  it("never that a start is safe, and what raises the danger", async () => {
    const { sentence } = await answer();
    expect(sentence).not.toMatch(/safe/);
    expect(sentence).toMatch(/raise the danger of a hard start/);
  });

  it("says how many samples never light, and keeps the band of those that do", async () => {
    const weak = { "drive.driver.current_limit": { from: "0.5 A", to: "20 A" } };
    const { sentence } = answerNumbered(await alone(weak), 10);
    const [, never, count] = /In (\d+) of (\d+) samples \(.* %\) it does not light/.exec(sentence) ?? [];
    expect(Number(never)).toBeGreaterThan(0);
    expect(Number(never)).toBeLessThan(Number(count));
    expect(sentence).toContain("because a side does not fill; the bands are those of the samples that do.");
    expect(sentence).toMatch(/It lights \d+ ms \(95 % between \d+ and \d+ ms\)/);
    expect((await answer()).sentence).not.toContain("does not light");
  });

  it("says with the checks that burn where the characteristic velocities are from", async () => {
    const told = async (edits: Edits) =>
      (await answer(edits)).checks.flatMap(({ id, assumptions }) =>
        assumptions
          .filter((words) => words.includes("table of characteristic velocities"))
          .map((words) => [id, words]),
      );
    const from = "The table of characteristic velocities is from: invented.";
    expect(await told({})).toEqual([
      ["mixture-ratio-trace", from],
      ["injector-pressure-drop-through-start", from],
      ["injector-pressure-drop-through-start", from],
    ]);
    for (const [, words] of await told({ "engine.velocity_source": undefined }))
      expect(words).toBe("Nobody said where the table of characteristic velocities is from.");
  });

  it("shows openings above the mixture ratio on one time, pressure, flows and phase", async () => {
    const { figures } = await answer();
    expect(figures.map(({ id }) => id)).toEqual([
      "start-openings",
      "start-mixture-ratio",
      "start-pressure",
      "start-flows",
      "start-phase",
    ]);
  });

  it("has a row for each failed valve and each instant of lost power", async () => {
    const table = (await answer()).tables.find(({ title }) => title.startsWith("What fails"));
    expect(table?.rows.length).toBe(12);
    expect(table?.rows[0]?.[1]).toBe("never");
  });

  it("says where a valve that stands is not what is demanded of a loss of power", async () => {
    const rows = async (edits: Edits) =>
      (await answer(edits)).tables
        .filter(({ title }) => title.startsWith("What fails"))
        .flatMap((table) => table.rows.map(([words]) => words ?? ""))
        .filter((words) => words.startsWith("power lost"));
    const closes = await rows({ "duty.power_loss.state": "closes" });
    expect(closes).toHaveLength(16);
    for (const words of closes)
      expect(words).toMatch(/both stand; not the state of duty\.power_loss, in which this valve closes$/);
    for (const words of await rows({ "duty.power_loss.state": "holds" }))
      expect(words).toMatch(/both stand$/);
  });

  it("has as many rows of a stop that fails; power lost early leaves the engine running", async () => {
    const table = (await answer()).tables.find(({ title }) => title.startsWith("What fails in a stop"));
    expect(table?.rows.length).toBe(12);
    expect(table?.rows[0]?.[1]).toBe("never");
    expect(table?.rows[1]?.[2]).toBe("never");
    expect(table?.rows[4]?.slice(1, 3)).toEqual(["never", "never"]);
  });
});

describe("other commands", () => {
  // The other valve's motion is uncertain, all else is exact: the lead is spread by it alone.
  const spread: Edits = {
    "engine.partner.opening_time": "0.3 s +/- 0.06 s",
    "engine.lead.least": "-10 ms",
    "engine.lead.most": "40 ms",
  };
  const startOf = async (edits: Edits) =>
    new OwnAnswers((await predictionOf({ text, edits, samples: 200 })).dossier, "duty", {
      seed: 1,
      samples: 200,
    }).start;

  it("an offset that is tried keeps what the same offset keeps as it is declared", async () => {
    const now = await startOf(spread);
    const later = await startOf({ ...spread, "engine.sequence.open_offset": "20 ms" });
    const shares = (answer: typeof now) => answer.offsets.map(({ inside }) => inside.estimate);
    expect(shares(now).slice(1)).toEqual(shares(later).slice(0, -1));
    expect(new Set(shares(now)).size).toBeGreaterThan(3);
  });

  it("a ball led in longer than it takes by itself no longer spreads the lead: aimed at the middle, all are kept", async () => {
    const { led, offsets } = await startOf(spread);
    expect(Math.max(...offsets.map(({ inside }) => inside.estimate))).toBeLessThan(1);
    const longest = led.findLast(({ words }) => words.startsWith("the other valve led"));
    expect(longest?.inside.estimate).toBe(1);
    expect(longest?.words).toBe("the other valve led in 750 ms");
  });

  it("a valve that stalls is led nowhere, and what it does not do fails in words", async () => {
    const stalled = { "drive.driver.current_limit": "0.5 A" };
    const { led } = await startOf(stalled);
    expect(led.filter(({ words }) => words.includes("this valve"))).toEqual([]);
    const { checks } = await answer(stalled);
    const failed = checks.filter((check) => check.kind === "failed").map(({ name }) => name);
    expect(failed).toEqual(
      expect.arrayContaining([
        "Fill time, this valve's side",
        "Lead at the injector",
        "Mixture ratio trace",
        "Accumulated unburnt mass",
      ]),
    );
  });

  it("none is told where a limit is not known", async () => {
    const { led, offsets } = await startOf({ "engine.largest_unburnt": undefined });
    expect([...led, ...offsets]).toEqual([]);
  });
});

const each = [
  "fill-time",
  "lead-at-injector",
  "mixture-ratio-trace",
  "accumulated-unburnt-mass",
  "shutdown-order",
  "injector-pressure-drop-through-start",
] as const;
const needed = [
  "engine.side",
  "engine.throat_area",
  "engine.chamber_volume",
  "engine.heat_ratio",
  "engine.characteristic_velocity",
  "engine.efficiency",
  "engine.ignition.condition",
  "engine.ignition.delay",
  "engine.sequence.open_offset",
  "engine.own.volume",
  "engine.own.injector_drop",
  "engine.own.tank.kind",
  "engine.own.tank.droop",
  "engine.partner.fluid",
  "engine.partner.supply_pressure",
  "engine.partner.recovery_factor",
  "engine.partner.opening_time",
] as const;

const provocations: readonly Provocation[] = [
  ...each.map((id) => ({ id, verdict: "holds", edits: {} }) as const),
  { id: "abort-closing-time", verdict: "holds", edits: {} },
  {
    id: "abort-closing-time",
    verdict: "not known",
    edits: { "line.pipes[1].rating": undefined },
    needs: "line.pipes[1].rating",
  },
  {
    id: "abort-closing-time",
    verdict: "not known",
    edits: { "duty.close_within": undefined },
    needs: "duty.close_within.time",
  },
  { id: "fill-time", verdict: "fails", edits: { "engine.fill_within": "1 ms" } },
  { id: "lead-at-injector", verdict: "fails", edits: { "engine.lead.least": "1.9 s" } },
  { id: "mixture-ratio-trace", verdict: "fails", edits: { "engine.box.least": "29" } },
  { id: "accumulated-unburnt-mass", verdict: "fails", edits: { "engine.largest_unburnt": "1 mg" } },
  { id: "shutdown-order", verdict: "fails", edits: { "engine.sequence.close_offset": "-900 ms" } },
  {
    id: "injector-pressure-drop-through-start",
    verdict: "fails",
    edits: { "engine.least_injector_share": "100 %" },
  },
  ...(
    [
      ["fill-time", "engine.fill_within"],
      ["lead-at-injector", "engine.lead.least"],
      ["lead-at-injector", "engine.lead.most"],
      ["mixture-ratio-trace", "engine.box.least"],
      ["mixture-ratio-trace", "engine.box.most"],
      ["accumulated-unburnt-mass", "engine.largest_unburnt"],
      ["injector-pressure-drop-through-start", "engine.least_injector_share"],
    ] as const
  ).map(([id, needs]) => ({ id, verdict: "not known", edits: { [needs]: undefined }, needs }) as const),
  ...(
    [
      ["shutdown-order", "engine.sequence.close_offset"],
      ["injector-pressure-drop-through-start", "engine.partner.injector_drop"],
      ["lead-at-injector", "engine.partner.injector_drop"],
    ] as const
  ).map(([id, needs]) => ({ id, verdict: "not known", edits: { [needs]: undefined }, needs }) as const),
  ...needed.map(
    (needs) =>
      ({ id: "mixture-ratio-trace", verdict: "not known", edits: { [needs]: undefined }, needs }) as const,
  ),
];

describe("what is missing blocks what needs it, and no more", () => {
  const verdictsWithout = async (path: string) =>
    (await answer({ [path]: undefined })).checks
      .filter(({ id }) => id !== "abort-closing-time")
      .filter(({ verdict }) => verdict !== "not known")
      .map((check) => [check.name, check.kind === "known" ? check.value : Number.NaN] as const);

  it("an abort by the commands of a stop falls as the stop does; by others the order is its own", async () => {
    const orders = async (edits: Edits = {}) =>
      (await answer(edits)).checks
        .filter(({ id }) => id === "shutdown-order")
        .map((check) => (check.kind === "known" ? check.value : Number.NaN));
    const [stop = Number.NaN, abort = Number.NaN] = await orders();
    expect(abort).toBeCloseTo(stop, 9);
    const [still, later = Number.NaN] = await orders({ "engine.sequence.abort_offset": "1 s" });
    expect(still).toBeCloseTo(stop, 9);
    // The fuel's valve moves as before, 0.1 s later.
    expect(later - abort).toBeCloseTo(0.1, 2);
    const unknown = (await answer({ "engine.sequence.abort_offset": undefined })).checks.find(
      ({ name }) => name === "Shutdown order, abort",
    );
    expect(unknown).toMatchObject({ kind: "unknown", needs: ["engine.sequence.abort_offset"] });
  });

  it("without the command to close all of the start is told as with it", async () => {
    const whole = (await answer()).checks.map((check) => [
      check.name,
      check.kind === "known" ? check.value : Number.NaN,
    ]);
    const told = await verdictsWithout("engine.sequence.close_offset");
    expect(told.length).toBe(whole.length - 2);
    for (const one of told) expect(whole).toContainEqual(one);
  });

  it("without an injector's drop the other side's filling and the stop are told as with it, nothing else", async () => {
    const whole = (await answer()).checks.map((check) => [
      check.name,
      check.kind === "known" ? check.value : Number.NaN,
    ]);
    const told = await verdictsWithout("engine.partner.injector_drop");
    expect(told.map(([name]) => name)).toEqual([
      "Fill time, this valve's side",
      "Shutdown order",
      "Shutdown order, abort",
    ]);
    // The steps of a run go with both sides: microseconds.
    for (const [name, value] of told)
      expect(value).toBeCloseTo(Number(whole.find(([other]) => other === name)?.[1]), 5);
    const { sentence, tables } = await answer({ "engine.partner.injector_drop": undefined });
    expect(sentence).toContain("engine.partner.injector_drop");
    expect(tables.map(({ title }) => title).join()).not.toMatch(/start|Chamber/);
  });
});

describe("verdicts", () => {
  itProvokes((edits) => alone(edits, 0), provocations);
});
