/** Text of docs/coverage.md, from what the checks declare: those that every dossier is asked, be it empty. */
import { readDossier } from "../src/dossier/index.js";
import { predict, runBlock } from "../src/predict/index.js";
import { answersOf, coverageOf, insteadWords, type Serving } from "../src/question/index.js";

const head = `# Coverage

<!-- Written by tools/docs.ts from what each check declares: designChecks and failureModes of its definition. -->

What a designer considers for such a valve ([\`data/checklists/design-checks.json\`](../data/checklists/design-checks.json)) and how such valves fail ([\`data/checklists/failure-modes.json\`](../data/checklists/failure-modes.json)), each with the checks that compute it. The sheet has the same two tables with the verdicts of its case, and \`coldturn check --json\` carries the declarations in \`designChecks\` and \`failureModes\` of each check. Both lists are from memory of the sources named; [Checks](checks.md) has equation, limit and source of every check.

That a check holds does not rule a failure mode out: it is one margin, on its assumptions. What no check computes is a **gap** and stands here as one.
`;

/** The page, the number of its gaps included. */
export async function coveragePage(): Promise<string> {
  const { design, failures } = coverageOf(await emptyAnswers());
  const topics = [...new Set(design.map(({ topic }) => topic))];
  const gaps = failures.filter(({ servedBy }) => servedBy.length === 0);
  const partly = failures.filter(({ servedBy, leaves }) => servedBy.length > 0 && leaves !== undefined);
  return [
    head.trimEnd(),
    "",
    "## Design considerations",
    "",
    `${design.length} considerations, ${design.filter(({ servedBy }) => servedBy.length === 0).length} gaps.`,
    ...topics.flatMap((topic) => [
      "",
      `### ${topic.charAt(0).toUpperCase()}${topic.slice(1)}`,
      "",
      "| id | consideration | met when | source | checks |",
      "|---|---|---|---|---|",
      ...design
        .filter((row) => row.topic === topic)
        .map(({ id, name, criterion, source, servedBy }) =>
          row([`\`${id}\``, name, criterion, source, checks(servedBy)]),
        ),
    ]),
    "",
    "## Failure modes",
    "",
    `${failures.length} failure modes: ${gaps.length} gaps, and ${partly.length} of which something is left that no check computes.`,
    "",
    "| id | failure mode | mechanism | source | checks | what no check computes, and what stands beside it |",
    "|---|---|---|---|---|---|",
    ...failures.map(({ id, name, mechanism, source, servedBy, leaves, instead = [] }) =>
      row([
        `\`${id}\``,
        name,
        mechanism,
        source,
        checks(servedBy),
        [
          ...(leaves === undefined ? [] : [leaves]),
          ...(instead.length === 0 ? [] : [`Beside it: ${instead.map(insteadWords).join("; ")}.`]),
        ].join(" "),
      ]),
    ),
    "",
  ].join("\n");
}

function row(cells: readonly string[]): string {
  return `| ${cells.map((cell) => cell.replaceAll("|", "\\|")).join(" | ")} |`;
}

/** "`choke` (1), `cavitation` (1)": the number of its question behind each. */
function checks(servedBy: readonly Serving[]): string {
  if (servedBy.length === 0) return "**gap**";
  return servedBy.map(({ id, question }) => `\`${id}\` (${question})`).join(", ");
}

async function emptyAnswers(): Promise<ReturnType<typeof answersOf>> {
  const { dossier } = readDossier({ valve: { path: "valve.yaml", text: "coldturn: 1\n" } });
  const options = { seed: 1, samples: 0, effectSamples: 0 };
  return answersOf(
    await predict(dossier, "duty", options, async (plan, blocks) =>
      blocks.map((block) => runBlock(plan, block)),
    ),
  );
}
