/** Strength of what carries the torque, in question 5: each check in each of its verdicts, numbers that follow on paper, and the current limit. */
import { describe, expect, it } from "vitest";
import { textOf } from "../project/files.js";
import { answerAloneTo, answerNumbered, answersTo, type Edits } from "./answering.js";
import { itProvokes, type Provocation } from "./provocations.js";

const text = textOf("test/question/hand.yaml")
  .replace(
    "  stem:\n",
    `  strength:
    yield_factor: 1.5
    ultimate_factor: 2.5
    life_factor: 4
    life_cycles: 100
    surface: ground
    endurance_ratio: 0.5
    flaw: { depth: 0.5 mm, length: 1 mm }
    impact_tests:
      - { material: a286, temperature: 77 K, lateral_expansion: 0.8 mm, certificate: heat 1 }
      - { material: stainless-316, temperature: 77 K, lateral_expansion: 1.2 mm }
  stem:
    stiffness: 1400 N m/rad
    material: a286
    sections:
      - { name: shank, shape: round, diameter: 14 mm, notch: none, yield_strength: 750 MPa, ultimate_strength: 1050 MPa, fracture_toughness: 120 MPa√m }
      - { name: square, shape: square, width: 12 mm, concentration: 1.2, yield_strength: 750 MPa, ultimate_strength: 1050 MPa, fracture_toughness: 120 MPa√m }
    joints:
      - { name: square in its hub, kind: square, width: 12 mm, length: 14 mm, shaft_yield: 750 MPa, hub_material: stainless-316, hub_yield: 250 MPa }
      - { name: key, kind: key, diameter: 16 mm, width: 5 mm, height: 5 mm, length: 20 mm, count: 1, shaft_yield: 750 MPa, hub_material: stainless-316, hub_yield: 250 MPa, material: a286, yield_strength: 700 MPa }
`,
  )
  .replace(
    "backlash: 20 arcmin,",
    "backlash: 20 arcmin, stiffness: 1 N m/arcmin, rated_torque: 6 N m, peak_torque: 12 N m, momentary_torque: 15 N m,",
  )
  .replace(
    "backlash: 15 arcmin,",
    "backlash: 15 arcmin, stiffness: 3 N m/arcmin, rated_torque: 40 N m, peak_torque: 90 N m, momentary_torque: 120 N m,",
  )
  .replace(
    "  supply:\n",
    `  coupling: { stiffness: 900 N m/rad, backlash: 0 deg, rated_torque: 40 N m, momentary_torque: 120 N m }
  twist_damping: 0.03
  stop: { at: stem, stiffness: 5000 N m/rad, damping_ratio: 0.2, momentary_torque: 150 N m }
  supply:
`,
  );
const at = "valve.stem";
const ask = (edits: Edits = {}, samples = 80) => answersTo({ text, edits, samples });
const alone = (edits: Edits = {}, samples = 80) => answerAloneTo(5, { text, edits, samples });
const impact = async (edits: Edits = {}, samples = 0) => answerNumbered(await alone(edits, samples), 5);

/** 0.05 N m/A, 12 A, 12 x 10 at 90 and 80 %: the rotor locked, as on paper. */
const locked = 0.05 * 12 * 120 * 0.9 * 0.8;
/** Stiff links and stops carry the stroke's energy off: its peaks stay below the locked rotor's. */
const gentle: Edits = { "drive.motor.inertia": "1 g cm2" };

