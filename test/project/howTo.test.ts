/** The how-tos: one for each question, each with all that is promised of it, and with the program's own cautions. */
import { expect, it } from "vitest";
import { cautionsOf } from "../../src/question/index.js";
import { questions } from "../../src/question/list.js";
import { filesIn, textOf } from "./files.js";

const headings = [
  "What to enter",
  "Which command",
  "How to read the answer",
  "What is not known, and how to close it",
  "Usual mistakes",
  "Cautions",
];
const overview = textOf("docs/how-to/README.md");
const pages = filesIn(["docs/how-to"], /\.md$/).filter((path) => !path.endsWith("README.md"));

const headingsOf = (text: string) => [...text.matchAll(/^## (.+)$/gm)].map(([, words]) => words);

it.each(pages)("%s has what a how-to has, and stands in the overview", (path) => {
  const text = textOf(path);
  const title = /^# (.+)$/m.exec(text)?.[1] ?? "";
  expect(overview).toContain(`[${title}](${path.replace(/^.*\//, "")})`);
  expect(headingsOf(text)).toEqual(headings);
  expect(text).toMatch(/^npx coldturn |^\$ npx coldturn /m);
});

it("each question of the program has its page, with its words and its cautions", () => {
  expect(questions).toHaveLength(12);
  for (const { id, words } of questions) {
    const path = pages.find((one) => textOf(one).startsWith(`# ${words}\n`));
    if (path === undefined) throw new Error(`no page of docs/how-to begins with "# ${words}"`);
    const [, told = ""] = textOf(path).split("## Cautions\n");
    const cautions = cautionsOf(id, new Set(["oxidiser", "fuel", "cold"]));
    expect(cautions.length, id).toBeGreaterThan(0);
    expect(told.match(/^- .+$/gm)).toEqual(cautions.map((caution) => `- ${caution}`));
  }
});
