/** Pictures of the flow: mass flow, drop and flow coefficient against opening. */
import type { Figure, Mark } from "../picture/index.js";
import type { Context } from "./context.js";
import { inUnit } from "./inUnit.js";
import { quantityWords, valueWords } from "./words.js";

/** The figures of question 1; none where no liquid flows. */
export function flowFigures({ prediction, duty }: Context): readonly Figure[] {
  const { flow } = prediction.nominal;
  if (flow === undefined) return [];
  const angle = inUnit(flow.angle_rad, "angle", "deg");
  const x = { label: "Opening from closed", unit: "deg" };
  const marks = chokedRegions(angle, flow.choked);
  const last = angle.length - 1;
  const open = valueWords(flow.massFlow_kg_s[last] ?? 0, undefined, "mass flow", "kg/s");
  const drop = valueWords(flow.drop_Pa[last] ?? 0, undefined, "pressure difference");
  const choked = chokedWords(angle, flow.choked);
  const wanted = duty.mass_flow?.value;
  const budget = duty.largest_valve_drop?.value;
  return [
    {
      kind: "plot",
      id: "flow-mass",
      title: "Mass flow against opening",
      words: `Mass flow of the installed valve against opening: ${open} wide open${wanted === undefined ? "" : `, wanted ${quantityWords(wanted, "mass flow", "kg/s")}`}. ${choked}`,
      x,
      y: { label: "Mass flow", unit: "kg/s" },
      marks: [
        ...marks,
        { kind: "line", role: "prediction", label: "mass flow", x: angle, y: flow.massFlow_kg_s },
        ...limitLine(wanted, "wanted flow", "below"),
      ],
    },
    {
      kind: "plot",
      id: "flow-drop",
      title: "Drop across the valve against opening",
      words: `Drop across the valve against opening: the whole pressure difference while closed, ${drop} wide open${budget === undefined ? "" : `, at most ${quantityWords(budget, "pressure difference")} wanted there`}. ${choked}`,
      x,
      y: { label: "Drop across the valve", unit: "bar" },
      marks: [
        ...marks,
        {
          kind: "line",
          role: "prediction",
          label: "drop",
          x: angle,
          y: inUnit(flow.drop_Pa, "pressure difference", "bar"),
        },
        ...limitLine(
          budget === undefined ? undefined : inUnit([budget], "pressure difference", "bar")[0],
          "largest drop wide open",
          undefined,
        ),
      ],
    },
    {
      kind: "plot",
      id: "flow-coefficient",
      title: "Flow coefficient against opening",
      words: `Flow coefficient of the valve alone against opening: ${valueWords(flow.coefficient_m2[last] ?? 0, undefined, "flow coefficient")} wide open, nothing below ${firstFlow(angle, flow.massFlow_kg_s)} deg.`,
      x,
      y: { label: "Flow coefficient", unit: "Kv" },
      marks: [
        {
          kind: "line",
          role: "prediction",
          label: "flow coefficient",
          x: angle,
          y: inUnit(flow.coefficient_m2, "flow coefficient", "Kv"),
        },
      ],
    },
  ];
}

function limitLine(
  value: number | undefined,
  label: string,
  forbidden: "above" | "below" | undefined,
): readonly Mark[] {
  if (value === undefined) return [];
  return [{ kind: "limit", axis: "y", value, label, ...(forbidden === undefined ? {} : { forbidden }) }];
}

/** Stretches of neighbouring openings at which the flow chokes. */
function chokedStretches(angle: readonly number[], choked: readonly boolean[]): readonly [number, number][] {
  const stretches: [number, number][] = [];
  angle.forEach((at, j) => {
    if (choked[j] !== true) return;
    const open = choked[j - 1] === true ? stretches.at(-1) : undefined;
    if (open === undefined) stretches.push([at, at]);
    else open[1] = at;
  });
  return stretches;
}

function chokedRegions(angle: readonly number[], choked: readonly boolean[]): readonly Mark[] {
  return chokedStretches(angle, choked).map((x, j) => ({
    kind: "region",
    role: "worse",
    ...(j === 0 ? { label: "choked" } : {}),
    x,
  }));
}

function chokedWords(angle: readonly number[], choked: readonly boolean[]): string {
  const stretches = chokedStretches(angle, choked);
  if (stretches.length === 0) return "The flow chokes at no opening.";
  return `The flow chokes ${stretches.map(([from, to]) => `from ${from.toFixed(1)} to ${to.toFixed(1)} deg`).join(" and ")}.`;
}

function firstFlow(angle: readonly number[], massFlow: readonly number[]): string {
  const j = massFlow.findIndex((flow) => flow > 0);
  return (angle[Math.max(j - 1, 0)] ?? 0).toFixed(1);
}
