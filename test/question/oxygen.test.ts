/** Question 8: each check in each of its verdicts, every condition on whose word, and what never leaves its page. */
import { describe, expect, it } from "vitest";
import { parseDocument } from "yaml";
import { applyDefaults, readDossier } from "../../src/dossier/index.js";
import type { Prediction } from "../../src/predict/index.js";
import { answerTo } from "../../src/question/answers.js";
import { contextOf } from "../../src/question/context.js";
import type { Answer } from "../../src/question/index.js";
import { oxygen } from "../../src/question/oxygen.js";
import { checkWords } from "../../src/question/words.js";
import { textOf } from "../project/files.js";
import { answerNumbered, answersTo, checkNamed, type Edits, predictionOf } from "./answering.js";
import { itProvokes } from "./provocations.js";

const who = "who: design, when: 2031-03-02";
const text = `${textOf("test/question/hand.yaml")
  .replace("fluid: water", "fluid: oxygen")
  .replaceAll("fluid_temperature: 20 degC", "fluid_temperature: 91 K")
  .replaceAll("valve_temperature: 20 degC", "valve_temperature: 92 K")
  .replace("  seat:\n", "  cold: { contact_width: 1 mm }\n  seat:\n")}
oxygen:
  parts:
    - { name: ball, kind: metal, material: bronze, ${who}, exposed: stream, impinged: "yes", struck: "no", rubs: seats, contact: ball on seat, mass: 0.4 kg, thickness: 8 mm }
    - { name: stem, kind: metal, material: a286, ${who}, exposed: cavity, impinged: "no", struck: "no", rubs: bush, contact: stem in bush, contact_pressure: 3 MPa, rubbing_radius: 7 mm, mass: 0.1 kg, thickness: 7 mm, depth: 16 mm, mouth: 15 mm }
    - { name: bush, kind: metal, material: bronze, ${who}, exposed: cavity, impinged: "no", struck: "no", mass: 30 g, thickness: 2 mm, depth: 16 mm, mouth: 15 mm }
    - { name: seats, kind: polymer, material: ptfe, ${who}, exposed: stream, impinged: "no", struck: "no", beside: ball, mass: 24 g }
    - { name: grease, kind: lubricant, material: pfpe-grease, ${who}, exposed: sealed, impinged: "no", struck: "no", rubs: nothing, beside: stem, mass: 0.2 g, batch: PG-7, tested: report L-12, temperature: 250 K }
  configuration:
    burrs: { answer: "no", ${who} }
    drilled_intersections: { answer: "no", ${who} }
    dead_ends: { answer: "no", ${who} }
    fast_upstream: { answer: "no", ${who} }
    gas_at_start: { answer: "no", ${who} }
    particle_filter: { answer: "yes", rating: 40 um, ${who} }
    lubricated: { answer: "yes", ${who} }
  compression: { initial_pressure: 1 bar(a), initial_temperature: 20 degC }
  ignition_margin: 100 K
  start_gas: { temperature: 20 degC }
  cleanliness: { largest_particle: 300 um, residue: 100 mg/m2 }
  cleaning: { procedure: "C-4, 2", method: "ultrasonic", largest_particle: 180 um, residue: 15 mg/m2, inspection: "ultraviolet light", packaging: "two bags, seal 7", who: clean room, inspector: quality, when: 2031-03-02, expires: 2031-09-01 }
  continuity: { ball_to_body: 0.9 ohm, stem_to_body: 0.4 ohm, ${who} }
  drive_space: { purged: "yes", packing: 21.5 %, gearbox: 20.9 %, ${who} }
  consequence: { people: negligible, equipment: critical, test: critical, because: remote, ${who} }
  specialist: { who: oxygen panel, when: 2031-03-20, finding: accepted, document: minutes O-3 }
`;
const day = "2031-04-01";
/** Everything anew: where an edit moves the strokes. */
const askOn = (on: string | undefined, edits: Edits, asked = text): Promise<readonly Answer[]> =>
  answersTo(
    { text: asked, edits, samples: 0 },
    { reconciliations: [], ...(on === undefined ? {} : { day: on }) },
  );
