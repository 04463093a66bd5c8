/** The cautions that belong to a test of one case. */
import { conditionsOf, type Dossier } from "../dossier/index.js";
import { cautions } from "../question/index.js";

/** Below this, frost, cold burns and boil-off are at hand [K]. */
const coldBelow = 200;

export function testCautions(dossier: Dossier, caseId: string): readonly string[] {
  const { fluid, valve_temperature, fluid_temperature } = conditionsOf(dossier, caseId);
  const temperature = valve_temperature?.value ?? fluid_temperature?.value ?? Number.POSITIVE_INFINITY;
  const dutyFluid = dossier.valve.duty?.fluid;
  return [
    ...(cautions.test ?? []),
    ...(temperature < coldBelow ? (cautions.cold ?? []) : []),
    ...(dutyFluid === undefined || dutyFluid === fluid
      ? []
      : [
          `The test was made ${fluid === undefined || fluid === "none" ? "dry" : `with ${fluid}`}, the duty is with ${dutyFluid}: it shows motion and torque, and nothing of what ${dutyFluid} does to materials.`,
        ]),
  ];
}
