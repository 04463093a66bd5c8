/** Question 9: each check in each of its verdicts, and numbers that follow on paper. */
import { describe, expect, it } from "vitest";
import { textOf } from "../project/files.js";
import { answerAloneTo, answerNumbered, answersTo, checkNamed, type Edits } from "./answering.js";
import { itProvokes, type Provocation } from "./provocations.js";

const pipe = (name: string, side: string, length: string) =>
  `    - { name: ${name}, side: ${side}, length: ${length}, bore: 40 mm, wall: 3 mm, material: stainless-304, restraint: throughout, roughness: 5 um, rating: 60 bar(a) }\n`;
const text = textOf("test/question/hand.yaml").replace(
  "valve:\n  support: floating\n",
  `  pipes:
${pipe("feed", "upstream", "3 m")}${pipe("run", "upstream", "2 m")}${pipe("manifold", "downstream", "1 m")}${pipe("tap", "upstream", "0.4 m").replace("side: upstream,", "side: upstream, branches_after: feed,")}  components:
    - { name: filter, after: feed, drop: 0.3 bar, rating: 40 bar(a) }
  priming: { state: empty, gas: nitrogen, gas_temperature: 290 K, exponent: 1.2 }
valve:
  support: floating
  boundary:
    ends:
      - { name: inlet, rating: 40 bar(a) }
`,
);
const samples = 80;
const ask = (edits: Edits = {}, count = samples) => answersTo({ text, edits, samples: count });
const alone = (edits: Edits = {}, count = samples) => answerAloneTo(9, { text, edits, samples: count });
const known = async (id: string, of: string, edits: Edits = {}) => {
  const check = answerNumbered(await alone(edits, 0), 9).checks.find(
    (one) => one.id === id && one.name.endsWith(of),
  );
  return check?.kind === "known" ? check.value : Number.NaN;
};

