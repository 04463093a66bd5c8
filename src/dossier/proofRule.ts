/** Proof and burst factors, as data with their source. To add a rule: its row in data/proof/factors.json. */
import file from "../../data/proof/factors.json" with { type: "json" };

/** Factors on the maximum expected pressure, gauge. */
export interface ProofRule {
  readonly name: string;
  readonly proof: number;
  /** Undefined where the rule names none. */
  readonly burst: number | undefined;
  /** "factors from memory". */
  readonly from: string;
}

/** Ids of the rules, in the order of the file. */
export const proofRuleIds: readonly string[] = file.rules.map(({ id }) => id);

/** @returns undefined for an unknown rule */
export function proofRule(id: string | undefined): ProofRule | undefined {
  const row = file.rules.find((one) => one.id === id);
  return row === undefined
    ? undefined
    : { name: row.name, proof: row.proof, burst: row.burst, from: `factors from ${row.from}` };
}