describe("on paper, with 51.84 N m at the locked rotor", () => {
  const worst = async (name: string) => {
    const check = (await impact(gentle)).checks.find((one) => one.name.endsWith(name));
    return { check, words: check?.assumptions.find((one) => one.startsWith("Worst load")) ?? "" };
  };

  it("a 14 mm round of 750 and 1050 MPa: 538.8 mm3 x min(750/sqrt(3)/1.5, 0.75 x 1050/2.5) MPa = 155.5 N m [roark-2002, table 10.1; budynas-nisbett-2011, sec. 5-5]", async () => {
    const { words } = await worst("shank");
    expect(locked).toBeCloseTo(51.84, 2);
    expect(words).toContain("of the 156 N m");
  });

  it("a 12 mm square with a concentration of 1.2: 0.208 x 12^3 / 1.2 mm3 x 288.7 MPa = 86.5 N m", async () => {
    expect((await worst("torsion, square")).words).toContain("of the 86.5 N m");
  });

  it("the square in its hub: 250 MPa / 1.5 x 14 x 12^2 / 3 mm3 = 112 N m", async () => {
    expect((await worst("pressure, square in its hub")).words).toContain("of the 112 N m");
  });

  it("the key: 250/1.5 MPa x 16 x 5 x 20/4 mm3 = 66.7 N m by pressure, 700/sqrt(3)/1.5 MPa x 800 mm3 = 216 N m by shear [budynas-nisbett-2011, example 7-6]", async () => {
    expect((await worst("pressure, key")).words).toContain("of the 66.7 N m");
    expect((await worst("keys, key")).words).toContain("of the 216 N m");
  });

  it("the margin of the locked rotor is what it bears over 51.84 N m, less one", async () => {
    const { check, words } = await worst("torsion, square");
    expect(words).toContain("51.8 N m of the 86.5 N m");
    expect(check?.kind === "known" ? check.value : Number.NaN).toBeCloseTo(86.47 / 51.84 - 1, 2);
  });

  it("while turning, the first stage gives what the second passes on by ratio and efficiency, and the second's own drag: T / (10 x 0.8) + 0.5 N m", async () => {
    const turning = async (edits: Edits) =>
      (await impact({ ...gentle, ...edits })).checks
        .filter((one) => one.name.startsWith("Gear torque while turning"))
        .map((one, j) => (j === 0 ? 6 : 40) / (1 + (one.kind === "known" ? one.value : Number.NaN)));
    const [easy = Number.NaN, slow = Number.NaN] = await turning({});
    expect(easy).toBeCloseTo(slow / (10 * 0.8), 6);
    const [dragged = Number.NaN, same] = await turning({ "drive.stages[1].no_load_torque": "0.5 N m" });
    expect(dragged).toBeCloseTo(slow / (10 * 0.8) + 0.5, 6);
    expect(same).toBeCloseTo(slow, 6);
  });
});