describe("numbers on paper", () => {
  it("the table's wave speed is that of water at 20 degC in 40 x 3 mm steel, thick wall [wylie-streeter-1993, ch. 1]", async () => {
    const table = answerNumbered(await alone({}, 0), 9).tables.find(({ title }) => title === "Pipes");
    const shown = Number.parseFloat(table?.rows[0]?.[1] ?? "");
    // K = 998.6 x 1483^2 = 2.196 GPa, E about 199 GPa, nu 0.28: 1 + K/E (D/e) c1 with c1 = 0.192 + 0.857 = 1.049.
    expect(shown).toBeGreaterThan(1483 / Math.sqrt(1 + (2.2 / 195) * (40 / 3) * 1.06));
    expect(shown).toBeLessThan(1483 / Math.sqrt(1 + (2.19 / 205) * (40 / 3) * 1.03));
  });

  it("nothing passes the supply by more than rho a dv, and the closing passes the supply", async () => {
    const answer = answerNumbered(await alone({}, 0), 9);
    const peak = await known("surge-close", "valve");
    const rise = answer.tables
      .find(({ title }) => title === "Waves and motion")
      ?.rows.find(([what]) => what?.startsWith("rise"))?.[1];
    expect(peak).toBeGreaterThan(11e5);
    expect(peak - 11e5).toBeLessThan(Number.parseFloat(rise ?? "") * 1e5);
  });

  it("twice the length of a line that closes slowly raises about twice as much: rho L dv/dt [chaudhry-2014, ch. 1]", async () => {
    const one = (await known("surge-close", "valve")) - 11e5;
    const two =
      (await known("surge-close", "valve", {
        "line.pipes[0].length": "6 m",
        "line.pipes[1].length": "4 m",
      })) - 11e5;
    expect(two / one).toBeGreaterThan(1.8);
    expect(two / one).toBeLessThan(2.3);
  });

  it("a share of the rating moves the limit, not the pressure", async () => {
    const check = checkNamed(await alone({ "line.rating_share": "50 %" }, 0), "surge-close");
    expect(check.kind === "known" ? check.limit.most : Number.NaN).toBe(30e5);
  });

  it("a valve above its tank has the weight of the column off its inlet, and the liquid in the tank on it: rho g z", async () => {
    const shut = async (edits: Edits) => {
      const { figures } = answerNumbered(await alone(edits, 0), 9);
      const plot = figures.find(({ id }) => id === "line-valve-opening");
      const mark = plot?.kind === "plot" ? plot.marks[0] : undefined;
      return mark?.kind === "line" ? (mark.y[0] ?? Number.NaN) : Number.NaN;
    };
    expect(await shut({})).toBeCloseTo(11, 3);
    // Water at 20 degC: 998.7 kg/m3 x 9.80665 m/s2 x 3 m = 0.2938 bar.
    expect(await shut({ "line.pipes[0].rise": "4 m", "line.pipes[1].rise": "-1 m" })).toBeCloseTo(10.7062, 3);
    expect(await shut({ "line.liquid_level": "3 m" })).toBeCloseTo(11.2938, 3);
    expect(await shut({ "line.pipes[2].rise": "3 m", "line.pipes[3].rise": "1 m" })).toBeCloseTo(11, 3);
  });

  it("a pipe without a rise counts as level, and the checks say so; a given one does not", async () => {
    const said = async (edits: Edits) =>
      checkNamed(await alone(edits, 0), "surge-close").assumptions.join(" ");
    expect(await said({})).toContain(
      "No pipe has a rise, and all count as level; a metre of height is 0.09794 bar",
    );
    expect(await said({ "line.pipes[0].rise": "1 m" })).toContain("counted as level: run, manifold, tap");
  });

  it("the surge that nobody declared is that of the waves, and a declared one goes first", async () => {
    const full = { "line.priming.state": "full" };
    const surged = async (edits: Edits) =>
      answerNumbered(await ask({ ...full, ...edits }, 0), 5)
        .tables.find(({ title }) => title.startsWith("Pressures that the body"))
        ?.rows.find(([from]) => from === "supply and surge")?.[1];
    const peak = await known("surge-close", "valve");
    expect(Number.parseFloat((await surged({})) ?? "")).toBeCloseTo(peak / 1e5, 1);
    // The stop of a front that fills the line is felt by the valve too.
    const filling = Number.parseFloat((await surged({ "line.priming.state": "empty" })) ?? "");
    expect(filling).toBeGreaterThan(peak / 1e5);
    expect(await surged({ "valve.boundary.surge": "1 bar" })).toBe("12 bar(a)");
  });

  it("a station is drawn against time, at a component or along a pipe, and lies between the ends of its pipe", async () => {
    const stationed = text.replace(
      "  components:",
      "  stations: [{ of: filter }, { of: run, distance: 1 m }, { of: run }, { of: manifold }]\n  components:",
    );
    const answer = answerNumbered(await answerAloneTo(9, { text: stationed, samples: 0 }), 9);
    const plots = answer.figures.filter(({ id }) => id.startsWith("line-station-"));
    expect(plots.map(({ id }) => id)).toEqual(
      ["closing", "opening"].flatMap((sense) => [1, 2, 3, 4].map((k) => `line-station-${k}-${sense}`)),
    );
    const peakOf = (id: string) => {
      const plot = answer.figures.find((one) => one.id === id);
      const mark = plot?.kind === "plot" ? plot.marks[0] : undefined;
      return mark?.kind === "line" ? Math.max(...Array.from(mark.y)) : Number.NaN;
    };
    const [filter, middle, valve] = [1, 2, 3].map((k) => peakOf(`line-station-${k}-closing`));
    // A slow closing raises a pipe in proportion to the length from the tank: rho L dv/dt.
    expect(middle).toBeGreaterThan(filter ?? Number.NaN);
    expect(valve).toBeGreaterThan(middle ?? Number.NaN);
    expect(valve).toBeCloseTo(peakOf("line-valve-closing"), 6);
    const table = answer.tables.find(({ title }) => title === "Stations of the line");
    expect(table?.rows.map(([name]) => name)).toEqual([
      "filter",
      "run, 1 m from its start",
      "run",
      "manifold",
    ]);
    expect(
      answerNumbered(await alone({}, 0), 9).figures.some(({ id }) => id.startsWith("line-station")),
    ).toBe(false);
  });

  it("a dry case feels nothing", async () => {
    const answer = answerNumbered(await answersTo({ text, caseId: "dry", samples: 0 }), 9);
    expect(answer.verdict).toBe("not known");
    expect(answer.sentence).toContain("needs a case in which liquid flows");
  });

  it("the driver of a surge that only the length moves is the length", async () => {
    const answer = answerNumbered(
      await alone({ "line.pipes[0].length": { from: "1 m", to: "5 m" } }, 4000),
      9,
    );
    expect(answer.drivers[0]?.path).toBe("line.pipes[0].length");
  });
});

