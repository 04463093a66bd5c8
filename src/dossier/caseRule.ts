/** Ids of cases: each has one, no two the same, and each can be part of a file name everywhere. */
import type { Finding } from "./finding.js";
import type { ValveFile } from "./schema.js";

const fit = /^[A-Za-z0-9](?:[A-Za-z0-9_-]|\.(?=[A-Za-z0-9])){0,63}$/;
/** Names that one operating system or the command line keeps for itself. */
const reserved = /^(?:duty|con|prn|aux|nul|com\d|lpt\d)(?:\.|$)/i;

/** Findings about the ids of the cases. */
export function caseRule({ cases }: ValveFile): readonly Finding[] {
  return (cases ?? []).flatMap(({ id }, index): readonly Finding[] => {
    const path = `cases[${index}].id`;
    const fault = (code: string, found: string, allowed: string, mend: string): readonly Finding[] => [
      {
        kind: "fault",
        code,
        path: id === undefined ? `cases[${index}]` : path,
        notKnown: [path],
        found,
        allowed,
        mend,
      },
    ];
    if (id === undefined) {
      return fault(
        "case-without-id",
        "this case has no id",
        "A case is named by its id on the command line and in file names.",
        "Add a line such as `id: dry-ambient`",
      );
    }
    if (!fit.test(id) || reserved.test(id)) {
      return fault(
        "case-id-unfit",
        `${id} cannot name a case`,
        "An id goes into file names: letters, digits, hyphens, underscores and single dots, at most 64; `duty` is taken.",
        `Write, for example, ${suggestion(id)}`,
      );
    }
    // Some file systems take `Dry` and `dry` for one name.
    const twin = cases?.findIndex((other) => other.id?.toLowerCase() === id.toLowerCase()) ?? index;
    if (twin === index) return [];
    return fault(
      "case-id-repeated",
      `${id} already names case ${twin + 1} of this list`,
      "Two cases with one id cannot be told apart; upper and lower case count as the same.",
      "Give one of the two another id",
    );
  });
}

function suggestion(id: string): string {
  const plain = id
    .toLowerCase()
    .replaceAll(/[^a-z0-9]+/g, "-")
    .replaceAll(/^-+|-+$/g, "")
    .slice(0, 60);
  return plain === "" || reserved.test(plain) ? "dry-ambient" : plain;
}
