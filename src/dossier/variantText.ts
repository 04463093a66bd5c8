/**
 * The valve file of a dossier with other parts in place, as text: what was written stays as it was, its
 * comments with it, but for the sections of the parts that are exchanged (withParts.ts).
 */
import { type Document, isSeq, parseDocument } from "yaml";
import { type Declared, dimensions } from "../quantity/index.js";
import type { Dossier } from "./dossier.js";
import { itemAt } from "./path.js";
import { ofTheBattery, ofTheValve, type PartsInPlace, withParts } from "./withParts.js";

/** The text of a changed copy. @param dossier as read of the text;  @param why  said in the first line */
export function variantText(text: string, dossier: Dossier, parts: PartsInPlace, why: string): string {
  const changed = withParts(dossier, parts).valve;
  const document = parseDocument(text);
  const { valve, motor, stages, battery, command } = parts;
  const remove = (at: readonly string[]) => {
    if (document.hasIn(at)) document.deleteIn(at);
  };
  if (valve !== undefined) {
    for (const name of ofTheValve) remove(["valve", ...name.split(".")]);
    document.setIn(["valve", "part"], valve.name);
    for (const path of ["valve.seat.preload", "valve.packing.torque"]) {
      // The reader puts nothing but a declared value at a quantity field.
      const declared = itemAt(changed, path) as Declared | undefined;
      if (declared !== undefined && declared !== itemAt(dossier.valve, path))
        document.setIn(path.split("."), flow(document, written(declared)));
    }
  }
  if (motor !== undefined) document.setIn(["drive", "motor"], flow(document, { part: motor.name }));
  if (stages !== undefined)
    document.setIn(
      ["drive", "stages"],
      document.createNode(stages.map(({ name }) => ({ name, part: name }))),
    );
  if (battery !== undefined) {
    for (const name of ofTheBattery) remove(["drive", "supply", name]);
    document.setIn(["drive", "supply", "part"], battery.name);
  }
  if (command !== undefined) {
    document.setIn(["drive", "command", "kind"], command.kind);
    for (const [path, declared] of Object.entries(command.values))
      document.setIn(path.split("."), flow(document, written(declared)));
  }
  removeCorrelations(document, changed.correlations ?? []);
  return `# ${why}\n${document.toString({ lineWidth: 0 })}`;
}

/** Rows that tie a value that is no more. */
function removeCorrelations(
  document: Document,
  kept: readonly { readonly first?: string | undefined; readonly second?: string | undefined }[],
): void {
  const rows = document.get("correlations");
  if (!isSeq(rows)) return;
  const at = (row: unknown, name: string): unknown =>
    typeof row === "object" && row !== null && "get" in row && typeof row.get === "function"
      ? row.get(name)
      : undefined;
  rows.items = rows.items.filter((row) =>
    kept.some(({ first, second }) => first === at(row, "first") && second === at(row, "second")),
  );
  if (rows.items.length === 0) document.delete("correlations");
}

/** A node in one line. */
function flow(document: Document, value: unknown): unknown {
  const node = document.createNode(value);
  if (typeof value === "object") Reflect.set(node, "flow", true);
  return node;
}

/** A declared value as the file has it, in SI; so that the reader finds the same law. */
function written({ value, law, dimension, because }: Declared): unknown {
  const { si } = dimensions[dimension];
  const say = (number: number) => `${number} ${si}`.trim();
  const reason = because === undefined ? {} : { because };
  switch (law.kind) {
    case "exact":
      return because === undefined ? say(value) : { value: say(value), ...reason };
    case "normal":
      return because === undefined
        ? `${say(value)} +/- ${say(law.deviation)}`
        : { value: `${say(value)} +/- ${say(law.deviation)}`, ...reason };
    case "uniform":
      return { from: say(law.low), to: say(law.high), ...reason };
    case "triangular":
      return { nominal: say(law.mode), low: say(law.low), high: say(law.high), ...reason };
  }
}
