/** What nobody gave: what to enter next, and which checks wait for what. */
import { type Answer, type Check, type UnknownCheck, waitingNames } from "../question/index.js";
import { type Page, paragraph } from "./page.js";

/** A few inputs that, entered after those of the steps before, answer some checks. */
export interface Step {
  readonly inputs: readonly string[];
  readonly checks: readonly string[];
}

/** Steps that are shown; the rest is counted. */
const mostSteps = 3;

/**
 * The order in which to enter what is missing: always next what answers a further check with the fewest
 * inputs. Evidence of a test comes last, however little it is.
 */
export function stepsOf(answers: readonly Answer[]): readonly Step[] {
  let waiting: readonly UnknownCheck[] = answers.flatMap(({ checks }) => checks.filter(isUnknown));
  const given = new Set<string>();
  const steps: Step[] = [];
  while (waiting.length > 0) {
    const costs = waiting.map((check) => costOf(lackingOf(check, given)));
    const next = waiting[costs.indexOf(Math.min(...costs))];
    if (next === undefined) break;
    const inputs = lackingOf(next, given);
    for (const input of inputs) given.add(input);
    const answered = waiting.filter((check) => lackingOf(check, given).length === 0);
    steps.push({ inputs, checks: [...new Set(answered.map(({ name }) => name))] });
    waiting = waiting.filter((check) => !answered.includes(check));
  }
  return steps;
}

function isUnknown(check: Check): check is UnknownCheck {
  return check.kind === "unknown";
}

function lackingOf({ needs }: UnknownCheck, given: ReadonlySet<string>): readonly string[] {
  return [...new Set(needs)].filter((need) => !given.has(need));
}

/** More than any number of fields. */
const costOfEvidence = 1e6;

/** A field is a path without spaces; evidence is said in words. */
function costOf(inputs: readonly string[]): number {
  return inputs.reduce((sum, input) => sum + (input.includes(" ") ? costOfEvidence : 1), 0);
}

/** The first steps, and how many more there are. */
export function nextLines(page: Page, answers: readonly Answer[]): readonly string[] {
  const steps = stepsOf(answers);
  const rest = steps.slice(mostSteps);
  const inputs = new Set(rest.flatMap((step) => step.inputs)).size;
  const more =
    rest.length === 0
      ? []
      : paragraph(
          page,
          `${inputs} more for ${rest.reduce((sum, { checks }) => sum + checks.length, 0)} further checks; \`--all\` lists them.`,
          "  ",
        );
  return [...steps.slice(0, mostSteps).flatMap((step) => stepLines(page, step)), ...more];
}

function stepLines(page: Page, { inputs, checks }: Step): readonly string[] {
  return [
    ...paragraph(page, `for ${checks.join(", ")}:`, "  "),
    ...paragraph(page, inputs.join(", "), "    "),
  ];
}

/** Every missing input once, those together for which the same checks wait. */
export function waitingLines(page: Page, answers: readonly Answer[], indent = "  "): readonly string[] {
  const waiting = new Map<string, Set<string>>();
  for (const gap of answers.flatMap(({ gaps }) => gaps)) {
    const checks = waiting.get(gap.path) ?? new Set<string>();
    for (const name of waitingNames(answers, gap)) checks.add(name);
    waiting.set(gap.path, checks);
  }
  const together = new Map<string, string[]>();
  for (const [path, checks] of waiting) {
    const key = [...checks].join(", ");
    together.set(key, [...(together.get(key) ?? []), path]);
  }
  return [...together].flatMap(([checks, paths]) => [
    ...paragraph(page, `${checks}:`, indent),
    ...paths.flatMap((path) => paragraph(page, path, `${indent}  `)),
  ]);
}
