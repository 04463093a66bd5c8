/** The torque margin rules that are shipped, as data with clause and factors. */
import ecss from "../../data/margins/ecss-e-st-33-01c.json" with { type: "json" };
import nasa from "../../data/margins/nasa-std-5017a.json" with { type: "json" };
import type { ValveFile } from "./schema.js";

/** Factors of both rules, for the phase the user names. */
export interface MarginRules {
  readonly nasa: {
    readonly known: number;
    readonly variable: number;
    readonly phase: string;
    readonly clause: string;
  };
  readonly ecss: {
    readonly factors: Readonly<Record<keyof typeof ecss.components, number>> & {
      readonly overall: number;
      readonly dynamic: number;
      readonly deliverable: number;
    };
    readonly basis: "theoretical" | "measured";
    readonly clause: string;
  };
}

/** How the factors came into the file. */
function sourceWords(from: string): string {
  return from === "memory" ? "factors from memory" : `factors ${from}`;
}

/**
 * Factors of the two rules. Before an acceptance test nothing counts as measured.
 * @param phase programme phase of the duty; left out: the preliminary one, the hardest
 */
export function marginRules(phase: NonNullable<ValveFile["duty"]>["margin_phase"]): MarginRules {
  const wanted = phase ?? "preliminary";
  const row = nasa.phases.find(({ id }) => id === wanted) ?? nasa.phases[0];
  const basis = wanted === "acceptance" ? "measured" : "theoretical";
  const { components } = ecss;
  return {
    nasa: {
      known: row?.known ?? Number.NaN,
      variable: row?.variable ?? Number.NaN,
      phase: row?.name ?? "",
      clause: `${nasa.name}, ${nasa.clause}, ${sourceWords(nasa.from)}`,
    },
    ecss: {
      factors: {
        inertia: components.inertia[basis],
        spring: components.spring[basis],
        magneticLosses: components.magneticLosses[basis],
        friction: components.friction[basis],
        hysteresis: components.hysteresis[basis],
        other: components.other[basis],
        adhesion: components.adhesion[basis],
        overall: ecss.overall,
        dynamic: ecss.dynamic,
        deliverable: ecss.deliverable,
      },
      basis,
      clause: `ECSS-E-ST-33-01C Rev.2, clause ${ecss.clause} and table ${ecss.table}, ${sourceWords(ecss.from)}`,
    },
  };
}
