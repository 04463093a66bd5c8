/** The cautions that belong to a test of one case. */
import { conditionsOf, type Dossier } from "../dossier/index.js";
import { cautionsOf, hazardsOf } from "../question/index.js";

export function testCautions(dossier: Dossier, caseId: string): readonly string[] {
  const conditions = conditionsOf(dossier, caseId);
  const { fluid } = conditions;
  const hazards = hazardsOf(conditions);
  const dutyFluid = dossier.valve.duty?.fluid;
  return [
    ...cautionsOf("test", hazards),
    ...(hazards.has("cold") ? cautionsOf("cold", hazards) : []),
    ...(dutyFluid === undefined || dutyFluid === fluid
      ? []
      : [
          `The test was made ${fluid === undefined || fluid === "none" ? "dry" : `with ${fluid}`}, the duty is with ${dutyFluid}: it shows motion and torque, and nothing of what ${dutyFluid} does to materials.`,
        ]),
  ];
}
