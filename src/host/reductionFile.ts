/** runs/<id>/reduction.json: what a run was reduced to. */
import type { Reduction } from "../evidence/index.js";
import { kept } from "./keptFile.js";

/** Reductions, kept as src/host/keptFile.ts says. */
export const keptReduction = kept<Reduction>("reduction.json", "coldturn-reduction/1");
