/** The pressure boundary in question 5: walls, ends, flange bolts and stem at proof, and the pressure tests made. */
import type { BoundaryAnswer, ColdChain } from "../predict/index.js";
import type { Driver, Table } from "./answer.js";
import type { Check, CheckDefinition } from "./check.js";
import type { Context } from "./context.js";
import { failing, judgeOwn, waiting } from "./judgeOwn.js";
import type { Finding } from "./question.js";
import { rankOwnDrivers } from "./rankDrivers.js";
import { missingWords, percentWords, quantityWords, valueWords } from "./words.js";

const path = "valve.boundary";

/** What every one of these checks rests on. */
const expectedPressure =
  "Maximum expected pressure: supply with the declared surge, or what a shut-in volume of question 7 reaches with its relief, whichever is higher; of a volume without a relief device the upper end of its band.";
const proofAtAmbient =
  "Proof is at ambient, where the metals are weakest; openings, threads and bending by the pipes are not in it.";

const wallDefinition: CheckDefinition = {
  id: "wall",
  designChecks: ["wall"],
  failureModes: ["body-burst"],
  name: "Body and pipe wall",
  dimension: "ratio",
  equation:
    "tube t = p D / (2 (S E + p Y)), cover t = d sqrt(C p / (S E)); t <= t_drawn (1 - tolerance) - allowance",
  source: "asme-b31.3-2016, 304.1.2; asme-viii-1-2015, UG-34",
  assumptions: [expectedPressure, "Openings, threads and bending by the pipes are not in it."],
};

const endDefinition: CheckDefinition = {
  id: "end-rating",
  designChecks: [],
  failureModes: ["body-burst"],
  name: "Rating of end connection",
  dimension: "pressure",
  equation: "maximum expected pressure <= rating of the connection, cold",
  source: "asme-b31.3-2016, 302.2.1, components with established ratings",
  assumptions: [expectedPressure],
};

const proofDefinition: CheckDefinition = {
  id: "proof",
  designChecks: ["proof"],
  failureModes: ["body-burst"],
  name: "Proof pressure, by test",
  dimension: "ratio",
  equation: "(p_test - p_outside) / (p_expected - p_outside) >= proof factor, without yield",
  source: "aiaa-s-080-1998 or asme-b31.3-2016, as valve.boundary.rule names it",
  assumptions: [expectedPressure, "The test was of this very valve after its last modification."],
};

const burstDefinition: CheckDefinition = {
  id: "burst",
  designChecks: ["proof"],
  failureModes: ["body-burst"],
  name: "Burst pressure, by test",
  dimension: "ratio",
  equation: "(p_test - p_outside) / (p_expected - p_outside) >= burst factor, without rupture",
  source: "aiaa-s-080-1998 or asme-b31.3-2016, as valve.boundary.rule names it",
  assumptions: [
    expectedPressure,
    "The specimen had the same modification; a valve so tested is not used again.",
  ],
};

const proofStressDefinition: CheckDefinition = {
  id: "proof-stress",
  designChecks: ["proof"],
  failureModes: ["body-burst"],
  name: "Stress at proof over yield",
  dimension: "ratio",
  equation: "tube sqrt(3) p ro^2 / (ro^2 - ri^2), cover C p (d/t)^2; at proof <= yield strength",
  source: "budynas-nisbett-2011, sec. 3-14; asme-viii-1-2015, UG-34",
  assumptions: [expectedPressure, proofAtAmbient],
};

const boltDefinition: CheckDefinition = {
  id: "bolt-at-proof",
  designChecks: ["fastener"],
  failureModes: ["static-leak"],
  name: "Bolt load at proof, stress over yield",
  dimension: "ratio",
  equation: "(F_0 + F_A / (1 + s)) / A <= yield strength",
  source: "vdi-2230-1-2015, sec. 5.3",
  assumptions: [
    expectedPressure,
    "The load is led in under the bolt heads; torsion of tightening and bending of the flange are not in it.",
  ],
};

