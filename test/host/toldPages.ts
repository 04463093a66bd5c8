/** The pages of docs/errors that need a database to be provoked: they show what the tests were told. */
import { expect } from "vitest";
import { type Fault, faultsText, Refusal } from "../../src/fault/index.js";
import { textOf } from "../project/files.js";

const told = new Map<string, Set<string>>();

/** What an act was refused with; it is kept for the pages. */
export async function refusal(act: Promise<unknown>): Promise<Refusal> {
  const thrown = await act.then(
    () => undefined,
    (error: unknown) => error,
  );
  if (!(thrown instanceof Refusal)) throw thrown ?? new Error("nothing was refused");
  for (const fault of thrown.faults) keep(fault);
  return thrown;
}

function keep(fault: Fault): void {
  const texts = told.get(fault.code) ?? new Set();
  told.set(fault.code, texts.add(asOnPage(faultsText([fault]))));
}

/** What differs from one run of the tests to the next is written as in the pages. */
function asOnPage(text: string): string {
  return text
    .replace(/postgres:\/\/[\w]+@127\.0\.0\.1:\d+\/\w+/g, "postgres://ann@db.example/valves")
    .replace(/127\.0\.0\.1:\d+/g, "db.example:5432")
    .replace(/\/tmp\/coldturn-test-\w+\//g, "")
    .replace(/\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z/g, "2031-04-14T09:30:12.345Z")
    .replace(/\bpetrel-\d+/g, "petrel-oxygen-main")
    .replace(/\b[0-9a-f]{16}\b/g, "4712eee6656fb358")
    .replace(/(than on) \S+ \d+/g, "$1 bench-2 4711");
}

/** Holds the pages of these codes against what was told. */
export function expectPages(codes: readonly string[]): void {
  for (const code of codes) {
    const [, shown] = /```text\n([\s\S]+?)\n```/.exec(textOf(`docs/errors/${code}.md`)) ?? [];
    expect([...(told.get(code) ?? [])], code).toContain(shown);
  }
}
