import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { differentValues, isFitPath, isSealedPath } from "../../../src/dossier/index.js";

describe("values that differ between two versions", () => {
  const before = "duty:\n  mass_flow: 3.8 kg/s # by the cycle\n  fluid: oxygen\nstages:\n  - { ratio: 12 }\n";

  it("stand beside the one both began with, in the order of the file", () => {
    const theirs = before.replace("3.8 kg/s", "3.9 kg/s").replace("ratio: 12", "ratio: 12, name: first");
    const mine = before.replace("3.8 kg/s", "3.7 kg/s").replace("  fluid: oxygen\n", "");
    expect(differentValues(before, theirs, mine)).toEqual([
      { path: "duty.mass_flow", before: "3.8 kg/s", theirs: "3.9 kg/s", mine: "3.7 kg/s" },
      { path: "duty.fluid", before: "oxygen", theirs: "oxygen", mine: undefined },
      { path: "stages[0].name", before: undefined, theirs: "first", mine: undefined },
    ]);
  });

  it("are none where comments, order or spelling of the YAML alone differ", () => {
    const other = "stages: [ { ratio: 12 } ]\nduty: { fluid: oxygen, mass_flow: 3.8 kg/s }\n";
    expect(differentValues(before, before, other)).toEqual([]);
  });

  it("are not known of what is no YAML; a new file began with nothing", () => {
    expect(differentValues(before, "a: [", before)).toBeUndefined();
    expect(differentValues(undefined, "a: 1\n", "a: 2\n")).toEqual([
      { path: "a", before: undefined, theirs: "1", mine: "2" },
    ]);
  });
});

describe("paths of a dossier", () => {
  it("are files in folders, none hidden, none that leads out", () => {
    for (const path of ["valve.yaml", "runs/2031-04-14-dry/bench log, 14.4. µ.csv", "a..b/c.d"])
      expect(isFitPath(path), path).toBe(true);
    for (const path of [
      "",
      "/etc/passwd",
      "../valve.yaml",
      "runs/../../x",
      ".team.json",
      "a/.b",
      "a//b",
      "a/",
      "a\\b",
      "a\nb",
      "a\u0000",
    ])
      expect(isFitPath(path), path).toBe(false);
  });

  it("that lead out of the folder are never fit", () => {
    fc.assert(
      fc.property(fc.array(fc.constantFrom("..", ".", "", "a", "b.c")), (parts) => {
        const isOut = parts.some((part) => part === "" || part.startsWith("."));
        expect(isFitPath(parts.join("/"))).toBe(parts.length > 0 && !isOut);
      }),
    );
  });

  it("of sealed predictions are those below predictions/, and no others", () => {
    expect(["predictions/a.json", "predictions/2031-04-01-duty-68f2a84d5045.json"].every(isSealedPath)).toBe(
      true,
    );
    expect(
      ["predictions/a.txt", "runs/predictions/a.json", "predictions/a/b.json", "xpredictions/a.json"].some(
        isSealedPath,
      ),
    ).toBe(false);
  });
});