const provocations: readonly Provocation[] = [
  { id: "stem-shear", verdict: "holds", edits: {} },
  { id: "stem-shear", verdict: "thin", edits: { [`${at}.sections[0].diameter`]: "10.2 mm +/- 0.3 mm" } },
  { id: "stem-shear", verdict: "fails", edits: { [`${at}.sections[0].diameter`]: "8 mm" } },
  {
    id: "stem-shear",
    verdict: "not known",
    edits: { [`${at}.sections`]: undefined },
    needs: `${at}.sections: each section from ball to gearbox, where it is weakest`,
  },
  {
    id: "stem-shear",
    verdict: "not known",
    edits: { [`${at}.sections[0].diameter`]: undefined },
    needs: `${at}.sections[0].diameter`,
  },
  {
    id: "stem-shear",
    verdict: "not known",
    edits: { [`${at}.sections[0].shape`]: undefined },
    needs: `${at}.sections[0].shape`,
  },
  {
    id: "stem-shear",
    verdict: "not known",
    edits: { [`${at}.sections[0].notch`]: undefined },
    needs: `${at}.sections[0].notch`,
  },
  {
    id: "stem-shear",
    verdict: "not known",
    edits: { [`${at}.sections[0].notch`]: "shoulder" },
    needs: `${at}.sections[0].shoulder.fillet`,
  },
  {
    id: "stem-shear",
    verdict: "not known",
    edits: { [`${at}.sections[0].notch`]: "hole" },
    needs: `${at}.sections[0].hole`,
  },
  {
    id: "stem-shear",
    verdict: "not known",
    edits: {
      [`${at}.sections[0].shape`]: "square",
      [`${at}.sections[0].width`]: "12 mm",
      [`${at}.sections[0].notch`]: "shoulder",
    },
    needs: `${at}.sections[0].concentration`,
  },
  {
    id: "stem-shear",
    verdict: "not known",
    edits: { [`${at}.material`]: undefined },
    needs: `${at}.material`,
  },
  {
    id: "stem-shear",
    verdict: "not known",
    edits: { "valve.strength.yield_factor": undefined },
    needs: "valve.strength.yield_factor",
  },
  {
    id: "stem-shear",
    verdict: "not known",
    edits: { "valve.strength.ultimate_factor": undefined },
    needs: "valve.strength.ultimate_factor",
  },
  {
    id: "stem-shear",
    verdict: "not known",
    edits: { "duty.valve_temperature": undefined },
    needs: "duty.valve_temperature",
  },
  {
    id: "stem-shear",
    verdict: "not known",
    edits: { [`${at}.sections[0].at`]: "50 mm" },
    needs: "valve.cold.extension: its tube and stem, the air around it, gearbox and motor",
  },
  {
    id: "stem-shear",
    verdict: "not known",
    edits: { "drive.coupling.stiffness": undefined },
    needs: "drive.coupling.stiffness",
  },
  {
    id: "stem-shear",
    verdict: "not known",
    edits: { "drive.driver.current_limit": undefined },
    needs: "drive.driver.current_limit",
  },
  {
    id: "stem-shear",
    verdict: "fails",
    edits: { "drive.coupling.stiffness": undefined, [`${at}.sections[0].diameter`]: "8 mm" },
  },
  { id: "stem-fatigue", verdict: "holds", edits: {} },
  {
    id: "stem-fatigue",
    verdict: "fails",
    edits: { "valve.strength.life_cycles": "1e7", [`${at}.sections[0].diameter`]: "9 mm" },
  },
  {
    id: "stem-fatigue",
    verdict: "not known",
    edits: { "valve.strength.life_cycles": undefined },
    needs: "valve.strength.life_cycles",
  },
  {
    id: "stem-fatigue",
    verdict: "not known",
    edits: { "valve.strength.life_factor": undefined },
    needs: "valve.strength.life_factor",
  },
  {
    id: "stem-fatigue",
    verdict: "not known",
    edits: { "valve.strength.surface": undefined },
    needs: "valve.strength.surface",
  },
  { id: "stem-flaw", verdict: "holds", edits: {} },
  { id: "stem-flaw", verdict: "fails", edits: { [`${at}.sections[0].fracture_toughness`]: "5 MPa√m" } },
  {
    id: "stem-flaw",
    verdict: "not known",
    edits: { "valve.strength.flaw": undefined },
    needs: "valve.strength.flaw.depth",
  },
  {
    id: "stem-flaw",
    verdict: "not known",
    edits: {
      [`${at}.sections[0].material`]: "stainless-316",
      [`${at}.sections[0].fracture_toughness`]: undefined,
    },
    needs: `${at}.sections[0].fracture_toughness`,
  },
  { id: "tang-bearing", verdict: "holds", edits: {} },
  { id: "tang-bearing", verdict: "fails", edits: { [`${at}.joints[0].length`]: "3 mm" } },
  {
    id: "tang-bearing",
    verdict: "not known",
    edits: { [`${at}.joints`]: undefined },
    needs: `${at}.joints: each joint from ball to gearbox`,
  },
  {
    id: "tang-bearing",
    verdict: "not known",
    edits: { [`${at}.joints[0].hub_material`]: undefined },
    needs: `${at}.joints[0].hub_material`,
  },
  {
    id: "tang-bearing",
    verdict: "not known",
    edits: { [`${at}.joints[0].kind`]: undefined },
    needs: `${at}.joints[0].kind`,
  },
  { id: "coupling", verdict: "holds", edits: {} },
  { id: "coupling", verdict: "fails", edits: { [`${at}.joints[1].width`]: "1 mm" } },
  {
    id: "coupling",
    verdict: "not known",
    edits: { [`${at}.joints[1].material`]: undefined },
    needs: `${at}.joints[1].material`,
  },
  { id: "gear-rated", verdict: "holds", edits: {} },
  { id: "gear-rated", verdict: "fails", edits: { "drive.stages[0].rated_torque": "0.1 N m" } },
  {
    id: "gear-rated",
    verdict: "not known",
    edits: { "drive.stages[0].rated_torque": undefined },
    needs: "drive.stages[0].rated_torque",
  },
  { id: "gear-repeated", verdict: "holds", edits: {} },
  {
    id: "gear-repeated",
    verdict: "fails",
    edits: { "drive.stages[0].rated_torque": "1 N m", "drive.stages[0].peak_torque": "1 N m" },
  },
  {
    id: "gear-repeated",
    verdict: "not known",
    edits: { "drive.stages[0].peak_torque": undefined },
    needs: "drive.stages[0].peak_torque",
  },
  { id: "gear-peak", verdict: "holds", edits: {} },
  {
    id: "gear-peak",
    verdict: "fails",
    edits: {
      "drive.stages[0].rated_torque": "3 N m",
      "drive.stages[0].peak_torque": "4 N m",
      "drive.stages[0].momentary_torque": "4 N m",
    },
  },
  {
    id: "gear-peak",
    verdict: "not known",
    edits: { "drive.stages[0].momentary_torque": undefined },
    needs: "drive.stages[0].momentary_torque",
  },
  { id: "stop-impact", verdict: "holds", edits: {} },
  { id: "stop-impact", verdict: "fails", edits: { "drive.stop.momentary_torque": "20 N m" } },
  {
    id: "stop-impact",
    verdict: "not known",
    edits: { "drive.stop.momentary_torque": undefined },
    needs: "drive.stop.momentary_torque",
  },
  {
    id: "stop-impact",
    verdict: "not known",
    edits: { "drive.stop.stiffness": undefined },
    needs: "drive.stop.stiffness",
  },
  { id: "impact-toughness", verdict: "holds", edits: {} },
  {
    id: "impact-toughness",
    verdict: "fails",
    edits: { "valve.strength.impact_tests[0].lateral_expansion": "0.2 mm" },
  },
  {
    id: "impact-toughness",
    verdict: "fails",
    edits: { "valve.strength.least_lateral_expansion": "1 mm" },
  },
  {
    id: "impact-toughness",
    verdict: "not known",
    edits: { "valve.strength.impact_tests[0].temperature": "100 K", "duty.valve_temperature": "90 K" },
    needs: "valve.strength.impact_tests: a Charpy test of A286, aged at or below 90 K",
  },
  { id: "torque-path-material", verdict: "holds", edits: {} },
  {
    id: "torque-path-material",
    verdict: "fails",
    edits: { "duty.valve_temperature": "90 K", [`${at}.sections[0].material`]: "17-4ph" },
  },
  {
    id: "torque-path-material",
    verdict: "fails",
    edits: { "duty.valve_temperature": "90 K", [`${at}.sections[0].material`]: "nickel-steel-9" },
  },
  {
    id: "torque-path-material",
    verdict: "not known",
    edits: { [`${at}.joints[1].material`]: undefined },
    needs: `${at}.joints[1].material`,
  },
  {
    id: "torque-path-material",
    verdict: "not known",
    edits: { "duty.valve_temperature": undefined, [`${at}.sections[0].material`]: "17-4ph" },
    needs: "duty.valve_temperature",
  },
  {
    id: "torque-path-material",
    verdict: "holds",
    edits: {
      "duty.valve_temperature": "90 K",
      [`${at}.sections[0].material`]: "17-4ph",
      [`${at}.sections[0].justification`]: "Charpy tests of this heat at 80 K",
    },
  },
  { id: "torque-path-material", verdict: "holds", edits: { [`${at}.sections[0].material`]: "17-4ph" } },
  {
    id: "current-limit",
    verdict: "not known",
    edits: { "duty.margin_rule": undefined },
    needs: "duty.margin_rule",
  },
  {
    id: "current-limit",
    verdict: "not known",
    edits: { [`${at}.sections[1].width`]: undefined },
    needs: `${at}.sections[1].width`,
  },
];

