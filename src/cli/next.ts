/** `coldturn next`: which test would narrow the decision most. */
import { type NextTests, nextTests } from "../evidence/index.js";
import { type Notice, Refusal, refuse } from "../fault/index.js";
import { type OpenDossier, openDossier, restsOn, titleOf, writeNext } from "../host/index.js";
import { drawText, type Figure } from "../picture/index.js";
import { modelVersion } from "../predict/index.js";
import { formatQuantity } from "../quantity/index.js";
import { bestCostWords, nextFigure, nextTable } from "../question/index.js";
import type { Command } from "./command.js";
import { caseIn, caseOption, folderArgument, folderIn } from "./options.js";
import { type Page, paragraph, section } from "./page.js";
import { tableLines } from "./table.js";
import { withNotices } from "./withNotices.js";

export const nextCommand: Command = {
  name: "next",
  summary: "rank the tests that could be made next by how far they narrow the decision",
  details: [
    "Rates seven kinds of test: a dry stroke, one under pressure, one in liquid nitrogen, one in liquid oxygen, the motor alone, the gears without the valve, the stem held. Each is simulated with the present values of the valve file; from how its channels would move with each uncertain value follows how far it is expected to narrow the opening time of the case, or its breakaway margin where it does not open.",
    "Times and propellant are those declared under tests in the valve file. That a test tells most is no reason by itself to make it: whether it may be made is for the responsible people to say.",
    "The ranking is kept in next/ of the dossier; question 11 and the sheet show it with its date, and whether valve.yaml has changed since.",
  ],
  arguments: [folderArgument],
  options: [caseOption],
  examples: [{ command: "coldturn next demo/petrel-oxygen-main", says: "For the duty of the demo valve:" }],
  act: async (input) => {
    const open = await openDossier(folderIn(input), caseIn(input));
    const found = nextTests(open.dossier, open.caseId);
    if (found === undefined)
      refuse(
        "next-not-known",
        `the opening of ${open.caseId} cannot be simulated`,
        "Tests are ranked by the opening that the decision hangs on.",
        "`coldturn check` shows what is missing in valve.yaml",
      );
    const notices = await kept(open, found);
    return withNotices(
      open,
      {
        status: open.faults.length > 0 ? 2 : 0,
        faults: open.faults,
        result: { valve: open.dossier.valve.name ?? null, ...found },
        text: (page) => pageOf(page, titleOf(open), found),
      },
      notices,
    );
  },
};

/** Keeps the ranking for question 11 and the sheet. A folder that cannot be written still gets its answer. */
async function kept({ files }: OpenDossier, found: NextTests): Promise<readonly Notice[]> {
  try {
    await writeNext(files.folder, restsOn(files), modelVersion, found);
    return [];
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    const why = thrown.faults.map(({ found: text }) => text).join("; ");
    return [
      {
        code: "next-not-kept",
        text: `the ranking was not kept in next/ (${why}): question 11 and the sheet do not show it`,
      },
    ];
  }
}

function pageOf(page: Page, title: string, found: NextTests): string {
  const { decision } = found;
  const unit = decision.quantity === "opening time" ? "time" : "ratio";
  const { columns, rows } = nextTable(found);
  const best = found.tests[0];
  const lead =
    best?.known === true
      ? `The test that tells most: ${best.kind} (${best.words}, case ${best.caseId}). It is expected to narrow the standard uncertainty by ${Math.round(100 * best.narrowing)} %. ${bestCostWords(found)}`
      : "No test can be rated.";
  return [
    ...paragraph(page, `${title}.`),
    ...paragraph(
      page,
      `The decision hangs on: ${decision.words}, ${formatQuantity(decision.value, unit)} with a standard uncertainty of ${formatQuantity(decision.standardUncertainty, unit)} as declared and learnt so far.`,
    ),
    ...paragraph(page, lead),
    "",
    ...figureLines(page, nextFigure(found)),
    ...section(page, "Tests, best first", tableLines(page, columns, rows)),
    "",
    ...paragraph(
      page,
      "Expected from the linear model about the nominal valve, with the model discrepancy that the reconciliation allows. A dry, water or nitrogen test says nothing of what only oxygen shows.",
    ),
  ].join("\n");
}

function figureLines(page: Page, figure: Figure): readonly string[] {
  return drawText(figure, {
    columns: page.columns,
    rows: 20,
    unicode: page.unicode,
    colour: page.colour,
  }).split("\n");
}