const gapDefinition: CheckDefinition = {
  id: "bolt-gap",
  designChecks: ["fastener"],
  failureModes: ["static-leak"],
  name: "Flange closed",
  dimension: "force",
  equation: "F_0 - F_A s / (1 + s) > 0",
  source: "vdi-2230-1-2015, sec. 5.3",
  assumptions: [
    expectedPressure,
    "What the gasket needs to seal is asked of valve.cold.bolts.least_preload.",
  ],
};

const retentionDefinition: CheckDefinition = {
  id: "stem-retention",
  designChecks: ["stem-blowout"],
  failureModes: [],
  name: "Stem retention",
  dimension: "ratio",
  equation:
    "F = p pi d^2 / 4; max(F / (pi d_bore h) / (0.577 s_y), F / (pi/4 (d_shoulder^2 - d_bore^2)) / s_y) <= 1 at proof",
  source: "iso-17292-2015, anti-blow-out stem; statics",
  assumptions: [
    expectedPressure,
    "Packing and gland removed; the edge of the bore is as strong as the stem.",
  ],
};

/** What the pressure boundary adds to the answer. */
export type BoundaryFinding = Required<Pick<Finding, "sentence" | "checks" | "tables" | "drivers">>;

/** Answers for what keeps the pressure in. A dry case has no pressure to keep. */
export function boundaryFinding(context: Context): BoundaryFinding {
  const answer = context.own.boundary;
  if (answer.isDry) return { sentence: "", checks: [], tables: [], drivers: [] };
  return {
    sentence: sentence(answer),
    checks: [
      ...walls(context, answer),
      ...ends(context, answer),
      proofTest(context, answer),
      burstTest(context, answer),
      ...bolts(context, answer),
      retention(context, answer),
    ],
    tables: tables(answer),
    drivers: driversOf(context, answer),
  };
}

function fieldsOf({ prediction }: Context) {
  return prediction.dossier.valve.valve?.boundary;
}

function needsOf(chain: ColdChain, figure: string): readonly string[] {
  return [
    ...(chain.unfit === undefined ? [] : [`a case within the data of its solids: ${chain.unfit}`]),
    ...(chain.missing[figure] ?? []),
  ];
}

const everyWall = `${path}.walls: the thinnest places of body, ends, bonnet and covers`;

function walls(context: Context, { walls: all, missing }: BoundaryAnswer): readonly Check[] {
  if (all.length === 0)
    return [wallDefinition, proofStressDefinition].map((one) => waiting(one, [everyWall, ...missing]));
  return all.flatMap((wall) => [
    wallShare(context, wall),
    shareOf(context, proofStressDefinition, wall, "proof", "yield strength", wall.name),
  ]);
}

function wallShare(context: Context, wall: ColdChain): Check {
  const needs = needsOf(wall, "share");
  if (needs.length > 0) return waiting(wallDefinition, needs, wall.name);
  const left = wall.figures.nominal.left ?? Number.NaN;
  if (!(left > 0))
    return failing(wallDefinition, "tolerance and allowance leave nothing of the wall", {
      wanted: context.wanted,
      of: wall.name,
    });
  return judgeOwn(wallDefinition, {
    figures: wall.figures,
    figure: "share",
    limit: { most: 1, words: "the wall that is left" },
    wanted: context.wanted,
    of: wall.name,
    unit: "%",
    assumptions: [
      `It needs ${valueWords(wall.figures.nominal.needed ?? Number.NaN, undefined, "length", "mm")} of the ${valueWords(left, undefined, "length", "mm")} that tolerance and allowance leave; stress allowed ${quantityWords(wall.figures.nominal.allowed ?? Number.NaN, "stress", "MPa")}, ${fieldsOf(context)?.walls?.[Number(/\d+/.exec(wall.path)?.[0])]?.allowed_stress === undefined ? "from the lower end of typical strengths on file, which a code's table may be below" : "as declared"}.`,
    ],
  });
}

/** A check of a figure that must not pass one. */
function shareOf(
  context: Context,
  definition: CheckDefinition,
  chain: ColdChain,
  figure: string,
  limit: string,
  of?: string,
): Check {
  const needs = needsOf(chain, figure);
  if (needs.length > 0) return waiting(definition, needs, of);
  return judgeOwn(definition, {
    figures: chain.figures,
    figure,
    limit: { most: 1, words: limit },
    wanted: context.wanted,
    unit: "%",
    ...(of === undefined ? {} : { of }),
  });
}

