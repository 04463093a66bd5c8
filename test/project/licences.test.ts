import { expect, it } from "vitest";
import { isAllowed, shippedPackages, thirdPartyPage } from "../../tools/licences.js";
import { textOf } from "./files.js";

const shipped = shippedPackages();

it("what is shipped has a licence that asks nothing of who uses the program", () => {
  expect(shipped.length).toBeGreaterThan(50);
  expect(shipped.filter((one) => !isAllowed(one))).toEqual([]);
  for (const licence of ["MPL-2.0", "GPL-3.0-only", "not known", "SEE LICENSE IN LICENSE.txt"])
    expect(isAllowed({ name: "another", licence }), licence).toBe(false);
});

it("what the sources import is shipped, and what only checks use is not", () => {
  const how = new Map(shipped.map((one) => [one.name, one.how]));
  expect(
    ["yaml", "react", "fastify", "@duckdb/node-bindings-linux-x64"].map((name) => how.get(name)),
  ).toEqual(["bundled", "bundled", "installed", "installed"]);
  for (const name of ["vitest", "typescript", "axe-core", "marked", "vite"])
    expect(how.get(name), name).toBeUndefined();
});

it("THIRD_PARTY.md is what tools/licences.ts writes; `node dist/tools/licences.js` writes it anew", () => {
  expect(textOf("THIRD_PARTY.md")).toBe(thirdPartyPage());
});
