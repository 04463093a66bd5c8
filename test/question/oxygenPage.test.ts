/** Question 8: on whose day a word counts, what the picture and the list show, and what never leaves the page. */
import { describe, expect, it } from "vitest";
import { parseDocument } from "yaml";
import { readDossier } from "../../src/dossier/index.js";
import type { Answer } from "../../src/question/index.js";
import { checkWords } from "../../src/question/words.js";
import { answerNumbered, answersTo, checkNamed, type Edits } from "./answering.js";
import { answerOf, ask, askOn, at, configuration, day, text } from "./oxygenValve.js";

describe("on whose day", () => {
  it("without the day a record that expires is not known to hold", async () => {
    const check = checkNamed(await askOn(undefined, {}), "cleanliness");
    expect(check.kind === "unknown" ? check.needs : []).toContain("the day on which it is judged");
  });

  it("a day that is none is refused with its line", () => {
    for (const wrong of ["4.3.2031", "2031-02-30"]) {
      const document = parseDocument(text.replace("expires: 2031-09-01", `expires: ${wrong}`));
      const { faults, dossier } = readDossier({ valve: { path: "valve.yaml", text: String(document) } });
      expect(faults.map(({ code, where }) => [code, where.field])).toEqual([
        ["day-unreadable", "oxygen.cleaning.expires"],
      ]);
      expect(dossier.valve.oxygen?.cleaning?.expires).toBeUndefined();
    }
  });
});

describe("a word that is dated after the day of judging", () => {
  const mark = "is still to come";
  const told = (answers: readonly Answer[]) => JSON.stringify(answerNumbered(answers, 8));

  it("is told, and none that is not", async () => {
    expect(told(await askOn(day, {}))).not.toContain(mark);
    expect(told(await askOn(undefined, {}))).not.toContain(mark);
    expect(told(await askOn("2031-03-02", {}))).not.toContain("2031-03-02 is still to come");
  });

  it("counts for nothing: the question stays not known, whoever it is of", async () => {
    const { verdict, checks, sentence } = answerNumbered(await askOn("2031-03-01", {}), 8);
    expect(verdict).toBe("not known");
    expect(sentence).toContain("who has not seen it");
    for (const id of [
      "ignition-screen",
      "cleanliness",
      "lubricant",
      "electrical-continuity",
      "oxygen-at-drive",
    ]) {
      const check = checks.find((one) => one.id === id);
      expect(check?.verdict, id).toBe("not known");
      expect(check?.kind === "unknown" ? check.needs.join(" ") : "", id).toContain(mark);
    }
  });

  const late = "2031-04-02";
  it.each([
    ["oxygen.parts[0].when", "material-standing"],
    [`${configuration}.lubricated.when`, "lubricant"],
    [`${configuration}.gas_at_start.when`, "ignition-screen"],
    ["oxygen.cleaning.when", "cleanliness"],
    ["oxygen.continuity.when", "electrical-continuity"],
    ["oxygen.drive_space.when", "oxygen-at-drive"],
    ["oxygen.consequence.when", "ignition-screen"],
    ["oxygen.specialist.when", "ignition-screen"],
  ])("%s leaves %s not known", async (path, id) => {
    const check = checkNamed(await ask({ [path]: late }), id);
    expect(check.kind === "unknown" ? check.needs : []).toContain(
      `${path}: a day up to today; ${late} is still to come`,
    );
  });
});

