/** Question 7 on a cavity and a segment of water, whose numbers follow from tables; each check in each of its verdicts. */
import { describe, expect, it } from "vitest";
import { parse, stringify } from "yaml";
import { textOf } from "../project/files.js";
import { answerAloneTo, answerNumbered, answersTo, type Edits } from "./answering.js";
import { itProvokes, type Provocation } from "./provocations.js";

const hand = textOf("test/question/hand.yaml");
const text = `${hand.replace("fluid_temperature: 20 degC", "fluid_temperature: 20 degC").replace(
  "  seat:\n",
  `  cavity:
    volume: 40 cm3
    rating: 60 bar(a)
    wall_stiffness: 10 GPa
    heat_leak: 10 W
    self_relief: { side: upstream, difference: 20 bar, tested_at: 4 degC }
    vent: { side: upstream, diameter: 1 mm, discharge_coefficient: 0.7, direction_marked: "yes" }
  seat:
`,
)}
trapped:
  ambient_temperature: 60 degC
  segments:
    - name: pump to valve
      volume: 1 L
      rating: 60 bar(a)
      heat_leak: 100 W
      relief:
        set_pressure: 40 bar(a)
        overpressure: 10 %
        back_pressure: 1 bar(a)
        area: 1 mm2
        discharge_coefficient: 0.65
`;
const ask = (edits: Edits = {}, samples = 60) => answersTo({ text, edits, samples });
const alone = (edits: Edits) => answerAloneTo(7, { text, edits, samples: 60 });

describe("the clock of a closed volume of water", () => {
  it("a rigid litre at 20 degC, 11 bar and 100 W passes 60 bar as (dp/dT)_v = beta/kappa_T says: 0.207e-3 / 0.459e-9 = 4.5 bar/K and cv 4.15 kJ/(kg K) of property tables (from memory)", async () => {
    const answers = await ask();
    const table = answerNumbered(answers, 7).tables[0];
    const time = /^(\d+)/.exec(table?.rows[1]?.[3] ?? "")?.[1];
    // 49 bar at 4.5 bar/K are 10.9 K, beta rising by some 45 % on the way: 998 g x 4.15 J/(g K) x ~9 K / 100 W.
    expect(Number(time)).toBeGreaterThan(300);
    expect(Number(time)).toBeLessThan(460);
  });
});

const provocations: readonly Provocation[] = [
  { id: "cavity-pressure", verdict: "holds", edits: {} },
  {
    id: "cavity-pressure",
    verdict: "thin",
    edits: { "valve.cavity.vent.side": "none", "valve.cavity.self_relief.difference": "45 bar +/- 5 bar" },
  },
  {
    id: "cavity-pressure",
    verdict: "fails",
    edits: { "valve.cavity.vent.side": "none", "valve.cavity.self_relief.side": "none" },
  },
  {
    id: "cavity-pressure",
    verdict: "not known",
    edits: { "valve.cavity.volume": undefined },
    needs: "valve.cavity.volume",
  },
  {
    id: "cavity-pressure",
    verdict: "not known",
    edits: { "valve.cavity.vent": undefined, "valve.cavity.self_relief.side": "none" },
    needs: "valve.cavity.vent.side",
  },
  { id: "vent-hole", verdict: "holds", edits: {} },
  {
    id: "vent-hole",
    verdict: "thin",
    edits: { "valve.cavity.vent.diameter": "3.4 um", "valve.cavity.heat_leak": { from: "1 W", to: "20 W" } },
  },
  { id: "vent-hole", verdict: "fails", edits: { "valve.cavity.vent.diameter": "1 um" } },
  { id: "vent-hole", verdict: "fails", edits: { "valve.cavity.vent.direction_marked": "no" } },
  {
    id: "vent-hole",
    verdict: "fails",
    edits: { "valve.cavity.vent.side": "downstream", "valve.cavity.vent.largest_leak": "1 g/s" },
  },
  {
    id: "vent-hole",
    verdict: "not known",
    edits: { "valve.cavity.vent.side": "downstream" },
    needs: "valve.cavity.vent.largest_leak",
  },
  {
    id: "vent-hole",
    verdict: "not known",
    edits: { "valve.cavity.heat_leak": undefined },
    needs: "valve.cavity.heat_leak",
  },
  { id: "self-relief-test", verdict: "holds", edits: {} },
  {
    id: "self-relief-test",
    verdict: "thin",
    edits: { "valve.cavity.self_relief.difference": "45 bar +/- 5 bar" },
  },
  { id: "self-relief-test", verdict: "fails", edits: { "valve.cavity.self_relief.difference": "60 bar" } },
  {
    id: "self-relief-test",
    verdict: "not known",
    edits: { "valve.cavity.self_relief.tested_at": "60 degC" },
    needs: "a relief test of the seats at or below the temperature of the liquid",
  },
  {
    id: "self-relief-test",
    verdict: "not known",
    edits: { "valve.cavity.self_relief.tested_at": undefined },
    needs: "valve.cavity.self_relief.tested_at",
  },
  { id: "segment-relief", verdict: "holds", edits: {} },
  {
    id: "segment-relief",
    verdict: "thin",
    edits: {
      "trapped.segments[0].relief.area": "7e-5 mm2",
      "trapped.segments[0].heat_leak": { from: "1 W", to: "110 W" },
    },
  },
  {
    id: "segment-relief",
    verdict: "fails",
    edits: { "trapped.segments[0].relief.set_pressure": "70 bar(a)" },
  },
  { id: "segment-relief", verdict: "fails", edits: { "trapped.segments[0].relief.area": "1e-6 mm2" } },
  {
    id: "segment-relief",
    verdict: "not known",
    edits: { "trapped.ambient_temperature": undefined },
    needs: "trapped.ambient_temperature",
  },
];

