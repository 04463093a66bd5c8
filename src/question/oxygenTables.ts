/** Tables of question 8: mechanisms part by part, standing of the parts, answers of people, the list for a specialist. */
import type { Table } from "./answer.js";
import type { Check } from "./check.js";
import type { Context } from "./context.js";
import {
  configurationOf,
  configurationQuestions,
  oxygenFieldsOf,
  type Part,
  partsOf,
} from "./oxygenFacts.js";
import { heatOfCombustion, type ScreenRow } from "./oxygenScreen.js";
import { unsigned, wordOf } from "./signed.js";
import { checkWords, quantityWords } from "./words.js";

/** Mechanisms that no model here looks at; the specialist does. */
const notScreened = [
  "ignition by heat from outside: heaters, exhaust, fire",
  "flow friction: a weeping flow across the edge of a polymer",
  "reaction of soil, solvent or sealant with the oxidiser",
  "blows of fragments after a part has broken",
  "fire of clothing, insulation and ground that leaked oxidiser has soaked",
] as const;

/** All of them, the list for the specialist first. */
export function oxygenTables(
  context: Context,
  screen: readonly ScreenRow[],
  checks: readonly Check[],
): readonly Table[] {
  const parts = partsOf(context);
  return [
    specialistTable(context, screen, parts, checks),
    ...(screen.length === 0 ? [] : [mechanismTable(screen), standingTable(context, parts)]),
    personTable(context),
  ];
}

function mechanismTable(screen: readonly ScreenRow[]): Table {
  return {
    title: "Mechanisms of ignition, part by part",
    columns: ["part", "mechanism", "result", "because", "severity"],
    rows: screen.map((row) => [
      row.part,
      row.mechanism.name,
      row.outcome.kind,
      becauseWords(row),
      row.severity === "" && row.outcome.kind !== "not credible" ? "not known" : row.severity,
    ]),
  };
}

function becauseWords({ outcome }: ScreenRow): string {
  switch (outcome.kind) {
    case "not credible":
      return [...new Set(outcome.absent.map(({ words, word }) => `${words} (${word})`))].join("; ");
    case "credible":
      return outcome.present.join("; ");
    case "open":
      return `not known whether ${outcome.open.join(", and whether ")}: ${neededWords(outcome.needs)}`;
  }
}

/** Fields that are missing, those of one section together: "oxygen.continuity (who, when)". */
function neededWords(needs: readonly string[]): string {
  const bySection = new Map<string, string[]>();
  for (const need of needs) {
    const [, section = "", field = ""] = /^([\w.[\]]+)\.(\w+)$/.exec(need) ?? [undefined, need];
    bySection.set(section, [...(bySection.get(section) ?? []), field]);
  }
  return [...bySection]
    .map(([section, fields]) => {
      if (fields.length === 1) return fields[0] === "" ? section : `${section}.${fields[0]}`;
      return `${section} (${fields.join(", ")})`;
    })
    .join(", ");
}

function standingTable(context: Context, parts: readonly Part[]): Table {
  const value = (given: number | undefined, words: (given: number) => string) =>
    given === undefined ? "not known" : words(given);
  return {
    title: "Standing of the wetted parts: it ranks, and is no limit of use",
    columns: [
      "part",
      "material",
      "standing",
      "amount",
      "autoignition",
      "oxygen index",
      "heat of combustion",
      "burns as a thin rod",
      "note and sources",
    ],
    rows: parts.map((part) => {
      const { name, fields, standing } = part;
      const own = fields.autoignition_temperature?.value;
      const isMetal = fields.kind === "metal";
      return [
        name,
        `${fields.kind ?? "not known"}, ${fields.material ?? "not known"}`,
        standing?.standing ?? "not on file",
        value(fields.mass?.value, (mass) => quantityWords(mass, "mass")),
        isMetal
          ? ""
          : own !== undefined
            ? `${quantityWords(own, "temperature", "degC")}, own test`
            : value(standing?.autoignition?.T, (T) => quantityWords(T, "temperature", "degC")),
        isMetal ? "" : value(standing?.oxygenIndex_percent, (percent) => `${percent} %`),
        value(heatOfCombustion(context, part), (heat) => quantityWords(heat, "specific energy", "MJ/kg")),
        isMetal ? (standing?.threshold?.words ?? "not known") : "",
        [standing?.note, standing?.sources].filter((words) => words !== undefined).join(" "),
      ];
    }),
  };
}

function personTable(context: Context): Table {
  const configuration = oxygenFieldsOf(context)?.configuration;
  return {
    title: "What only a person can answer",
    columns: ["is there", "answer", "on whose word", "what was looked at"],
    rows: configurationQuestions.map(({ id, words }) => {
      const said = configurationOf(context, id);
      return [
        words,
        "answer" in said ? said.answer : "not known",
        "answer" in said ? said.word : `asks for ${neededWords(said.needs)}`,
        configuration?.[id]?.note ?? "",
      ];
    }),
  };
}

function specialistTable(
  context: Context,
  screen: readonly ScreenRow[],
  parts: readonly Part[],
  checks: readonly Check[],
): Table {
  const { consequence = {}, specialist = {} } = oxygenFieldsOf(context) ?? {};
  const mechanisms = screen.filter(({ outcome }) => outcome.kind !== "not credible");
  const ordered = [
    ...mechanisms.filter(({ outcome }) => outcome.kind === "credible"),
    ...mechanisms.filter(({ outcome }) => outcome.kind === "open"),
  ];
  const reasons = parts.filter(({ fields }) => fields.justification !== undefined);
  const rated = (["people", "equipment", "test"] as const).map(
    (of) => `${of}: ${consequence[of] ?? "not known"}`,
  );
  return {
    title: "For the oxygen specialist: everything that must be shown",
    columns: ["what", "where", "how it stands", "details"],
    rows: [
      ...ordered.map((row) => [
        row.mechanism.name,
        row.part,
        row.outcome.kind,
        [becauseWords(row), row.severity].filter((words) => words !== "").join("; "),
      ]),
      ...reasons.map(({ name, standing, fields }) => [
        "reason for a material",
        name,
        standing?.standing ?? "not on file",
        fields.justification ?? "",
      ]),
      ...configurationQuestions.map(({ id, words }) => {
        const said = configurationOf(context, id);
        return [
          "answer of a person",
          words,
          "answer" in said ? said.answer : "not known",
          "answer" in said ? said.word : neededWords(said.needs),
        ];
      }),
      ...checks.map((check) => ["check", check.name, check.verdict, checkWords(check)]),
      [
        "consequence of a reaction",
        "the valve",
        rated.join("; "),
        [
          consequence.because ?? "",
          wordOf(context, consequence) ?? neededWords(unsigned(context, "oxygen.consequence", consequence)),
        ]
          .filter((words) => words !== "")
          .join("; "),
      ],
      ...notScreened.map((words) => ["not looked at here", "the valve", "open", words]),
      [
        "review by a specialist",
        "the whole list",
        wordOf(context, specialist) === undefined ? "not known" : (specialist.finding ?? "not known"),
        wordOf(context, specialist) === undefined
          ? neededWords(unsigned(context, "oxygen.specialist", specialist))
          : `${wordOf(context, specialist)}: ${specialist.document ?? "no document named"}`,
      ],
    ],
  };
}