function ends(context: Context, { pressure }: BoundaryAnswer): readonly Check[] {
  const all = fieldsOf(context)?.ends ?? [];
  if (all.length === 0)
    return [waiting(endDefinition, [`${path}.ends: each end connection with its rating`])];
  return all.map(({ name, rating }, j) => {
    const of = name ?? `end ${j + 1}`;
    const needs = [
      ...needsOf(pressure, "expected"),
      ...(rating === undefined ? [`${path}.ends[${j}].rating`] : []),
    ];
    if (needs.length > 0 || rating === undefined) return waiting(endDefinition, needs, of);
    return judgeOwn(endDefinition, {
      figures: pressure.figures,
      figure: "expected",
      limit: { most: rating.value, words: `${path}.ends[${j}].rating` },
      wanted: context.wanted,
      of,
    });
  });
}

function ruleWords({ rule }: BoundaryAnswer): readonly string[] {
  return rule.name === undefined ? [] : [`${rule.name}, ${rule.from}.`];
}

function proofTest(context: Context, answer: BoundaryAnswer): Check {
  const test = fieldsOf(context)?.proof_test;
  const { rule, pressure } = answer;
  if (test?.finding === "yielded" || test?.finding === "leaked")
    return failing(proofDefinition, `the valve ${test.finding} in its proof test`, {
      wanted: context.wanted,
    });
  const needs = [
    ...(rule.proof === undefined ? [`${path}.rule, or ${path}.proof_factor`] : []),
    ...needsOf(pressure, "proof"),
    ...(test?.finding === undefined ? [`${path}.proof_test.finding`] : []),
    ...(test?.record === undefined ? [`${path}.proof_test.record`] : []),
  ];
  if (needs.length > 0 || rule.proof === undefined) return waiting(proofDefinition, needs);
  return judgeOwn(proofDefinition, {
    figures: pressure.figures,
    figure: "proof",
    limit: { least: rule.proof, words: "the proof factor" },
    wanted: context.wanted,
    unit: "",
    assumptions: [...ruleWords(answer), `Record: ${test?.record}.`],
  });
}

function burstTest(context: Context, answer: BoundaryAnswer): Check {
  const test = fieldsOf(context)?.burst_test;
  const { rule, pressure } = answer;
  const needs = [
    ...(rule.burst === undefined ? [`${path}.burst_factor, or a ${path}.rule that names one`] : []),
    ...needsOf(pressure, "burst"),
    ...(test?.finding === undefined ? [`${path}.burst_test.finding`] : []),
    ...(test?.record === undefined ? [`${path}.burst_test.record`] : []),
  ];
  if (needs.length > 0 || rule.burst === undefined) return waiting(burstDefinition, needs);
  const reached = pressure.figures.nominal.burst ?? Number.NaN;
  // A specimen that ruptured above the factor has shown it; below, it has shown the contrary.
  if (test?.finding === "ruptured" && reached < rule.burst)
    return failing(
      burstDefinition,
      `the specimen ruptured at ${valueWords(reached, undefined, "ratio", "")} times the expected pressure, below the factor of ${rule.burst}`,
      { wanted: context.wanted },
    );
  return judgeOwn(burstDefinition, {
    figures: pressure.figures,
    figure: "burst",
    limit: { least: rule.burst, words: "the burst factor" },
    wanted: context.wanted,
    unit: "",
    assumptions: [...ruleWords(answer), `Record: ${test?.record}.`],
  });
}

function bolts(context: Context, { bolts: chain }: BoundaryAnswer): readonly Check[] {
  if (chain === undefined || fieldsOf(context)?.bolts === undefined)
    return [boltDefinition, gapDefinition].map((one) =>
      waiting(one, [`${path}.bolts.count`, `${path}.bolts.sealed_diameter`]),
    );
  return [
    shareOf(context, boltDefinition, chain, "proof", "yield strength"),
    gap(context, chain, "gap", "at proof"),
    gap(context, chain, "coldGap", "cold, at the maximum expected pressure"),
  ];
}

