/** A further correlation in the text of a valve file. */
import { describe, expect, it } from "vitest";
import { appendCorrelation } from "../../src/dossier/index.js";
import { changedLines } from "./read.js";

const row = "{ first: a, second: b, rank: 0.5 }";

describe("a further correlation", () => {
  it.each([
    ["begins the list at the end", "name: x", "name: x\n\ncorrelations:\n  - ROW\n"],
    [
      "goes below the name of an empty list",
      "correlations: # none yet\nname: x\n",
      "correlations: # none yet\n  - ROW\nname: x\n",
    ],
    ["goes into brackets", "correlations: []\nname: x\n", "correlations: [ ROW ]\nname: x\n"],
    [
      "goes behind the last of a list in brackets",
      "correlations: [{ rank: 0.1 }]\n",
      "correlations: [{ rank: 0.1 }, ROW ]\n",
    ],
    [
      "goes behind the last of a list, whose comment stays, with its indentation",
      "correlations:\n- first: c\n  rank: 0.2 # guess\n\n# the end\n",
      "correlations:\n- first: c\n  rank: 0.2 # guess\n- ROW\n\n# the end\n",
    ],
  ])("%s", (_, text, wanted) => {
    expect(appendCorrelation(text, row)).toBe(wanted.replace("ROW", row));
  });

  it("keeps carriage returns and a byte order mark", () => {
    const text = "\uFEFFname: x\r\ncorrelations:\r\n  - { rank: 0.1 }\r\nvalve:\r\n";
    const longer = appendCorrelation(text, row);
    expect(longer).toBe(`\uFEFFname: x\r\ncorrelations:\r\n  - { rank: 0.1 }\r\n  - ${row}\r\nvalve:\r\n`);
    expect(changedLines(text, longer).after).toHaveLength(1);
  });
});
