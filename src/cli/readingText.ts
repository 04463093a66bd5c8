/** How the program read the uncertain values: by law, each in one form, whatever way it was written. */
import { uncertainInputs } from "../dossier/index.js";
import type { OpenDossier } from "../host/index.js";
import {
  type Declared,
  formatQuantity,
  formatUncertain,
  type Law,
  type Pressure,
} from "../quantity/index.js";
import { type Page, padded, paragraph, widthOf } from "./page.js";

type Uncertain = Exclude<Law["kind"], "exact">;

const laws: readonly { readonly kind: Uncertain; readonly words: string }[] = [
  { kind: "normal", words: "Normal law; behind +/- its standard uncertainty" },
  { kind: "uniform", words: "Each value between the two equally likely" },
  { kind: "triangular", words: "Triangular law; the most likely value, then its limits" },
];

/** The values that the case in question rests on, grouped by law. */
export function readingLines(page: Page, { dossier, caseId }: OpenDossier): readonly string[] {
  const inputs = uncertainInputs(dossier).filter(({ path }) => counts(path, caseId, dossier));
  const width = Math.max(0, ...inputs.map(({ path }) => widthOf(path))) + 2;
  return laws.flatMap(({ kind, words }) => {
    const group = inputs.filter(({ declared }) => declared.law.kind === kind);
    if (group.length === 0) return [];
    return [
      ...paragraph(page, `${words}:`, "  "),
      ...group.flatMap(({ path, declared }) =>
        paragraph(page, spreadWords(declared, ambientOf(dossier)), `    ${padded(path, width)}`),
      ),
    ];
  });
}

/** Conditions of other cases do not count; nor do those of the duty for a case. */
function counts(path: string, caseId: string, { valve }: OpenDossier["dossier"]): boolean {
  const position = /^cases\[(\d+)\]/.exec(path)?.[1];
  if (position !== undefined) return valve.cases?.[Number(position)]?.id === caseId;
  const isConditionOfDuty = path.startsWith("duty.") || path.startsWith("line.");
  return caseId === "duty" || !isConditionOfDuty;
}

/** The atmosphere that the gauge pressures of the file count from. */
function ambientOf({ valve }: OpenDossier["dossier"]): Atmosphere {
  const ambient = valve.duty?.ambient_pressure?.value;
  return ambient === undefined ? {} : { ambientPressure: ambient as Pressure };
}

type Atmosphere = { readonly ambientPressure?: Pressure };

function spreadWords({ law, value, dimension, unit }: Declared, atmosphere: Atmosphere): string {
  const style = unit === "" ? {} : { unit };
  const one = (si: number): string => formatQuantity(si, dimension, style, atmosphere);
  switch (law.kind) {
    case "exact":
      return one(value);
    case "normal":
      return formatUncertain(law.mean, law.deviation, dimension, style, atmosphere);
    case "uniform":
      return `${one(law.low)} to ${one(law.high)}`;
    case "triangular":
      return `${one(law.mode)}, ${one(law.low)} to ${one(law.high)}`;
  }
}
