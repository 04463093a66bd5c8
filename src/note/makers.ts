/** The steps of each check, by its id; in the order of the questions. */
import { boundaryMakers } from "./of/boundary.js";
import { coldMakers } from "./of/cold.js";
import { flowMakers } from "./of/flow.js";
import { heatMakers } from "./of/heat.js";
import { holdingMakers } from "./of/holding.js";
import { lineMakers } from "./of/line.js";
import { openingMakers } from "./of/opening.js";
import { oxygenMakers } from "./of/oxygen.js";
import { startMakers } from "./of/start.js";
import { strengthMakers } from "./of/strength.js";
import { testMakers } from "./of/tests.js";
import { trappedMakers } from "./of/trapped.js";
import { turningMakers } from "./of/turning.js";
import type { Maker } from "./workings.js";

const counted =
  (words: string): Maker =>
  (steps, _, check, value) => {
    steps.given("n", words, check.dimension, value, "parts and materials as declared, data/solids");
  };

/** Of every check; one without an entry has no note, and a test says so. */
export const makers: Readonly<Record<string, Maker>> = {
  ...flowMakers,
  ...turningMakers,
  ...openingMakers,
  ...holdingMakers,
  ...strengthMakers,
  "impact-toughness": counted("least lateral expansion of the tests at or below the temperature"),
  "torque-path-material": counted("parts whose metal may be brittle, accepted by nobody"),
  ...boundaryMakers,
  ...coldMakers,
  ...heatMakers,
  "min-temp-material": counted(
    "declared loaded parts at or below the temperature at which their material turns brittle",
  ),
  ...trappedMakers,
  ...oxygenMakers,
  ...lineMakers,
  ...startMakers,
  ...testMakers,
};