describe("a metal that may be brittle, and that nobody has accepted", () => {
  const tough = (part: string) =>
    `a metal of ${part} that stays tough at its temperature, or the justification of this one`;
  it("bears nothing: its section, its side of a joint and the current limit wait for another", async () => {
    const { checks, sentence } = await impact({
      ...gentle,
      "duty.valve_temperature": "90 K",
      [`${at}.material`]: "carbon-steel",
    });
    const needsOf = (id: string, end: string) =>
      checks.flatMap((one) =>
        one.id === id && one.name.endsWith(end) && one.kind === "unknown" ? one.needs : [],
      );
    expect(needsOf("stem-shear", "shank")).toContain(tough("shank"));
    expect(needsOf("tang-bearing", "square in its hub")).toContain(tough("square in its hub, shaft"));
    expect(needsOf("tang-bearing", "key")).toContain(tough("key, shaft"));
    expect(needsOf("current-limit", "")).toContain(tough("shank"));
    expect(sentence).not.toContain("current limit");
  });

  it("is not the weakest: the sentence names the weakest of those that count, and what is refused", async () => {
    const edits = {
      ...gentle,
      "duty.valve_temperature": "90 K",
      [`${at}.sections[0].material`]: "carbon-steel",
    };
    const { checks, sentence } = await impact(edits);
    expect(sentence).toMatch(/^Weakest of those that count is (?!shank)/);
    expect(sentence).toContain(
      "The metal of shank is refused, as it may break without yielding: its margin does not count.",
    );
    // The weakest that counts has the least margin of the checks that know theirs.
    const margins = checks.flatMap((one) =>
      one.kind === "known" &&
      one.dimension === "ratio" &&
      ["stem-shear", "tang-bearing", "coupling", "gear-peak"].includes(one.id)
        ? [one]
        : [],
    );
    const least = margins.toSorted((a, b) => a.value - b.value)[0];
    expect(least).toBeDefined();
    expect(sentence).toContain(`is ${least?.name.split(", ").at(-1)}`);
  });

  it("leaves nothing that counts where every part is of it", async () => {
    const { sentence } = await impact({
      ...gentle,
      "duty.valve_temperature": "90 K",
      [`${at}.material`]: "carbon-steel",
      [`${at}.sections[1].material`]: "carbon-steel",
    });
    expect(sentence).not.toMatch(/is (shank|square|key)[,:]/);
    expect(sentence).toContain(
      "are refused, as they may break without yielding: their margins do not count.",
    );
  });
});

