/**
 * What people have said of the go / no-go: stand.yaml beside the valve file. Who owes a requirement, and which
 * check is waived, up to where, why, by whom and until when. Written by hand; the program never writes it.
 */
import type { Fault } from "../fault/index.js";
import { parseDeclared } from "../quantity/index.js";
import type { SourceFile } from "./document.js";
import { choice, count, list, type SectionValue, section, text } from "./field.js";
import { asCurrent, standForm } from "./formatVersion.js";
import { readFields } from "./read.js";

/** The fields of stand.yaml; the schema of the file and its documentation follow from them. */
export const standFields = section(
  {
    coldturn_stand: count(1, 1, "Format version of this file; this program reads version 1."),
    owners: list(
      {
        of: text(
          "What is owed: a field of the valve file, a part of it, or the id of a check.",
          "duty.open_within",
        ),
        owner: text("Who owes it, as that person is called on the stand.", "stand, test conductor"),
      },
      "Who owes what is open.",
    ),
    waivers: list(
      {
        check: text("Id of the check that is waived.", "motorisation"),
        name: text("Name of that check, where several have the id.", "Body and pipe wall, end tube"),
        case: text("Conditions for which it is waived: duty, or the id of a case.", "duty"),
        verdict: choice(["fails", "thin", "not known"], "The verdict that is waived."),
        value: text(
          "The worst value that is waived, with its unit; left out where the verdict is not known, or the check has no number.",
          "-35 %",
        ),
        reason: text("Why.", "development test without a person near the valve"),
        who: text("Who waives it, typed by that person.", "stand, test conductor"),
        date: text("Day on which it was waived, with the year first.", "2026-04-20"),
        expires: text("Last day on which it counts, with the year first.", "2026-06-30"),
      },
      "Checks that do not hold, and with which the responsible people go on all the same.",
    ),
  },
  "Who owes what, and what is waived.",
);

type StandValue = SectionValue<(typeof standFields)["fields"]>;

/** Who owes something. */
type OwnerEntry = NonNullable<StandValue["owners"]>[number] & { readonly line: number | undefined };

/** A waiver as typed. */
export type WaiverEntry = NonNullable<StandValue["waivers"]>[number] & { readonly line: number | undefined };

/** The file as read: plain data, so that it can be sent to a page. */
export interface StandFile {
  readonly path: string;
  readonly owners: readonly OwnerEntry[];
  readonly waivers: readonly WaiverEntry[];
  /** Faults of the file's form. */
  readonly faults: readonly Fault[];
}

/** Reads stand.yaml. Throws for nothing that a person may have written. */
export function readStandFile(source: SourceFile): StandFile {
  const { parsed } = asCurrent(standForm, source);
  const { value, faults, places } = readFields(standFields, parsed, (raw, { dimension, bounds }) =>
    parseDeclared(raw, dimension, bounds),
  );
  const lineOf = (path: string, key: string) =>
    (places.get(`${path}.${key}`) ?? places.get(path))?.line ?? undefined;
  return {
    path: source.path,
    owners: (value.owners ?? []).map((entry, j) => ({ ...entry, line: lineOf(`owners[${j}]`, "of") })),
    waivers: (value.waivers ?? []).map((entry, j) => ({ ...entry, line: lineOf(`waivers[${j}]`, "check") })),
    faults,
  };
}
