/** What holds for any valve: a missing input never becomes a wrong number, and no number is none. */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import fc from "fast-check";
import { beforeAll, describe, expect, it } from "vitest";
import { isCollection, isMap, isScalar, isSeq, parseDocument } from "yaml";
import { describeSchema } from "../../src/dossier/index.js";
import { Refusal } from "../../src/fault/index.js";
import { type Answer, type Check, checkWords } from "../../src/question/index.js";
import { root } from "../project/files.js";
import { answersTo, type Edits } from "./answering.js";

const hand = readFileSync(join(root, "test/question/hand.yaml"), "utf8");

/** Paths of all values of hand.yaml but those of its cases. */
function pathsIn(node: unknown, path: string): readonly string[] {
  if (isScalar(node)) return [path];
  if (!isCollection(node)) return [];
  if (isSeq(node)) return node.items.flatMap((item, j) => pathsIn(item, `${path}[${j}]`));
  if (!isMap(node)) return [];
  return node.items.flatMap(({ key, value }) => {
    const name = isScalar(key) ? String(key.value) : "";
    return pathsIn(value, path === "" ? name : `${path}.${name}`);
  });
}

const paths = pathsIn(parseDocument(hand).contents, "").filter(
  (path) => !/^(cases|coldturn|name)/.test(path),
);

const hasDefault = new Set(
  describeSchema().flatMap((field) => (field.default === undefined ? [] : [field.path])),
);

/** Fields whose absence means something by itself, said in the check's assumptions or in the schema. */
const meansSomething: readonly string[] = [
  "duty.throttle.lowest",
  "duty.close_within.no_faster_than",
  "duty.margin_phase",
  "duty.open_within.definition",
  "duty.close_within.definition",
  "drive.command.kind",
  // Rows of tables: the curve has one point fewer, or falls back to the shipped or computed one.
  "valve.characteristic[].angle",
  "valve.characteristic[].flow_coefficient",
  "valve.recovery[].angle",
  "valve.recovery[].factor",
  "valve.hydrodynamic.curve[].angle",
  "valve.hydrodynamic.curve[].coefficient",
];

const general = (path: string) => path.replace(/\[\d+\]/g, "[]");

function checksOf(answers: readonly Answer[]): readonly Check[] {
  return answers.flatMap(({ checks }) => checks);
}

describe("one field taken out", () => {
  let whole: readonly Check[] = [];
  beforeAll(async () => {
    whole = checksOf(await answersTo({ samples: 0 }));
  });

  const strict = paths.filter(
    (path) => !hasDefault.has(general(path)) && !meansSomething.includes(general(path)),
  );

  it("covers most fields of the valve", () => {
    expect(strict.length).toBeGreaterThan(45);
  });

  it.each(strict)("%s: each check keeps its value or is not known and names what it needs", async (path) => {
    const answers = await answersTo({ edits: { [path]: undefined }, samples: 0 });
    checksOf(answers).forEach((check, j) => {
      const before = whole[j];
      if (check.kind === "unknown") expect(check.needs.length).toBeGreaterThan(0);
      else
        expect([check.id, check.kind === "known" && check.value]).toEqual([
          before?.id,
          before?.kind === "known" && before.value,
        ]);
    });
  });
});

describe("values at random", () => {
  const scaled = paths.filter((path) => {
    const value = parseDocument(hand).getIn(path.replace(/\[(\d+)\]/g, ".$1").split("."));
    return (
      /^[\d.]+( |$)/.test(String(value)) &&
      !/travel|temperature|pressure|probability|characteristic|recovery|curve|cycles/.test(path)
    );
  });
  const edits: fc.Arbitrary<Edits> = fc
    .array(
      fc.record({
        path: fc.constantFrom(...scaled),
        // Half, double, or not there; a zero where the field allows it is among the edges of stall.test.ts.
        factor: fc.oneof(fc.double({ min: 0.5, max: 2, noNaN: true }), fc.constant(undefined)),
      }),
      { minLength: 1, maxLength: 6 },
    )
    .map((changes) => {
      const document = parseDocument(hand);
      return Object.fromEntries(
        changes.map(({ path, factor }) => {
          const text = String(document.getIn(path.replace(/\[(\d+)\]/g, ".$1").split(".")));
          const [number = "0", ...unit] = text.split(" ");
          return [path, factor === undefined ? undefined : [Number(number) * factor, ...unit].join(" ")];
        }),
      );
    });

  it("every answer has its form; a refusal says what to mend", async () => {
    let answered = 0;
    await fc.assert(
      fc.asyncProperty(edits, async (changed) => {
        let answers: readonly Answer[];
        try {
          answers = await answersTo({ edits: changed, samples: 3 });
        } catch (error) {
          // A value outside its bounds, or a valve that cannot be built.
          if (error instanceof Refusal || (error instanceof Error && error.message.startsWith("refused:")))
            return;
          throw error;
        }
        answered++;
        for (const check of checksOf(answers)) {
          expect(checkWords(check)).not.toMatch(/NaN|undefined/);
          if (check.kind === "known")
            expect([check.id, Number.isFinite(check.value)]).toEqual([check.id, true]);
        }
        for (const { sentence } of answers) expect(sentence).not.toMatch(/NaN|undefined/);
      }),
      { numRuns: 150, seed: 7 },
    );
    expect(answered).toBeGreaterThan(100);
  });
});