let strokes: Promise<Prediction> | undefined;
/** The strokes of the text with question 8 of an edited section. */
async function askOfSection(edits: Edits): Promise<readonly Answer[]> {
  strokes ??= predictionOf({ text, samples: 60 });
  const document = parseDocument(text);
  for (const [path, value] of Object.entries(edits)) {
    const steps = path
      .replace(/\[(\d+)\]/g, ".$1")
      .split(".")
      .map((step) => (/^\d+$/.test(step) ? Number(step) : step));
    if (value === undefined) document.deleteIn(steps);
    else document.setIn(steps, value);
  }
  const { dossier, faults } = readDossier({ valve: { path: "valve.yaml", text: String(document) } });
  expect(faults).toEqual([]);
  const prediction = { ...(await strokes), dossier: applyDefaults(dossier, "duty").dossier };
  return [answerTo(oxygen, contextOf(prediction, { reconciliations: [], day }), [])];
}
const ask = (edits: Edits = {}) =>
  Object.keys(edits).every((path) => path.startsWith("oxygen")) ? askOfSection(edits) : askOn(day, edits);
const answerOf = async (edits: Edits = {}) => answerNumbered(await ask(edits), 8);
const at = (j: number) => `oxygen.parts[${j}]`;
const configuration = "oxygen.configuration";

it("a missing answer keeps the question not known beside a check that is thin", async () => {
  const thin: Edits = {
    [`${configuration}.dead_ends.answer`]: "yes",
    "oxygen.compression.initial_temperature": "20 degC +/- 15 K",
    "oxygen.compression.final_pressure": "14 bar(a)",
  };
  const { checks, verdict } = await answerOf({ ...thin, "oxygen.specialist.who": undefined });
  const verdicts = new Set(checks.map((check) => check.verdict));
  expect(verdicts).toContain("thin");
  expect(verdicts).not.toContain("fails");
  expect(verdict).toBe("not known");
});

interface ScreenRow {
  readonly result: string;
  readonly because: string;
  readonly severity: string;
}

async function screened(part: string, mechanism: string, edits: Edits = {}): Promise<ScreenRow> {
  const { tables } = await answerOf(edits);
  const table = tables.find(({ title }) => title.startsWith("Mechanisms of ignition"));
  const row = table?.rows.find(([name, how]) => name === part && how === mechanism);
  if (row === undefined) throw new Error(`no row of ${part}, ${mechanism}`);
  const [, , result = "", because = "", severity = ""] = row;
  return { result, because, severity };
}

