/**
 * The register of hazards of a dossier, hazards.yaml: rows that were made from checks or written by hand,
 * each with the history of its changes. What the program writes into it leaves every other character.
 */
import { isSeq, parseDocument, stringify } from "yaml";
import hazardsFile from "../../data/hazards/hazards.json" with { type: "json" };
import type { Fault, Place } from "../fault/index.js";
import { parseDeclared } from "../quantity/index.js";
import type { SourceFile } from "./document.js";
import { editText, type ValueEdit } from "./edit.js";
import { count, list, type SectionValue, section, text } from "./field.js";
import { asCurrent, hazardForm } from "./formatVersion.js";
import { readFields } from "./read.js";

/** What a row says, in the order of the file; people edit these, and each edit needs its reason. */
export const hazardTexts = ["cause", "effect", "control", "evidence", "who_verifies"] as const;
export type HazardText = (typeof hazardTexts)[number];

const hazardFields = section(
  {
    coldturn_hazards: count(1, 1, "Format version of this file; this program reads version 1."),
    case: text("Conditions that the checks were made for: duty, or the id of a case.", "duty"),
    rows: list(
      {
        check: text(
          "Id of the check that the row was made from; left out for a row of your own.",
          "opening-time",
        ),
        name: text("Name of that check, or of the hazard.", "Opening time"),
        reads: text("What the check said when somebody last judged the row.", "201 ms, at most 800 ms"),
        equation: text("Its equation at that time.", "t = t(to) - t(from)"),
        stale: text("`no`, or what the check says since.", "no"),
        cause: text("What goes wrong.", "The valve opens later than planned."),
        effect: text("What follows.", "Hard start."),
        control: text(
          "What keeps it from happening or from hurting.",
          "Start sequence with room for the band.",
        ),
        evidence: text(
          "What shows that the control is there and works.",
          "check opening-time; run 2026-04-18",
        ),
        who_verifies: text("Who verifies it; blank: nobody yet.", "test conductor"),
        history: list(
          {
            date: text("Day of the change, with the year first.", "2026-04-02"),
            who: text("Who made it.", "test conductor"),
            what: text("What changed.", "control"),
            why: text("Why.", "a second isolation valve was fitted"),
          },
          "Every change of the row, oldest first.",
        ),
        seal: text("Written by the program: tells whether the row was changed since.", ""),
      },
      "The hazards.",
    ),
    cut: list(
      {
        check: text(
          "Id of the check that the row was made from; left out for a row of your own.",
          "prime-surge",
        ),
        name: text("Name of that check, or of the hazard.", "Priming surge"),
        date: text("Day on which it was cut out, with the year first.", "2026-04-02"),
        who: text("Who cut it out.", "test conductor"),
        why: text("Why it is no hazard here.", "the line is full before the valve opens"),
      },
      "Rows that were cut out whole, each with its reason.",
    ),
    made: text("Written by the program: the rows that stood here, by which one that is gone is found.", ""),
  },
  "The register of hazards of one valve.",
);

export type HazardRow = NonNullable<SectionValue<(typeof hazardFields)["fields"]>["rows"]>[number];

/** A row that was cut out whole, with its reason. */
export type HazardCut = NonNullable<SectionValue<(typeof hazardFields)["fields"]>["cut"]>[number];

/** The register as read. */
export interface HazardFile {
  readonly source: SourceFile;
  readonly caseId: string;
  readonly rows: readonly HazardRow[];
  readonly cut: readonly HazardCut[];
  /** Keys of the rows that stood there, as written by the program. */
  readonly made: string;
  /** Faults of the file's form. */
  readonly faults: readonly Fault[];
  readonly placeOf: (path: string) => Place;
}

/** Reads a register. Throws for nothing that a person may have written. */
export function readHazards(source: SourceFile): HazardFile {
  const read = readFields(hazardFields, asCurrent(hazardForm, source).parsed, (raw, { dimension, bounds }) =>
    parseDeclared(raw, dimension, bounds),
  );
  return {
    source,
    caseId: read.value.case ?? "duty",
    rows: read.value.rows ?? [],
    cut: read.value.cut ?? [],
    made: read.value.made ?? "",
    faults: read.faults,
    placeOf: (path) => ({ file: source.path, ...read.places.get(path), field: path }),
  };
}

/** A row as it is written. */
export type NewHazardRow = { readonly [K in keyof HazardRow]-?: NonNullable<HazardRow[K]> | "" };

const head = `# Hazards of this valve, made from its checks by \`coldturn hazards\` and edited by hand.
# Whoever changes cause, effect, control, evidence or who_verifies adds a line below history:
#   - { date: 2026-04-02, who: test conductor, what: control, why: a second isolation valve was fitted }
# Whoever cuts a row out whole says so below cut:
#   - { check: prime-surge, name: Priming surge, date: 2026-04-02, who: test conductor, why: the line is full before }
# A row that is stale is judged anew, and a line below its history says so. Rows of your own are welcome.
# The register accepts no risk: that is for the responsible people on the stand.
coldturn_hazards: 1
`;

/** A register with its first rows. @param made  their keys */
export function hazardText(caseId: string, rows: readonly NewHazardRow[], made: string): string {
  return `${head}case: ${JSON.stringify(caseId)}\nmade: ${made}\nrows:\n${rows.map(rowText).join("")}`;
}

function rowText(row: NewHazardRow): string {
  const lines = stringify([row], { lineWidth: 0 }).trimEnd().split("\n");
  // A blank field is written blank, not as quotes.
  return `${lines.map((line) => `  ${line.replace(/: ""$/, ":")}`).join("\n")}\n`;
}

/**
 * The text of a register with other values and further rows; every other character stays.
 *
 * @param edits  by path, as `rows[3].stale`;  @param rows  put behind the last one
 */
export function editHazards(
  { source }: Pick<HazardFile, "source">,
  edits: readonly ValueEdit[],
  rows: readonly NewHazardRow[],
): string {
  const edited = editText(hazardFields, source.text, edits);
  if (rows.length === 0) return edited;
  const list = parseDocument(edited, { version: "1.2", logLevel: "silent" }).get("rows", true);
  if (!isSeq(list) || list.flow === true || list.range == null || list.items.length === 0) {
    return `${edited.replace(/^rows:.*$/m, "").trimEnd()}\nrows:\n${rows.map(rowText).join("")}`;
  }
  const end = edited.slice(0, list.range[1]).trimEnd().length;
  return `${edited.slice(0, end)}\n${rows.map(rowText).join("").trimEnd()}${edited.slice(end)}`;
}

/** The first wording for a check that does not hold. */
export interface HazardWording {
  readonly cause: string;
  readonly effect: string;
  readonly control: string;
  /** Key into the bibliography with the place, or "common practice, no source". */
  readonly reference: string;
}

/** Wording of a check by its id; undefined where none is on file. */
export function hazardWording(check: string): HazardWording | undefined {
  return hazardsFile.hazards.find(({ checks }) => checks.includes(check));
}