const every = ["length", "bore", "wall", "material", "restraint", "roughness", "side"];
const ids = ["surge-close", "surge-open", "surge-open-rebound", "close-limit", "prime-surge"];
const provocations: readonly Provocation[] = [
  ...ids.map((id): Provocation => ({ id, verdict: "holds", edits: {} })),
  { id: "surge-close", verdict: "fails", edits: { "line.pipes[0].rating": "10 bar(a)" } },
  {
    id: "surge-close",
    verdict: "thin",
    edits: { "line.pipes[0].rating": "13.3 bar(a)", "duty.supply_pressure": "11 bar(a) +/- 0.3 bar" },
  },
  {
    id: "surge-close",
    verdict: "not known",
    edits: { "line.pipes[0].rating": undefined },
    needs: "line.pipes[0].rating",
  },
  ...every.map(
    (field): Provocation => ({
      id: "surge-close",
      verdict: "not known",
      edits: { [`line.pipes[0].${field}`]: undefined },
      needs: `line.pipes[0].${field}`,
    }),
  ),
  {
    id: "surge-close",
    verdict: "not known",
    edits: { "line.pipes": undefined },
    needs: "line.pipes: the pipes upstream of the valve",
  },
  {
    id: "surge-close",
    verdict: "not known",
    edits: { "line.components[0].after": undefined },
    needs: "line.components[0].after: the name of a pipe",
  },
  {
    id: "surge-close",
    verdict: "not known",
    edits: { "line.upstream.drop": undefined },
    needs: "line.upstream.drop",
  },
  {
    id: "surge-close",
    verdict: "not known",
    edits: { "drive.motor.torque_constant": undefined },
    needs: "drive.motor.torque_constant",
  },
  {
    id: "surge-open",
    verdict: "fails",
    edits: {
      "line.pipes[0].length": "400 m",
      "duty.fluid_temperature": "99 degC",
      "duty.back_pressure": "0.1 bar(a)",
    },
  },
  { id: "surge-open-rebound", verdict: "fails", edits: { "line.pipes[0].rating": "10 bar(a)" } },
  { id: "close-limit", verdict: "fails", edits: { "line.pipes[1].rating": "12 bar(a)" } },
  { id: "close-limit", verdict: "fails", edits: { "line.pipes[1].rating": "10 bar(a)" } },
  {
    id: "close-limit",
    verdict: "not known",
    edits: {
      "valve.boundary.ends": undefined,
      "line.components[0].rating": undefined,
      ...Object.fromEntries([0, 1, 2, 3].map((j) => [`line.pipes[${j}].rating`, undefined])),
    },
    needs: "valve.boundary.ends: each end connection with its rating",
  },
  ...["surge-open-rebound", "close-limit"].map(
    (id) =>
      ({
        id,
        verdict: "not known",
        edits: { "line.components[0].rating": undefined },
        needs: "line.components[0].rating",
      }) as const,
  ),
  {
    id: "close-limit",
    verdict: "fails",
    edits: { "line.components[0].rating": undefined, "line.pipes[1].rating": "10 bar(a)" },
  },
  {
    id: "prime-surge",
    verdict: "not known",
    edits: { "line.pipes[2].rating": undefined },
    needs: "line.pipes[2].rating",
  },
  { id: "prime-surge", verdict: "holds", edits: { "line.pipes[1].rating": undefined } },
  { id: "prime-surge", verdict: "fails", edits: { "line.pipes[2].rating": "2 bar(a)" } },
  ...["state", "gas", "gas_temperature", "exponent"].map(
    (field): Provocation => ({
      id: "prime-surge",
      verdict: "not known",
      edits: { [`line.priming.${field}`]: undefined },
      needs: `line.priming.${field}`,
    }),
  ),
];