describe("the picture of the velocities shows what the check judged", () => {
  const titanium = { [`${at(0)}.material`]: "Ti-6Al-4V" };
  const gas = { [`${configuration}.gas_at_start.answer`]: "yes" };
  const liquid = { "duty.fluid_temperature": "85 K", "duty.back_pressure": "2 bar(a)" };
  const shown = async (edits: Edits, samples = 0) => {
    const answers = await answersTo({ text, edits, samples }, { reconciliations: [], day });
    const { figures, checks } = answerNumbered(answers, 8);
    const figure = figures.find(({ id }) => id === "oxygen-velocity");
    const points =
      figure?.kind === "plot" ? figure.marks.flatMap((mark) => (mark.kind === "points" ? [mark] : [])) : [];
    return { points, words: figure?.words ?? "", check: checks.find(({ id }) => id === "gas-velocity") };
  };
  /** Limit where gas strikes, by hand: 30 m/s to 15 bar, p v = 450 bar m/s to 100 bar [eiga-13-2012, from memory]. */
  const byHand = (bar: number) => (bar <= 15 ? 30 : 450 / bar);

  it.each([
    ["liquid that flashes", { ...titanium, "duty.fluid_temperature": "91 K +/- 1 K" }, "jet of the liquid"],
    [
      "gas at the start",
      { ...titanium, ...gas, "duty.supply_pressure": "26 bar(a) +/- 1 bar" },
      "gas at the start",
    ],
  ])("%s: speed, band and the point of the curve", async (_, edits, label) => {
    const { points, check, words } = await shown(edits, 60);
    const judged = points.filter((point) => point.label === label);
    expect(judged).toHaveLength(1);
    expect(check?.kind).toBe("known");
    if (check?.kind !== "known") return;
    const [point] = judged;
    expect(point?.y).toEqual([check.value]);
    expect([point?.low, point?.high]).toEqual([[check.band?.low], [check.band?.high]]);
    expect(check.band).toBeDefined();
    expect(check.limit.most).toBeCloseTo(byHand(point?.x[0] ?? Number.NaN), 6);
    // No other jet is shown as if it were judged.
    expect(points.filter((one) => one.role === "prediction")).toHaveLength(1);
    expect(words).toContain("are held to");
  });

  it("liquid that stays liquid is held against nothing, and the share of gas is told as one", async () => {
    const { points, check, words } = await shown({ ...titanium, ...liquid });
    expect(points.map((point) => point.label)).toEqual(["jet of the liquid, not judged"]);
    expect(words).toContain("it stays liquid, of which there is no curve");
    expect(check?.verdict).toBe("holds");
    expect(check === undefined ? "" : checkWords(check)).toBe("0 %, at most 0 %");
  });

  it("liquid that is within its band of boiling is judged as liquid that flashes", async () => {
    // 85 K boils at 0.57 bar; the pressure behind it may lie on either side.
    const near = { ...titanium, ...liquid, "duty.back_pressure": "0.6 bar(a) +/- 0.1 bar" };
    const { check } = await shown(near, 60);
    expect(check?.name).toMatch(/^Gas velocity, ball/);
  });

  it("nothing is shown as judged while nobody has said whether gas stands there", async () => {
    const { points, words, check } = await shown({
      ...titanium,
      [`${configuration}.gas_at_start`]: undefined,
    });
    expect(check?.verdict).toBe("not known");
    expect(points.map((point) => point.role)).toEqual(["neutral", "neutral"]);
    expect(words).toContain(`${configuration}.gas_at_start.answer`);
  });
});

describe("what never leaves the page", () => {
  const pages: readonly { readonly name: string; readonly edits: Edits }[] = [
    { name: "a valve of which all is declared", edits: {} },
    { name: "nothing declared", edits: { oxygen: undefined } },
    { name: "everything known and reviewed", edits: { "oxygen.consequence.people": "catastrophic" } },
    { name: "water", edits: { "duty.fluid": "water", "duty.fluid_temperature": "20 degC" } },
  ];
  it.each(pages)("$name: the page defers to specialists and local codes", async ({ edits }) => {
    const { cautions } = await answerOf(edits);
    expect(cautions.join(" ")).toContain("specialists in ignition and the local codes decide");
    expect(cautions.join(" ")).toContain("A test with nitrogen, helium or water shows nothing of ignition.");
  });

  it("an oxidiser in one case alone keeps the oxygen specialist on the page of the other", async () => {
    const answers = await askOn(day, {}, `${text}`);
    expect(answerNumbered(answers, 8).cautions.join(" ")).toContain(
      "for an oxygen specialist to accept, under local codes",
    );
    expect(answerNumbered(answers, 8).sentence).toContain("it clears no part");
  });

  it("no field of the section takes a caution away", async () => {
    const all = (await answerOf()).cautions;
    for (const field of ["parts", "configuration", "cleaning", "specialist", "consequence"])
      expect((await answerOf({ [`oxygen.${field}`]: undefined })).cautions).toEqual(all);
  });
});

