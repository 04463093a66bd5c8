import { describe, expect, it } from "vitest";
import { OwnAnswers } from "../../src/predict/index.js";
import { shockFigures } from "../../src/question/shockFigures.js";
import { dossierOf, having, petrel } from "../predict/valveFile.js";

const shock = (data = petrel()) => new OwnAnswers(dossierOf(data), "duty", { seed: 1, samples: 0 }).shock;

describe("pictures of the shock", () => {
  it("start and stop of the demo's opening: each part and the stop over time, with their greatest torques in words", () => {
    const figures = shockFigures(shock());
    expect(figures.map(({ id }) => id)).toEqual(["shock-start", "shock-stop"]);
    const [start, stop] = figures;
    if (start?.kind !== "plot" || stop?.kind !== "plot") throw new Error("no plots");
    expect(start.words).toContain("first planetary stage");
    expect(start.words).toMatch(/coupling, stem 10\.\d+ N m at 2\d\.\d ms/);
    const lines = stop.marks.filter(({ kind }) => kind === "line");
    expect(lines.map((mark) => ("label" in mark ? mark.label : ""))).toEqual([
      "first planetary stage, 10:1",
      "second planetary stage, 10:1",
      "coupling, stem",
      "end stop",
    ]);
    expect(start.marks.some((mark) => "label" in mark && mark.label === "end stop")).toBe(false);
  });

  it("none where a stiffness is not known", () => {
    expect(shockFigures(shock(having(petrel(), { "drive.coupling.stiffness": undefined })))).toEqual([]);
  });
});