describe("each check in each of its verdicts", () => {
  const isThin = ({ verdict }: Provocation) => verdict === "thin";
  itProvokes((edits) => alone({ ...gentle, ...edits }), provocations.filter(isThin));
  // The others do not hang on the band.
  itProvokes(
    (edits) => alone({ ...gentle, ...edits }, 0),
    provocations.filter((one) => !isThin(one)),
  );
});

describe("the current limit", () => {
  const limitCheck = async (edits: Edits = {}) => {
    const check = (await impact({ ...gentle, ...edits })).checks.find(({ id }) => id === "current-limit");
    if (check === undefined) throw new Error("no check of the current limit");
    return check;
  };

  it("lies between that of no torque margin and that of no strength: at each end the other questions say 0 %", async () => {
    const check = await limitCheck();
    expect(check.kind).toBe("known");
    if (check.kind !== "known") return;
    const { least = Number.NaN, most = Number.NaN } = check.limit;
    expect(least).toBeLessThan(most);
    const with_ = async (amperes: number) =>
      ask({ ...gentle, "drive.driver.current_limit": `${amperes} A` }, 0);
    const margin = answerNumbered(await with_(least), 2).checks.find(({ id }) => id === "torque-margin");
    expect(margin?.kind === "known" ? margin.value : Number.NaN).toBeCloseTo(0, 3);
    const strength = answerNumbered(await with_(most), 5).checks.filter(
      ({ id }) => id === "stem-shear" || id === "tang-bearing" || id === "gear-peak",
    );
    const margins = strength.flatMap((one) => (one.kind === "known" ? [one.value] : []));
    expect(Math.min(...margins)).toBeCloseTo(0, 3);
  });

  it("is printed as it is judged; its upper end is, on paper, 12 A times what bears least at the locked rotor over the torque there", async () => {
    const { checks, sentence } = await impact(gentle);
    const [, least = "", most = ""] =
      /hold together with a current limit between ([\d.]+) A and ([\d.]+) A; it is 12 A\./.exec(sentence) ??
      [];
    const check = checks.find(({ id }) => id === "current-limit");
    if (check?.kind !== "known") throw new Error("the window is not known");
    expect(Number(least)).toBe(Number((check.limit.least ?? 0).toPrecision(3)));
    expect(Number(most)).toBe(Number((check.limit.most ?? 0).toPrecision(3)));
    expect(check.value).toBe(12);
    const margins = checks.flatMap((one) =>
      one.kind === "known" &&
      ["stem-shear", "tang-bearing", "coupling", "gear-peak"].includes(one.id) &&
      !one.name.includes("rated")
        ? [one.value]
        : [],
    );
    expect(margins.length).toBeGreaterThan(4);
    expect(check.limit.most).toBeCloseTo(12 * (1 + Math.min(...margins)), 6);
  });

  it("none satisfies both where the stem is too weak for what the margin asks", async () => {
    const check = await limitCheck({ [`${at}.sections[1].width`]: "6 mm" });
    expect(check.kind === "failed" ? check.finding : "").toMatch(
      /^no current limit satisfies both: the torque margin needs at least [\d.]+ A, and square (at the locked rotor|in jam and strokes) bears at most [\d.]+ A$/,
    );
    const { sentence } = await impact({ ...gentle, [`${at}.sections[1].width`]: "6 mm" });
    expect(sentence).toContain("No current limit satisfies both");
  });

  it("none gives the margin where the voltage is spent first", async () => {
    const check = await limitCheck({ "drive.supply.open_circuit_voltage": "6 V" });
    expect(check.kind === "failed" ? check.finding : "").toContain("the voltage is spent first");
  });

  it("is bound by jam and strokes where a heavy rotor makes these worse", async () => {
    const heavy = {
      "drive.motor.inertia": "900 g cm2",
      "drive.stages[1].momentary_torque": "100 N m",
      "drive.stages[1].peak_torque": "95 N m",
    };
    const check = await limitCheck(heavy);
    const words = check.kind === "known" ? check.limit.words : check.kind === "failed" ? check.finding : "";
    expect(words).toContain("in jam and strokes");
  });
});