function gap(context: Context, chain: ColdChain, figure: "gap" | "coldGap", of: string): Check {
  const needs = needsOf(chain, figure);
  if (needs.length > 0) return waiting(gapDefinition, needs, of);
  return judgeOwn(gapDefinition, {
    figures: chain.figures,
    figure,
    limit: { least: 0, words: "still clamped" },
    wanted: context.wanted,
    of,
  });
}

function retention(context: Context, { retention: chain }: BoundaryAnswer): Check {
  const given = fieldsOf(context)?.retention;
  if (given?.held_by === "packing")
    return failing(
      retentionDefinition,
      "packing, gland or actuator alone hold the stem: pressure drives it out once they are loose",
      { wanted: context.wanted },
    );
  if (chain === undefined) return waiting(retentionDefinition, [`${path}.retention.held_by`]);
  const { shoulder_diameter: shoulder, bonnet_bore: bore } = given ?? {};
  if (shoulder !== undefined && bore !== undefined && shoulder.value <= bore.value)
    return failing(retentionDefinition, "the shoulder passes the bore of the bonnet", {
      wanted: context.wanted,
    });
  return shareOf(context, retentionDefinition, chain, "share", "what yields");
}

function sentence(answer: BoundaryAnswer): string {
  const { missing, pressures, rule, walls: all } = answer;
  const [highest] = pressures;
  if (missing.length > 0 || highest === undefined)
    return `Pressure boundary: ${missingWords(missing).replace("Not", "not")}`;
  const proof = rule.proof === undefined ? "" : `; proof asks for ${rule.proof} times that, gauge`;
  const worst = all
    .filter((wall) => needsOf(wall, "share").length === 0)
    .toSorted((a, b) => (b.figures.nominal.share ?? 0) - (a.figures.nominal.share ?? 0))[0];
  const wall =
    worst === undefined
      ? ""
      : ` Of the walls, ${worst.name} is used most: it needs ${percentWords(worst.figures.nominal.share ?? Number.NaN)} of what is left of it.`;
  return `The maximum expected pressure is ${quantityWords(highest.pressure_Pa, "pressure")} (${highest.of})${proof}.${wall}`;
}

function tables({ pressures, walls: all, pressure }: BoundaryAnswer): readonly Table[] {
  const number = (value: number | undefined, show: (value: number) => string) =>
    value === undefined || !Number.isFinite(value) ? "not known" : show(value);
  const rows = all.map(({ name, figures: { nominal } }) => [
    name,
    number(nominal.needed, (value) => valueWords(value, undefined, "length", "mm")),
    number(nominal.left, (value) => valueWords(value, undefined, "length", "mm")),
    number(nominal.proof, (value) => percentWords(value)),
    nominal.burst === undefined
      ? "not of a cover"
      : number(nominal.burst, (value) => quantityWords(value, "pressure")),
  ]);
  const expected = pressure.figures.nominal.expected ?? Number.NaN;
  return [
    ...(pressures.length === 0 || Number.isNaN(expected)
      ? []
      : [
          {
            title: "Pressures that the body may see",
            columns: ["from", "pressure"],
            rows: pressures.map(({ of, pressure_Pa }) => [of, quantityWords(pressure_Pa, "pressure")]),
          },
        ]),
    ...(rows.length === 0
      ? []
      : [
          {
            title: "Walls",
            columns: [
              "wall",
              "needed",
              "left",
              "stress at proof over yield",
              "burst by calculation, plain tube without openings",
            ],
            rows,
          },
        ]),
  ];
}

function driversOf(context: Context, { walls: all, bolts: flange }: BoundaryAnswer): readonly Driver[] {
  const [first] = all.toSorted((a, b) => (b.figures.nominal.share ?? 0) - (a.figures.nominal.share ?? 0));
  const of = (chain: ColdChain | undefined, figure: string, words: string) =>
    chain === undefined
      ? []
      : rankOwnDrivers(context, chain.figures, figure, words).map((driver) => ({
          ...driver,
          label: `${driver.label}, for ${words}`,
        }));
  return [
    ...of(first, "share", `the wall of ${first?.name ?? ""}`),
    ...of(flange, "gap", "the clamping of the flange at proof"),
  ];
}
