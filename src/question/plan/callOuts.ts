/** What is called out before a run: the cautions of its stage, and the hazards of the register that its checks speak of. */
import { conditionsOf, type Dossier } from "../../dossier/index.js";
import { cautionsOf, hazardsOf } from "../cautions.js";
import type { Hazard } from "../hazardRegister.js";
import type { RunPlace, Stage } from "./stages.js";

/** Questions whose cautions a stage brings, those of the stages before it included. */
const cautionsBy: Readonly<Record<Stage, readonly string[]>> = {
  dry: ["turning", "opening", "impact"],
  pressurised: ["turning", "opening", "impact", "test", "flow", "line"],
  nitrogen: ["turning", "opening", "impact", "test", "flow", "line", "cold", "trapped"],
  propellant: ["turning", "opening", "impact", "test", "flow", "line", "cold", "trapped", "oxygen", "start"],
};
const leakCautions = ["test", "flow", "cold", "trapped"];
const benchCautions = ["turning"];

/** Cautions of a run, those that matter most in its stage first. */
export function cautionsFor(dossier: Dossier, { stage, kind, caseId }: RunPlace): readonly string[] {
  const conditions = conditionsOf(dossier, caseId);
  const hazards = hazardsOf(conditions);
  const ids =
    kind === "stroke"
      ? cautionsBy[stage]
      : kind === "leak"
        ? leakCautions.filter((id) => cautionsBy[stage].includes(id))
        : benchCautions;
  // What a stage adds stands first: it is what nobody has met yet.
  const found = [...ids].reverse().flatMap((id) => cautionsOf(id, hazards));
  const duty = hazardsOf(dossier.valve.duty ?? {});
  const ticksNothing =
    stage !== "propellant" && duty.has("oxidiser")
      ? [
          `A run ${conditions.fluid === "none" ? "without fluid" : `with ${conditions.fluid ?? "this fluid"}`} ticks nothing for an oxidiser: it shows nothing of ignition.`,
        ]
      : [];
  return [...new Set([...ticksNothing, ...found, ...cautionsOf("stand", hazards)])];
}

/** A hazard of the register as a card shows it. */
export interface CalledHazard {
  readonly name: string;
  readonly cause: string;
  readonly control: string;
  readonly open: readonly string[];
}

/** Hazards of the register whose check is one of a run's, open ones first. @param names of those checks */
export function hazardsFor(register: readonly Hazard[], names: ReadonlySet<string>): readonly CalledHazard[] {
  return register
    .filter(({ name, check }) => check !== undefined && names.has(name))
    .map(({ name, texts, open }) => ({ name, cause: texts.cause, control: texts.control, open }))
    .sort((a, b) => Number(b.open.length > 0) - Number(a.open.length > 0));
}
