import { readFileSync } from "node:fs";
import { expect, it } from "vitest";
import { fileReference } from "../../tools/docs.js";

it("docs/file-reference.md is what tools/docs.ts writes", () => {
  const page = readFileSync(new URL("../../docs/file-reference.md", import.meta.url), "utf8");
  expect(page).toBe(`${fileReference()}\n`);
});
