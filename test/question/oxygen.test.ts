/** Question 8: each check in each of its verdicts, and the screen, part by part, with every condition on whose word. */
import { describe, expect, it } from "vitest";
import { checkNamed, type Edits } from "./answering.js";
import { answerOf, ask, askOn, at, configuration, day } from "./oxygenValve.js";
import { itProvokes } from "./provocations.js";

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

describe("what the opening itself compresses", () => {
  const dry = {
    "oxygen.configuration.dead_ends.answer": "no",
    "oxygen.configuration.fast_upstream.answer": "no",
    "oxygen.ignition_margin": "200 K",
  };
  const inCavity = (side: string | undefined) =>
    screened("seats", "pneumatic compression", {
      ...dry,
      [`${at(3)}.exposed`]: "cavity",
      ...(side === undefined ? { "valve.cavity": undefined } : { "valve.cavity.vent": { side } }),
    });

  it("a cavity vented downstream is filled by it, one vented upstream is full before; without a word it stays open", async () => {
    expect((await inCavity("downstream")).because).toContain("fills the cavity");
    expect((await inCavity("upstream")).result).toBe("not credible");
    const open = await inCavity(undefined);
    expect(open.result).toBe("open");
    expect(open.because).toContain("valve.cavity.vent.side");
  });

  it("a part in a dead end where an answer says that there is none: one of the two", async () => {
    const { result, because } = await screened("seats", "pneumatic compression", {
      ...dry,
      [`${at(3)}.exposed`]: "dead end",
    });
    expect(result).toBe("open");
    expect(because).toContain("one of the two");
  });
});
