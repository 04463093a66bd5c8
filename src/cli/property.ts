/** `coldturn property`: what is on file about a fluid or a solid at a condition. */

import { readSolids } from "../dossier/index.js";
import { noticeText } from "../fault/index.js";
import { readDossierFiles } from "../host/index.js";
import type { Density, Dimension, Pressure, Temperature } from "../quantity/index.js";
import { formatQuantity, parseQuantity } from "../quantity/index.js";
import {
  inletNames,
  type PropertyRow,
  type SolidFile,
  type SubstanceAnswer,
  solidNames,
  substanceAnswer,
} from "../substance/index.js";
import type { Command, Input } from "./command.js";
import { hasOption, textOption } from "./options.js";
import { type Page, paragraph, section, strong } from "./page.js";
import { tableLines } from "./table.js";

export const propertyCommand: Command = {
  name: "property",
  summary: "print the properties of a fluid or a solid at a temperature",
  details: [
    "Prints density, enthalpy, specific heats, speed of sound, viscosity and conductivity of a fluid, or contraction, conductivity, specific heat, stiffness and strength of a solid, each with its source, its uncertainty and the range of its data. What is not on file is listed as not known.",
    `Fluids: ${inletNames.join(", ")}.`,
    `Solids: ${solidNames.join(", ")}.`,
    "A fluid needs a temperature and a pressure, or a temperature and a density. With a temperature or a pressure alone it is taken as boiling, and both its liquid and its vapour are printed.",
  ],
  arguments: [{ flags: "<substance>", description: "name or alias of a fluid or a solid" }],
  options: [
    { flags: "--temperature <T>", description: "temperature: 90K, -183degC" },
    { flags: "--pressure <p>", description: "pressure of a fluid: 28bar(a), 27bar(g)" },
    { flags: "--density <rho>", description: "mass over volume of a fluid, both phases together: 500kg/m3" },
    {
      flags: "--superheated",
      description:
        "follow the liquid below its vapour pressure, as through a vent, down to where it falls apart",
    },
    { flags: "--in <folder>", description: "dossier whose own solids (parts/*.yaml) are looked up first" },
    { flags: "--from <T>", description: "where a solid was measured, for its contraction (default: 293 K)" },
  ],
  examples: [
    {
      command: 'coldturn property oxygen --temperature 90K --pressure "28 bar(a)"',
      says: "Liquid oxygen in a run tank:",
    },
    {
      command: "coldturn property methane --pressure 1.013bar(a)",
      says: "Methane that boils at one atmosphere:",
    },
    {
      command: "coldturn property our-ptfe --temperature 90K --in main-valve",
      says: "A solid of your own, described in main-valve/parts/our-ptfe.yaml:",
    },
    {
      command: "coldturn property ptfe --temperature 90K",
      says: "How much a seat ring shrinks from 293 to 90 K:",
    },
  ],
  act: async (input) => {
    const { solids, faults } = await ownSolids(textOption(input, "in"));
    const result = answerFor(input, solids);
    return {
      status: faults.length > 0 ? 2 : 0,
      result,
      faults,
      text: (page) => answerLines(page, result).join("\n"),
    };
  },
};

/** Solids of a team, and what is wrong with their files. */
async function ownSolids(folder: string | undefined): Promise<ReturnType<typeof readSolids>> {
  if (folder === undefined) return { solids: [], faults: [] };
  const { parts } = await readDossierFiles(folder);
  return readSolids(parts);
}

function answerFor(input: Input, own: readonly SolidFile[]): SubstanceAnswer {
  const name = input.arguments[0] ?? "";
  const given = <T extends number>(option: string, dimension: Dimension): T | undefined => {
    const text = textOption(input, option);
    return text === undefined ? undefined : (parseQuantity(text, dimension) as T);
  };
  return substanceAnswer(
    name,
    {
      T: given<Temperature>("temperature", "temperature"),
      p: given<Pressure>("pressure", "pressure"),
      rho: given<Density>("density", "density"),
      from: given<Temperature>("from", "temperature"),
      isSuperheated: hasOption(input, "superheated"),
    },
    own,
  );
}

function answerLines(page: Page, answer: SubstanceAnswer): readonly string[] {
  const groups = answer.groups.flatMap(({ title, rows, missing }) =>
    section(page, title, [
      ...tableLines(
        page,
        [],
        rows.map((row) => [row.words, valueText(row), aboutText(row)]),
      ),
      ...missing.flatMap(({ words, reason }) => paragraph(page, `${words}: not known: ${reason}`, "  ")),
    ]),
  );
  const notes = [
    ...new Set(
      answer.groups.flatMap(({ rows }) =>
        rows.flatMap(({ words, note }) => (note === undefined ? [] : [`${words}: ${note}`])),
      ),
    ),
  ];
  return [
    ...paragraph(page, strong(page, answer.summary)),
    ...groups,
    ...section(
      page,
      "about these numbers",
      [...answer.remarks, ...notes].flatMap((line) => paragraph(page, line, "  ")),
    ),
    ...(answer.notices.length === 0 ? [] : [""]),
    ...answer.notices.flatMap((notice) => paragraph(page, noticeText(notice))),
  ];
}

function valueText({ value, dimension, words }: PropertyRow): string {
  const asShare =
    words.startsWith("contraction") || words.startsWith("elongation") || words.startsWith("mass share");
  return asShare ? `${formatQuantity(100 * value, "number")} %` : formatQuantity(value, dimension);
}

function aboutText({ low, high, dimension, uncertainty, TMin, TMax, sources, words }: PropertyRow): string {
  const spread =
    low === undefined || high === undefined
      ? uncertainty
      : `${valueText({ id: "", words, value: low, dimension, sources })} to ${valueText({ id: "", words, value: high, dimension, sources })}`;
  const range =
    TMin === undefined || TMax === undefined
      ? undefined
      : TMax > TMin
        ? `data ${formatQuantity(TMin, "temperature")} to ${formatQuantity(TMax, "temperature")}`
        : `data at ${formatQuantity(TMin, "temperature")}`;
  return [spread, range, `[${sources.join("; ")}]`]
    .filter((text) => text !== undefined && text !== "")
    .join("; ");
}