it("a test in another medium never ticks oxygen: what the strokes tell is asked of a case with an oxidiser", async () => {
  const nitrogen = text.replace(
    "cases:\n",
    `cases:
  - id: cold-test
    fluid: nitrogen
    fluid_temperature: 80 K
    valve_temperature: 80 K
    motor_temperature: 20 degC
    gearbox_temperature: 20 degC
    supply_pressure: 5 bar(a)
    back_pressure: 1 bar(a)
    outlet: flowing
    dwell: 1 min
    line: { upstream: { drop: 1 bar, at: 5 kg/s }, downstream: { drop: 8 bar, at: 5 kg/s } }
`,
  );
  const answers = await answersTo(
    {
      text: nitrogen,
      caseId: "cold-test",
      samples: 0,
      edits: { [`${configuration}.dead_ends.answer`]: "yes" },
    },
    { reconciliations: [], day },
  );
  const check = checkNamed(answers, "compression-temperature");
  expect(check.kind === "unknown" ? check.needs : []).toContain(
    "the strokes of a case with an oxidiser, and this one has none",
  );
});

it("another oxidiser than the one that the data are of is not known", async () => {
  const edits = {
    "duty.fluid": "nitrous-oxide",
    "duty.fluid_temperature": "250 K",
    "duty.supply_pressure": "40 bar(a)",
  };
  for (const id of ["gas-velocity", "compression-temperature", "material-standing", "metal-friction-pv"]) {
    const check = checkNamed(await ask(edits), id);
    expect(check.kind === "unknown" ? check.needs : []).toContain(
      "limits and standings of materials in nitrous-oxide: those on file are of oxygen",
    );
  }
});

it("the list for the specialist comes first, with every credible and open pair, every answer and every check", async () => {
  const { tables, checks } = await answerOf({ "oxygen.drive_space": undefined });
  const [list, mechanisms] = tables;
  expect(list?.title).toMatch(/^For the oxygen specialist/);
  const kept = mechanisms?.rows.filter(([, , result]) => result !== "not credible") ?? [];
  for (const [part, mechanism] of kept)
    expect(list?.rows.some(([what, where]) => what === mechanism && where === part)).toBe(true);
  expect(list?.rows.filter(([what]) => what === "answer of a person").length).toBe(7);
  expect(list?.rows.filter(([what]) => what === "check").length).toBe(checks.length);
  expect(list?.rows.map(([what]) => what)).toContain("consequence of a reaction");
  expect(list?.rows.map(([what]) => what)).toContain("review by a specialist");
  expect(list?.rows.some(([what, , stands]) => what === "not looked at here" && stands === "open")).toBe(
    true,
  );
});

it("says what moves the temperature of compressed gas most", async () => {
  const { drivers } = await answerOf({ "oxygen.compression.initial_temperature": "20 degC +/- 10 K" });
  const first = drivers.find(({ words }) => words.startsWith("the temperature of compressed gas"));
  expect(first?.path).toBe("oxygen.compression.initial_temperature");
});

it("an empty section is not known, in whole", async () => {
  const { verdict, sentence, checks } = await answerOf({ oxygen: undefined });
  expect(verdict).toBe("not known");
  expect(sentence).toContain("oxygen.parts");
  expect(checks.map(({ verdict: one }) => one)).toEqual(checks.map(() => "not known"));
});