itProvokes(ask, [
  { id: "ignition-screen", verdict: "holds", edits: {} },
  {
    id: "ignition-screen",
    verdict: "not known",
    edits: { "oxygen.parts": undefined },
    needs: "oxygen.parts: every wetted part, lubricants too",
  },
  ...(
    [
      "burrs",
      "drilled_intersections",
      "dead_ends",
      "fast_upstream",
      "gas_at_start",
      "particle_filter",
      "lubricated",
    ] as const
  ).flatMap((id) => [
    {
      id: "ignition-screen",
      verdict: "not known" as const,
      edits: { [`${configuration}.${id}`]: undefined },
      needs: `${configuration}.${id}.answer`,
    },
    ...(["answer", "who", "when"] as const).map((key) => ({
      id: "ignition-screen",
      verdict: "not known" as const,
      edits: { [`${configuration}.${id}.${key}`]: undefined },
      needs: `${configuration}.${id}.${key}`,
    })),
  ]),
  {
    id: "ignition-screen",
    verdict: "not known",
    edits: { [`${configuration}.particle_filter.rating`]: undefined },
    needs: `${configuration}.particle_filter.rating`,
  },
  ...(["people", "equipment", "test", "because", "who", "when"] as const).map((key) => ({
    id: "ignition-screen",
    verdict: "not known" as const,
    edits: { [`oxygen.consequence.${key}`]: undefined },
    needs: `oxygen.consequence.${key}`,
  })),
  ...(["who", "when", "finding", "document"] as const).map((key) => ({
    id: "ignition-screen",
    verdict: "not known" as const,
    edits: { [`oxygen.specialist.${key}`]: undefined },
    needs: `oxygen.specialist.${key}`,
  })),
  {
    id: "ignition-screen",
    verdict: "fails",
    edits: { "oxygen.specialist.finding": "not accepted" },
  },
  {
    id: "material-standing",
    verdict: "not known",
    edits: { "oxygen.specialist.finding": "not accepted" },
    needs: "oxygen.specialist: a review that accepts what the last one did not",
  },
  {
    id: "ignition-screen",
    verdict: "not known",
    edits: { "oxygen.specialist.when": "2031-03-01" },
    needs: "oxygen.specialist.when: a review after 2031-03-02, when the section last changed",
  },
  ...(["who", "when"] as const).map((key) => ({
    id: "ignition-screen",
    verdict: "not known" as const,
    edits: { [`${at(1)}.${key}`]: undefined },
    needs: `${at(1)}.${key}`,
  })),
  ...(["kind", "rubs", "depth", "mouth"] as const).map((key) => ({
    id: "ignition-screen",
    verdict: "not known" as const,
    edits: { [`${at(1)}.${key}`]: undefined },
    needs: `${at(1)}.${key}`,
  })),
  {
    id: "ignition-screen",
    verdict: "not known",
    edits: { [`${at(3)}.struck`]: undefined },
    needs: `${at(3)}.struck`,
  },
  {
    id: "ignition-screen",
    verdict: "not known",
    edits: { [`${at(1)}.exposed`]: undefined, [`${at(1)}.impinged`]: undefined },
    needs: `${at(1)}.exposed`,
  },
  {
    id: "ignition-screen",
    verdict: "not known",
    edits: { [`${at(1)}.rubs`]: "bushh" },
    needs: `${at(1)}.rubs: the name of a wetted part, and bushh is none`,
  },
  {
    id: "ignition-screen",
    verdict: "not known",
    edits: { "oxygen.drive_space": undefined },
    needs: "oxygen.drive_space.packing",
  },
  {
    id: "ignition-screen",
    verdict: "not known",
    edits: {
      [`${configuration}.dead_ends.answer`]: "yes",
      "oxygen.compression.initial_temperature": undefined,
    },
    needs: "oxygen.compression.initial_temperature",
  },
  // A jet of liquid flashes into bronze that is exempt, and into a steel that is too at this pressure.
  { id: "gas-velocity", verdict: "holds", edits: {} },
  {
    id: "gas-velocity",
    verdict: "fails",
    edits: {
      [`${at(0)}.material`]: "stainless-316",
      [`${at(0)}.thickness`]: "2 mm",
      "duty.back_pressure": "0.5 bar(a)",
    },
  },
  {
    id: "gas-velocity",
    verdict: "fails",
    edits: { [`${at(0)}.material`]: "Ti-6Al-4V", [`${configuration}.gas_at_start.answer`]: "yes" },
  },
  {
    id: "gas-velocity",
    verdict: "not known",
    edits: { [`${at(0)}.material`]: "unobtainium", "duty.back_pressure": "0.5 bar(a)" },
    needs: `${at(0)}.material: one on file in data/oxygen, which unobtainium is not`,
  },
  {
    id: "gas-velocity",
    verdict: "not known",
    edits: { [`${configuration}.gas_at_start`]: undefined },
    needs: `${configuration}.gas_at_start.answer`,
  },
  {
    id: "gas-velocity",
    verdict: "not known",
    edits: {
      [`${at(0)}.material`]: "stainless-316",
      [`${at(0)}.thickness`]: undefined,
      [`${configuration}.gas_at_start.answer`]: "yes",
    },
    needs: `${at(0)}.thickness`,
  },
  {
    id: "gas-velocity",
    verdict: "not known",
    edits: {
      [`${at(0)}.material`]: "Ti-6Al-4V",
      [`${configuration}.gas_at_start.answer`]: "yes",
      "oxygen.start_gas": undefined,
    },
    needs: "oxygen.start_gas.temperature",
  },
  // 11 bar from 1 bar and 20 degC: some 290 degC by the table, PTFE lights at 434 degC.
  { id: "compression-temperature", verdict: "holds", edits: {} },
  {
    id: "compression-temperature",
    verdict: "holds",
    edits: { [`${configuration}.dead_ends.answer`]: "yes" },
  },
  {
    id: "compression-temperature",
    verdict: "fails",
    edits: { [`${configuration}.dead_ends.answer`]: "yes", "oxygen.compression.final_pressure": "60 bar(a)" },
  },
  {
    id: "compression-temperature",
    verdict: "fails",
    edits: { [`${configuration}.fast_upstream.answer`]: "yes", [`${at(3)}.material`]: "nbr" },
  },
  {
    id: "compression-temperature",
    verdict: "thin",
    edits: {
      [`${configuration}.dead_ends.answer`]: "yes",
      "oxygen.compression.initial_temperature": "20 degC +/- 15 K",
      "oxygen.compression.final_pressure": "14 bar(a)",
    },
  },
  {
    id: "compression-temperature",
    verdict: "not known",
    edits: { [`${configuration}.dead_ends`]: undefined },
    needs: `${configuration}.dead_ends.answer`,
  },
  {
    id: "compression-temperature",
    verdict: "not known",
    edits: { [`${configuration}.dead_ends.answer`]: "yes", "oxygen.compression.initial_pressure": undefined },
    needs: "oxygen.compression.initial_pressure",
  },
  {
    id: "compression-temperature",
    verdict: "not known",
    edits: {
      [`${configuration}.dead_ends.answer`]: "yes",
      "oxygen.compression.final_pressure": "120 bar(a)",
    },
    needs: `${at(3)}.autoignition_temperature: of a test at 120 bar(a) or more`,
  },
  {
    id: "compression-temperature",
    verdict: "not known",
    edits: {
      [`${configuration}.dead_ends.answer`]: "yes",
      [`${at(3)}.autoignition_temperature`]: "430 degC",
    },
    needs: `${at(3)}.autoignition_pressure`,
  },
  { id: "material-standing", verdict: "holds", edits: {} },
  { id: "material-standing", verdict: "fails", edits: { [`${at(3)}.material`]: "nbr" } },
  {
    id: "material-standing",
    verdict: "holds",
    edits: { [`${at(3)}.material`]: "peek", [`${at(3)}.justification`]: "held in copper alloy" },
  },
  ...(["material", "mass", "thickness", "who"] as const).map((key) => ({
    id: "material-standing",
    verdict: "not known" as const,
    edits: { [`${at(0)}.${key}`]: undefined },
    needs: `${at(0)}.${key}`,
  })),
  {
    id: "material-standing",
    verdict: "not known",
    edits: { [`${at(3)}.material`]: "pfa" },
    needs: `${at(3)}.heat_of_combustion`,
  },
  {
    id: "material-standing",
    verdict: "not known",
    edits: { "oxygen.specialist": undefined },
    needs: "oxygen.specialist.document",
  },
  { id: "metal-friction-pv", verdict: "holds", edits: {} },
  { id: "metal-friction-pv", verdict: "fails", edits: { [`${at(2)}.material`]: "440c" } },
  {
    id: "metal-friction-pv",
    verdict: "not known",
    edits: { [`${at(2)}.material`]: "unobtainium" },
    needs: `${at(2)}.material: one on file in data/oxygen, which unobtainium is not`,
  },
  { id: "cleanliness", verdict: "holds", edits: {} },
  { id: "cleanliness", verdict: "fails", edits: { "oxygen.cleaning.largest_particle": "400 um" } },
  { id: "cleanliness", verdict: "fails", edits: { "oxygen.cleaning.residue": "0.2 g/m2" } },
  { id: "cleanliness", verdict: "fails", edits: { "oxygen.cleaning.expires": "2031-03-31" } },
  { id: "cleanliness", verdict: "fails", edits: { "oxygen.cleaning.expires": "2031-03-01" } },
  { id: "cleanliness", verdict: "fails", edits: { "oxygen.cleaning.inspector": "clean room" } },
  { id: "cleanliness", verdict: "holds", edits: { "oxygen.cleaning.expires": day } },
  ...(
    [
      "procedure",
      "method",
      "largest_particle",
      "residue",
      "inspection",
      "packaging",
      "who",
      "inspector",
      "when",
      "expires",
    ] as const
  ).map((key) => ({
    id: "cleanliness",
    verdict: "not known" as const,
    edits: { [`oxygen.cleaning.${key}`]: undefined },
    needs: `oxygen.cleaning.${key}`,
  })),
  ...(["largest_particle", "residue"] as const).map((key) => ({
    id: "cleanliness",
    verdict: "not known" as const,
    edits: { [`oxygen.cleanliness.${key}`]: undefined },
    needs: `oxygen.cleanliness.${key}`,
  })),
  { id: "lubricant", verdict: "holds", edits: {} },
  { id: "lubricant", verdict: "fails", edits: { [`${at(4)}.material`]: "mineral oil" } },
  { id: "lubricant", verdict: "fails", edits: { [`${at(4)}.temperature`]: "210 K" } },
  { id: "lubricant", verdict: "fails", edits: { [`${at(4)}.temperature`]: undefined } },
  { id: "lubricant", verdict: "fails", edits: { [`${configuration}.lubricated.answer`]: "no" } },
  ...(["batch", "mass", "tested", "who"] as const).map((key) => ({
    id: "lubricant",
    verdict: "not known" as const,
    edits: { [`${at(4)}.${key}`]: undefined },
    needs: `${at(4)}.${key}`,
  })),
  {
    id: "lubricant",
    verdict: "not known",
    edits: { [at(4)]: undefined },
    needs: "oxygen.parts: each lubricant, as there is one",
  },
  { id: "electrical-continuity", verdict: "holds", edits: {} },
  { id: "electrical-continuity", verdict: "fails", edits: { "oxygen.continuity.stem_to_body": "12 ohm" } },
  ...(["ball_to_body", "stem_to_body", "who", "when"] as const).map((key) => ({
    id: "electrical-continuity",
    verdict: "not known" as const,
    edits: { [`oxygen.continuity.${key}`]: undefined },
    needs: `oxygen.continuity.${key}`,
  })),
  { id: "oxygen-at-drive", verdict: "holds", edits: {} },
  { id: "oxygen-at-drive", verdict: "fails", edits: { "oxygen.drive_space.packing": "24 %" } },
  { id: "oxygen-at-drive", verdict: "fails", edits: { "oxygen.drive_space.purged": "no" } },
  ...(["purged", "packing", "gearbox", "who", "when"] as const).map((key) => ({
    id: "oxygen-at-drive",
    verdict: "not known" as const,
    edits: { [`oxygen.drive_space.${key}`]: undefined },
    needs: `oxygen.drive_space.${key}`,
  })),
]);

