import { createHash } from "node:crypto";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  canonicalJson,
  heldFromSeal,
  newestBefore,
  openSealed,
  sealedText,
  sealPrediction,
} from "../../../src/evidence/index.js";
import { Refusal } from "../../../src/fault/index.js";
import { predict, runBlock } from "../../../src/predict/index.js";
import { heldOf, planOf } from "../reconcile/bench.js";

const sha256 = (text: string) => createHash("sha256").update(text, "utf8").digest("hex");

async function sealed(made = "2031-04-01T08:00:00Z") {
  const plan = planOf("dry-ambient");
  const prediction = await predict(
    plan.dossier,
    plan.caseId,
    { seed: 1, samples: 512, effectSamples: 0 },
    async (same, blocks) => blocks.map((block) => runBlock(same, block)),
  );
  return sealPrediction(prediction, made, [{ name: "valve.yaml", sha256: sha256("x") }], sha256);
}

describe("sealed predictions", () => {
  it("opens as it was written, and holds what the band held", async () => {
    const one = await sealed();
    expect(openSealed(sealedText(one), "p.json", sha256)).toEqual(one);
    const held = heldFromSeal(one, "opening");
    const direct = await heldOf(planOf("dry-ambient"));
    expect(held.times_s).toEqual(direct.times_s);
    expect(held.band_s).toEqual(direct.band_s);
    expect(held.sealed).toMatch(/^[0-9a-f]{64}$/);
  });

  it("any changed digit of the content breaks the seal", async () => {
    const text = sealedText(await sealed());
    const digits = [...text.matchAll(/\d/g)].map((match) => match.index);
    fc.assert(
      fc.property(fc.nat(digits.length - 1), fc.integer({ min: 1, max: 9 }), (which, by) => {
        const at = digits[which] ?? 0;
        const changed = `${text.slice(0, at)}${(Number(text[at]) + by) % 10}${text.slice(at + 1)}`;
        const open = () => openSealed(changed, "p.json", sha256);
        // A leading zero that appears is no JSON any more; everything else breaks the seal.
        expect(open).toThrow(Refusal);
      }),
      { numRuns: 200 },
    );
  });

  it("names the input that was changed", async () => {
    const one = await sealed();
    const text = sealedText(one);
    const input = one.inputs.find(({ path }) => path === "drive.motor.resistance");
    const changed = text.replace(`"text": ${JSON.stringify(input?.text)}`, '"text": "1.9 ohm"');
    expect(changed).not.toBe(text);
    try {
      openSealed(changed, "p.json", sha256);
      expect.unreachable();
    } catch (thrown) {
      if (!(thrown instanceof Refusal)) throw thrown;
      expect(thrown.faults[0]?.found).toContain("; changed: input drive.motor.resistance");
    }
  });

  it("names the file, what is wrong and how to mend it", async () => {
    const text = sealedText(await sealed()).replace('"dry-ambient"', '"nitrogen"');
    try {
      openSealed(text, "predictions/a.json", sha256);
      expect.unreachable();
    } catch (error) {
      expect(error).toBeInstanceOf(Refusal);
      const fault = error instanceof Refusal ? error.faults[0] : undefined;
      expect(fault).toMatchObject({ code: "seal-broken", where: { file: "predictions/a.json" } });
      expect(fault?.mend).toMatch(/Restore/);
    }
    expect(() => openSealed("not json", "b.json", sha256)).toThrow(Refusal);
    expect(() => openSealed("{}", "b.json", sha256)).toThrow(Refusal);
  });

  it("with a seal that fits and another content is refused", async () => {
    const { sha256: _, ...content } = await sealed();
    const deep = JSON.parse(`${"[".repeat(60)}1${"]".repeat(60)}`);
    for (const strange of [
      { opening: 5 },
      { closing: null },
      { made: "yesterday" },
      { inputs: [{ path: 1 }] },
      { files: {} },
      { opening: { ...content.opening, band_s: { a: { low: "x", high: 1 } } } },
      { more: deep },
    ]) {
      const other = { ...content, ...strange };
      const text = `${JSON.stringify({ ...other, sha256: sha256(canonicalJson(other)) }, null, 1)}\n`;
      expect(() => openSealed(text, "p.json", sha256)).toThrow(Refusal);
    }
    const newer = JSON.stringify({ ...content, format: "coldturn-sealed/2" });
    expect(() => openSealed(newer, "p.json", sha256)).toThrow(/format version 2/);
  });

  it("a run is held against the newest prediction of its case sealed before it", async () => {
    const early = await sealed("2031-04-01T08:00:00Z");
    const late = await sealed("2031-04-10T08:00:00Z");
    expect(newestBefore([late, early], "dry-ambient", "2031-04-18T00:00:00Z")).toBe(late);
    expect(newestBefore([late, early], "dry-ambient", "2031-04-05T00:00:00Z")).toBe(early);
    expect(newestBefore([late, early], "dry-ambient", "2031-03-05T00:00:00Z")).toBeUndefined();
    expect(newestBefore([late, early], "nitrogen", "2031-04-18T00:00:00Z")).toBeUndefined();
  });

  it("canonical JSON does not depend on the order of keys", () => {
    fc.assert(
      fc.property(fc.dictionary(fc.string(), fc.jsonValue()), (value) => {
        const shuffled = Object.fromEntries(Object.entries(value).reverse());
        expect(canonicalJson(shuffled)).toBe(canonicalJson(value));
        expect(JSON.parse(canonicalJson(value))).toEqual(JSON.parse(JSON.stringify(value)));
      }),
    );
  });
});
