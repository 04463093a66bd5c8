/** The register of hazards in question 12 and on the sheet. */
import { hazardTexts } from "../dossier/index.js";
import type { Answer, Table } from "./answer.js";
import type { Context } from "./context.js";
import { type Hazard, registerOf } from "./hazardRegister.js";

/** Hazards with what is open, one by one. */
function hazardTable(hazards: readonly Hazard[]): Table {
  return {
    title: "Hazards",
    columns: ["hazard", "cause", "effect", "control", "evidence", "who verifies", "open"],
    rows: hazards.map(({ name, texts, open }) => [
      name,
      ...hazardTexts.map((key) => (texts[key] === "" ? "not given" : texts[key])),
      open.join("; "),
    ]),
  };
}

/** What question 12 says of the register; undefined where the dossier has none. */
export function hazardFinding(
  { evidence: { hazards: kept, day = "" }, prediction: { caseId } }: Context,
  answers: readonly Answer[],
): { readonly sentence: string; readonly tables: readonly Table[]; readonly isOpen: boolean } | undefined {
  if (kept === undefined) return undefined;
  const { file, digest } = kept;
  if (file.caseId !== caseId)
    return {
      sentence: `The register of hazards is of ${file.caseId}, and says nothing here.`,
      tables: [],
      isOpen: true,
    };
  const faults = file.faults.map(({ where: { line }, found }) => `line ${line ?? "unknown"}: ${found}`);
  const { hazards } = registerOf(file, answers, day, digest);
  const open = hazards.filter((hazard) => hazard.open.length > 0);
  return {
    sentence: `Of ${hazards.length} hazards in the register ${open.length} ${open.length === 1 ? "is" : "are"} open${faults.length === 0 ? "" : `; hazards.yaml has faults (${faults.join("; ")})`}.`,
    tables: [hazardTable([...open, ...hazards.filter((hazard) => hazard.open.length === 0)])],
    isOpen: open.length + faults.length > 0,
  };
}