describe("each check in each of its verdicts", () => {
  it("a valve that stays shut fills nothing: its priming surge is not known, not kept", async () => {
    const edits = { "drive.supply.open_circuit_voltage": "1 V" };
    const answer = answerNumbered(await alone(edits, 0), 9);
    const check = checkNamed([answer], "prime-surge");
    expect(check).toMatchObject({ verdict: "not known" });
    expect(JSON.stringify(check)).toContain("it stays shut");
    expect(answer.sentence).not.toMatch(/fills in|holds the front off/);
  });

  itProvokes(alone, provocations);

  it("no closing is slow enough for a rating below the supply: own, declared limit and abort fail with that", async () => {
    const edits = {
      "line.pipes[1].rating": "10 bar(a)",
      "duty.close_within.time": "2 s",
      "duty.close_within.no_faster_than": "100 ms",
      "duty.close_within.definition": "command-to-end",
    };
    const answers = await ask(edits, 0);
    const found = answers
      .flatMap(({ checks }) => checks)
      .filter(({ id }) => id === "close-limit" || id === "abort-closing-time");
    expect(found.map(({ verdict }) => verdict)).toEqual(["fails", "fails", "fails"]);
    for (const check of found)
      expect(check.kind === "failed" ? check.finding : "").toBe(
        "no closing is slow enough: the supply pressure, 11 bar(a), is above what may be reached in run (10 bar(a))",
      );
  });

  it("the headline, the table and the check tell one shortest closing", async () => {
    const answer = answerNumbered(await alone({ "line.pipes[1].rating": "13 bar(a)" }, 0), 9);
    const rows = answer.tables.flatMap(({ columns, rows }) => {
      const at = columns.indexOf("shortest time of the closing motion");
      return rows.map((row) => Number.parseFloat(row[at] ?? "")).filter(Number.isFinite);
    });
    const told = /closes in ([\d.]+) ms; the ratings allow it ([\d.]+) ms/.exec(answer.sentence);
    const [motion, allowed] = [Number(told?.[1]), Number(told?.[2])];
    expect(allowed).toBeGreaterThan(0);
    expect(allowed).toBe(Math.max(...rows));
    const check = answer.checks.find(({ id }) => id === "close-limit");
    expect(check?.kind === "known" ? check.value : Number.NaN).toBeCloseTo(motion / allowed, 2);
  });

  it("an opening into an empty line is judged on what is full, and says so; what is missing of the empty one is asked for", async () => {
    const edits = { "line.priming.state": "full" };
    const empty = checkNamed(await alone({}, 0), "surge-open");
    const full = checkNamed(await alone(edits, 0), "surge-open");
    expect(empty.assumptions.join(" ")).toContain("behind it stands empty and fills");
    for (const id of ["surge-open", "surge-open-rebound", "prime-surge"])
      expect(checkNamed(await alone({}, 0), id).assumptions.join(" ")).toContain(
        "as it arrives, stand at 1 bar(a), the back pressure of the case",
      );
    expect(full.assumptions.join(" ")).toContain("ahead of the valve and behind it is full");
    const unsaid = checkNamed(await alone({ "line.priming.state": undefined }, 0), "surge-open");
    expect(unsaid.assumptions.join(" ")).toContain("taken as full, since line.priming.state does not say");
    if (empty.kind !== "known" || full.kind !== "known" || unsaid.kind !== "known")
      throw new Error("not known");
    // Nothing behind holds the flow: it runs past the steady one, and the pressure ahead falls further.
    expect(empty.value).toBeLessThan(full.value);
    expect(unsaid.value).toBe(full.value);
    for (const id of ["surge-open", "surge-open-rebound"]) {
      const lacking = checkNamed(await alone({ "line.priming.gas": undefined }, 0), id);
      expect(lacking.kind === "unknown" ? lacking.needs : []).toContain("line.priming.gas");
    }
  });

  it("an empty line can take the pressure ahead below the vapour's where the full one does not", async () => {
    // 4.8 bar of vapour; full, 11 bar - 8 bar (W/5)^2 leaves 6.1 bar at 3.9 kg/s, and 5.6 kg/s into next to nothing leave 1 bar.
    const hot = {
      "duty.fluid_temperature": "150 degC",
      "line.upstream.drop": "8 bar",
      "line.pipes[2].length": "6 m",
    };
    const found = checkNamed(await alone(hot, 0), "surge-open");
    expect(found.kind === "failed" ? found.finding : "").toContain(
      "while the empty line behind the valve fills",
    );
    expect(checkNamed(await alone({ ...hot, "line.priming.state": "full" }, 0), "surge-open").kind).toBe(
      "known",
    );
  });

  it("where the stop of a front passes what a place may reach, the sentence names the place", async () => {
    const answer = answerNumbered(await alone({ "line.components[0].rating": "12 bar(a)" }, 0), 9);
    const rows = answer.tables.find(({ title }) => title === "Places of the line")?.rows ?? [];
    const opened = rows.find(([name]) => name === "filter")?.[3] ?? "";
    expect(Number.parseFloat(opened)).toBeGreaterThan(12);
    expect(answer.sentence).toContain("An opening raises filter to");
    expect(answerNumbered(await alone({}, 0), 9).sentence).not.toContain("An opening raises");
  });

  it("a line that stands full is not primed", async () => {
    const answer = answerNumbered(await alone({ "line.priming.state": "full" }), 9);
    expect(answer.checks.some(({ id }) => id === "prime-surge")).toBe(false);
  });

  it("the declared least time is held against the one that the ratings allow", async () => {
    const named = (answers: Awaited<ReturnType<typeof ask>>) =>
      answerNumbered(answers, 9).checks.find(({ name }) => name.endsWith("as declared"));
    expect(named(await alone({ "line.pipes[1].rating": "16 bar(a)" }))?.verdict).toBe("fails");
    expect(
      named(
        await alone({ "line.pipes[1].rating": "16 bar(a)", "duty.close_within.no_faster_than": "400 ms" }),
      )?.verdict,
    ).toBe("holds");
    expect(named(await alone({ "duty.close_within.no_faster_than": undefined }))).toBeUndefined();
    expect(named(await alone({ "duty.close_within.definition": "command-to-90-flow" }))?.verdict).toBe(
      "not known",
    );
  });
});
