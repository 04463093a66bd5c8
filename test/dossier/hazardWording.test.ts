/** The wordings of data/hazards keep their form, and speak of checks that there are. */
import { expect, it } from "vitest";
import { z } from "zod";
import hazards from "../../data/hazards/hazards.json" with { type: "json" };
import { textOf } from "../project/files.js";

const sentence = z.string().regex(/^[A-Z].*\.$/);
const form = z.strictObject({
  format: z.literal("hazards/1"),
  note: sentence,
  hazards: z.array(
    z.strictObject({
      checks: z.array(z.string()).min(1),
      cause: sentence,
      effect: sentence,
      control: sentence,
      reference: z.string().min(5),
    }),
  ),
});

it("data/hazards/hazards.json has its form", () => {
  expect(form.safeParse(hazards).error?.issues ?? []).toEqual([]);
});

it("no check has two wordings, and each is a check of docs/checks.md", () => {
  const named = hazards.hazards.flatMap(({ checks }) => checks);
  expect(new Set(named).size).toBe(named.length);
  const listed = new Set(
    [...textOf("docs/checks.md").matchAll(/^\| `([a-z-]+)` \| \d+ \|/gm)].map(([, id]) => id),
  );
  expect(named.filter((id) => !listed.has(id))).toEqual([]);
});
