/** Two input spaces as one: the slots and inputs of the second behind those of the first. */
import type { InputSpace } from "./inputs.js";

/** @param second without correlations of its own: the copula of the first acts on the first inputs */
export function joinedSpace(first: InputSpace, second: InputSpace): InputSpace {
  const offset = first.nominal.length;
  const nominal = new Float64Array(offset + second.nominal.length);
  nominal.set(first.nominal);
  nominal.set(second.nominal, offset);
  return {
    inputs: [
      ...first.inputs,
      ...second.inputs.map(({ path, members }) => ({
        path,
        members: members.map(({ slot, declared }) => ({ slot: slot + offset, declared })),
      })),
    ],
    nominal,
    paths: [...first.paths, ...second.paths],
    declared: [...first.declared, ...second.declared],
    copula: first.copula,
    notices: [...first.notices, ...second.notices],
  };
}