describe("the screen, part by part", () => {
  it("rules out on the word of somebody with name and day, and names the condition", async () => {
    expect(await screened("seats", "mechanical impact")).toEqual({
      result: "not credible",
      because: "nothing strikes it (design, 2031-03-02)",
      severity: "",
    });
    const burns = await screened("ball", "particle impact", { "duty.back_pressure": "0.5 bar(a)" });
    expect(burns.result).toBe("not credible");
    expect(burns.because).toContain("exempt up to 206.8 bar");
    expect(burns.because).toContain("eiga-13-2012, from memory");
  });

  it("each mechanism is credible where all its conditions are there, with a severity", async () => {
    const bare = { [`${at(0)}.material`]: "carbon-steel", "duty.back_pressure": "0.5 bar(a)" };
    const impact = await screened("ball", "particle impact", bare);
    expect(impact.result).toBe("credible");
    expect(impact.severity).toMatch(/jet of the liquid 52\.\d+ m\/s, 5\.1 % gas/);

    const dead = {
      [`${configuration}.dead_ends.answer`]: "yes",
      "oxygen.compression.final_pressure": "60 bar(a)",
    };
    const compressed = await screened("seats", "pneumatic compression", dead);
    expect(compressed.result).toBe("credible");
    expect(compressed.severity).toMatch(/compressed gas up to 59\d\.?\d* degC; autoignition 434 degC/);

    const struck = await screened("seats", "mechanical impact", { [`${at(3)}.struck`]: "yes" });
    expect(struck.result).toBe("credible");

    const rubbing = await screened("stem", "friction and galling", { [`${at(2)}.material`]: "440c" });
    expect(rubbing.result).toBe("credible");
    expect(rubbing.severity).toMatch(/^p v [\d.]+ kW\/m2$/);

    const kindled = await screened("ball", "kindling chain", { [`${at(0)}.material`]: "carbon-steel" });
    expect(kindled.result).toBe("credible");
    // 24 g of PTFE at 7.1 MJ/kg; 0.4 kg at 1.15 MJ/kg: 37 % of it.
    expect(kindled.severity).toContain("170.4 kJ can burn beside it; enough to melt 37 % of it");

    const sounding = await screened("stem", "acoustic resonance", {
      [`${configuration}.gas_at_start.answer`]: "yes",
    });
    expect(sounding.result).toBe("credible");

    const charged = await screened("seats", "electrical discharge", {
      "oxygen.continuity.ball_to_body": "1 kohm",
    });
    expect(charged.result).toBe("credible");
    expect(charged.severity).toBe("1000 ohm across the valve");

    const arc = await screened("packing, gearbox and motor", "electrical arc at the drive", {
      "oxygen.drive_space.gearbox": "30 %",
    });
    expect(arc.result).toBe("credible");
  });

  it("thin edges take an exemption by thickness away, and an unanswered burr leaves it open", async () => {
    const steel = { [`${at(0)}.material`]: "stainless-316", "duty.back_pressure": "0.5 bar(a)" };
    expect((await screened("ball", "particle impact", steel)).result).toBe("not credible");
    const burr = await screened("ball", "particle impact", {
      ...steel,
      [`${configuration}.burrs.answer`]: "yes",
    });
    expect(burr.result).toBe("credible");
    const open = await screened("ball", "particle impact", {
      ...steel,
      [`${configuration}.burrs`]: undefined,
    });
    expect(open.result).toBe("open");
    expect(open.because).toContain(`${configuration}.burrs (answer, who, when)`);
  });

  it("an opening slower than ten seconds does not compress what lies in a dead end [eiga-13-2012; from memory]", async () => {
    const dead = {
      [`${configuration}.dead_ends.answer`]: "yes",
      "oxygen.compression.final_pressure": "60 bar(a)",
    };
    const slow = {
      "drive.command.kind": "trapezoid",
      "drive.command.duration": "20 s",
      "drive.command.sample_time": "5 ms",
      "drive.command.position_gain": "30 1/s",
      "drive.command.speed_bandwidth": "200 1/s",
    };
    expect((await screened("seats", "pneumatic compression", dead)).because).toContain("it opens in");
    const later = await screened("seats", "pneumatic compression", { ...dead, ...slow });
    expect(later.result).toBe("not credible");
  });

  it("a metal beside which nothing burns stays open until a record of the cleaning holds", async () => {
    const alone = {
      [`${at(1)}.rubs`]: "nothing",
      [`${at(4)}.beside`]: "nothing",
      "duty.supply_pressure": "40 bar(a)",
    };
    expect((await screened("stem", "kindling chain", alone)).because).toContain("clean by its record");
    const bare = await screened("stem", "kindling chain", { ...alone, "oxygen.cleaning": undefined });
    expect(bare.result).toBe("open");
    const expired = await screened("stem", "kindling chain", {
      ...alone,
      "oxygen.cleaning.expires": "2031-03-31",
    });
    expect(expired.result).toBe("credible");
  });
});

it("p v of the seat on paper: F = pi r^2 dp + F0, over 2 pi r w cos g, times omega R", async () => {
  const { severity } = await screened("ball", "friction and galling", {
    [`${at(0)}.material`]: "440c",
    [`${at(3)}.kind`]: "metal",
    [`${at(3)}.material`]: "440c",
  });
  const answers = await askOn(day, {});
  const time = checkNamed(answers, "opening-time");
  // The contact circle lies at 45 degrees on the ball of 25 mm radius.
  const r = 0.03535534 / 2;
  const load = Math.PI * r ** 2 * (11e5 - 1.013e5) + 500;
  const pressure = load / (2 * Math.PI * r * 1e-3 * Math.SQRT1_2);
  const printed = Number(/p v ([\d.]+) MW/.exec(severity)?.[1]) * 1e6;
  const speed = printed / (pressure * 0.025);
  // The fastest point of a stroke lies above its mean speed and below twice that.
  const mean = Math.PI / 2 / (time.kind === "known" ? time.value : Number.NaN);
  expect(speed).toBeGreaterThan(mean);
  expect(speed).toBeLessThan(2.5 * mean);
});

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
