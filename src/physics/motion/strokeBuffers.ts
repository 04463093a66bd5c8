/** Storage of one stroke, which the next one of the same owner uses again: a band runs tens of thousands. */
import { ledgerEntries } from "./ledger.js";
import { jacobianWidth, pointWidth } from "./slipEquations.js";
import { pathWidth } from "./stepPath.js";

export class StrokeBuffers {
  readonly points = new Float64Array(3 * pointWidth);
  readonly jacobian = new Float64Array(jacobianWidth);
  readonly path = new Float64Array(pathWidth);
  readonly sums = new Float64Array(ledgerEntries.length);
}