itProvokes(alone, provocations);

const relief = "trapped.segments[0].relief";
itProvokes(alone, [
  // Set below the rating of 60 bar, wide open above it.
  { id: "segment-relief", verdict: "fails", edits: { [`${relief}.overpressure`]: "100 %" } },
  // Set below the 11 bar at which the segment is closed.
  { id: "segment-relief", verdict: "fails", edits: { [`${relief}.set_pressure`]: "10 bar(a)" } },
  // Closed above its rating.
  { id: "segment-relief", verdict: "fails", edits: { "trapped.segments[0].pressure": "70 bar(a)" } },
  // Seats that let the cavity go at 31 bar, as nobody has shown.
  {
    id: "cavity-pressure",
    verdict: "not known",
    edits: { "valve.cavity.vent.side": "none", "valve.cavity.self_relief.tested_at": undefined },
    needs: "valve.cavity.self_relief.tested_at",
  },
]);

it("a hole to the downstream side says in the sentence what it leaks past the upstream seat", async () => {
  const edits = { "valve.cavity.vent.side": "downstream", "valve.cavity.vent.largest_leak": "1 kg/s" };
  const { sentence, tables } = answerNumbered(await ask(edits, 0), 7);
  expect(sentence).toMatch(/The hole opens downstream: while the valve is shut [\d.]+ \S+ run through it/);
  expect(tables.flatMap(({ rows }) => rows.map(([what]) => what))).toContain(
    "leak through the hole past the upstream seat while the valve is shut",
  );
});

it("each segment is judged by its own relief device, though none of them has a name", async () => {
  const document = parse(text);
  const [{ name: _, ...first }] = document.trapped.segments;
  const small = { ...first, relief: { ...first.relief, area: "1e-6 mm2" } };
  const two = stringify({ ...document, trapped: { ...document.trapped, segments: [first, small] } });
  const { checks } = answerNumbered(await answersTo({ text: two, samples: 20 }), 7);
  const verdicts = checks.filter(({ id }) => id === "segment-relief").map(({ verdict }) => verdict);
  expect(verdicts).toEqual(["holds", "fails"]);
});

it("without a cavity and segments every check waits and the sentence says for what", async () => {
  const answer = answerNumbered(await answersTo({ text: hand, samples: 20 }), 7);
  expect(answer.verdict).toBe("not known");
  expect(answer.sentence).toContain("valve.cavity");
  expect(answer.checks.map(({ kind }) => kind)).toEqual(Array(4).fill("unknown"));
});

it("a gas at closing is said to be none to shut in, and the other answers stand", async () => {
  const answers = await ask({ "duty.fluid": "nitrogen", "duty.outlet": "dead-ended" });
  const answer = answerNumbered(answers, 7);
  expect(answer.verdict).toBe("not known");
  expect(answer.sentence).toContain("not known from this case");
});

it("a dry case has nothing shut in", async () => {
  expect(answerNumbered(await ask({ "duty.fluid": "none" }), 7).sentence).toContain("dry");
});

it("the same seed gives the same bits", async () => {
  const edits = { "valve.cavity.heat_leak": { from: "3 W", to: "15 W" } };
  const [one, other] = [await ask(edits), await ask(edits)];
  expect(answerNumbered(one, 7)).toEqual(answerNumbered(other, 7));
});
