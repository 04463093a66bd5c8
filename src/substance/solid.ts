/** The solids: one record for each data file, found by its name or an alias. */
import steel174ph from "../../data/solids/17-4ph.json" with { type: "json" };
import steel440c from "../../data/solids/440c.json" with { type: "json" };
import a286 from "../../data/solids/a286.json" with { type: "json" };
import alloy400 from "../../data/solids/alloy-400.json" with { type: "json" };
import alloy718 from "../../data/solids/alloy-718.json" with { type: "json" };
import alloyK500 from "../../data/solids/alloy-k500.json" with { type: "json" };
import aluminium6061T6 from "../../data/solids/aluminium-6061-t6.json" with { type: "json" };
import berylliumCopper from "../../data/solids/beryllium-copper.json" with { type: "json" };
import brass from "../../data/solids/brass.json" with { type: "json" };
import bronze from "../../data/solids/bronze.json" with { type: "json" };
import carbonSteel from "../../data/solids/carbon-steel.json" with { type: "json" };
import copperOfhc from "../../data/solids/copper-ofhc.json" with { type: "json" };
import g10crNormal from "../../data/solids/g-10cr-normal.json" with { type: "json" };
import g10crWarp from "../../data/solids/g-10cr-warp.json" with { type: "json" };
import invar36 from "../../data/solids/invar-36.json" with { type: "json" };
import nickelSteel9 from "../../data/solids/nickel-steel-9.json" with { type: "json" };
import nylon from "../../data/solids/nylon.json" with { type: "json" };
import pctfe from "../../data/solids/pctfe.json" with { type: "json" };
import peek from "../../data/solids/peek.json" with { type: "json" };
import peekFilled from "../../data/solids/peek-filled.json" with { type: "json" };
import ptfe from "../../data/solids/ptfe.json" with { type: "json" };
import ptfeFilled from "../../data/solids/ptfe-filled.json" with { type: "json" };
import stainless304 from "../../data/solids/stainless-304.json" with { type: "json" };
import stainless316 from "../../data/solids/stainless-316.json" with { type: "json" };
import ti6al4v from "../../data/solids/ti-6al-4v.json" with { type: "json" };
import uhmwpe from "../../data/solids/uhmwpe.json" with { type: "json" };
import { nearName, refuse } from "../fault/index.js";
import type { SolidFile } from "./solidFile.js";

/**
 * To add a solid: its file in data/solids/ and its line here; reference rows in test/reference/solids.json.
 * The tests read every file through its schema.
 */
const files = [
  stainless304,
  stainless316,
  aluminium6061T6,
  ti6al4v,
  alloy718,
  a286,
  alloyK500,
  alloy400,
  steel174ph,
  steel440c,
  invar36,
  nickelSteel9,
  carbonSteel,
  copperOfhc,
  brass,
  bronze,
  berylliumCopper,
  ptfe,
  ptfeFilled,
  pctfe,
  peek,
  peekFilled,
  uhmwpe,
  nylon,
  g10crNormal,
  g10crWarp,
] as readonly unknown[] as readonly SolidFile[];

/** A metal, polymer or composite. Its values are asked for through solidProperty.ts. */
export interface Solid {
  readonly id: string;
  readonly name: string;
  readonly kind: SolidFile["kind"];
  readonly file: SolidFile;
  /** The solid whose contraction has the same shape, where the file gives a total only. */
  readonly shape?: Solid;
}

/** Names of all solids, in the order of the list. */
export const solidNames: readonly string[] = files.map(({ id }) => id);

/**
 * The solid of a name or alias ("stainless-316", "316L"), whatever its case.
 * @param own  further data files, such as those of a team's own parts folder; they go first
 * Refuses     a name that is not in the list, with the nearest one that is
 */
export function solid(name: string, own: readonly SolidFile[] = []): Solid {
  const wanted = plain(name);
  const all = [...own, ...files];
  const found = all.find((file) => namesOf(file).some((known) => plain(known) === wanted));
  if (found !== undefined) return solidOf(found, own);
  return refuse(
    "unknown-solid",
    `"${name}" is not a solid on file`,
    `Solids on file: ${all.map(({ id }) => id).join(", ")}.`,
    "Write one of these names, or add the solid as a data file.",
    nearName(name, all.flatMap(namesOf)),
  );
}

/** True where a name is that of a solid on file. @param own  further data files, of a team */
export function isSolidName(name: string, own: readonly SolidFile[] = []): boolean {
  return [...own, ...files].some((file) => namesOf(file).some((known) => plain(known) === plain(name)));
}

/** The solid of a data file. @param own  further data files that may give the shape of its contraction */
export function solidOf(file: SolidFile, own: readonly SolidFile[] = []): Solid {
  const { id, name, kind, contraction } = file;
  if (contraction.form !== "scaled") return { id, name, kind, file };
  const shape = solid(contraction.shape_of, own);
  if (shape.file.contraction.form === "scaled") {
    return refuse(
      "solid-shape-unknown",
      `the contraction of ${id} has the shape of ${shape.id}, which has none of its own`,
      "A contraction given as a total takes its shape from a solid with a fit or a table.",
      "Name such a solid in `shape_of`.",
    );
  }
  return { id, name, kind, file, shape };
}

function namesOf(file: SolidFile): readonly string[] {
  return [file.id, file.name, ...file.aliases];
}

function plain(name: string): string {
  return name.toLowerCase().replaceAll(/[\s_,-]/g, "");
}