describe("what the answer shows", () => {
  it("the weakest part in its sentence, margins by part and load, margin and strength against the current", async () => {
    const answer = await impact({}, 80);
    expect(answer.sentence).toMatch(
      /^Weakest is .*: margin .* % against .* \(95 % between .*; limit 0 %\)\./,
    );
    const ids = answer.figures.map(({ id }) => id);
    expect(ids).toEqual(expect.arrayContaining(["strength-sections", "strength-parts", "strength-current"]));
    const margins = answer.figures.find(({ id }) => id === "strength-sections");
    const labels = margins?.kind === "interval" ? margins.checks.map(({ label }) => label) : [];
    for (const load of ["locked rotor", "jammed", "opening", "closing"])
      expect(labels).toContain(`shank, ${load}`);
    const titles = answer.tables.map(({ title }) => title);
    expect(titles).toEqual(
      expect.arrayContaining(["What carries the torque, duty", "Greatest torque in each part, duty"]),
    );
    const check = answer.checks.find(({ name }) => name === "Stem torsion, shank");
    expect(check?.kind === "known" ? check.band : undefined).toBeDefined();
  });

  it("names what drives the weakest margin", async () => {
    const wide = {
      ...gentle,
      [`${at}.sections[1].width`]: "12 mm +/- 0.4 mm",
      [`${at}.joints[1].length`]: "40 mm",
    };
    const { drivers } = await impact(wide, 80);
    expect(drivers[0]?.path).toBe(`${at}.sections[1].width`);
    expect(drivers[0]?.words).toContain("the margin of square grows with it");
  });

  it("says so where nothing of the path is declared", async () => {
    const { sentence, gaps } = await impact({ [`${at}.sections`]: undefined, [`${at}.joints`]: undefined });
    expect(sentence).toContain("Not known: valve.stem.sections");
    expect(gaps.map(({ path }) => path)).toContain(
      `${at}.sections: each section from ball to gearbox, where it is weakest`,
    );
  });

  it("a standard gives the factors that nobody wrote, and is named", async () => {
    const rule = {
      "valve.strength.yield_factor": undefined,
      "valve.strength.ultimate_factor": undefined,
      "valve.strength.life_factor": undefined,
      "valve.strength.standard": "ecss-e-st-32-10c",
      "valve.strength.verified_by": "test",
    };
    const { checks } = await impact(rule);
    const check = checks.find(({ id }) => id === "stem-shear");
    expect(check?.kind === "known" ? check.limit.words : "").toContain("ECSS-E-ST-32-10C");
    expect(check?.kind === "known" ? check.limit.words : "").toContain("FS_y 1.1, FS_u 1.25");
  });

  it("a colder stem of a face-centred metal bears more, by its own strength there", async () => {
    const own = {
      [`${at}.sections[0].yield_strength`]: undefined,
      [`${at}.sections[0].ultimate_strength`]: undefined,
    };
    const bears = async (edits: Edits) => {
      const { tables } = await impact({ ...gentle, ...own, ...edits });
      const table = tables.find(({ title }) => title.startsWith("What carries"));
      return Number.parseFloat(table?.rows.find(([part]) => part === "shank")?.[2] ?? "");
    };
    expect(await bears({ [`${at}.sections[0].temperature`]: "90 K" })).toBeGreaterThan(
      1.2 * (await bears({ [`${at}.sections[0].temperature`]: "293 K" })),
    );
  });
});

it("tells where a strength is followed beyond its data", async () => {
  const own = {
    [`${at}.sections[0].yield_strength`]: undefined,
    [`${at}.sections[0].temperature`]: "60 K",
  };
  const { notices } = await impact({ ...gentle, ...own });
  expect(notices.map(({ code }) => code)).toContain("solid-extrapolated");
});
