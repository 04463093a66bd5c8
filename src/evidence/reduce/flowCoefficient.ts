/** Flow coefficient of the open valve from measured flow and drop. */
import type { Contributor } from "../../numerics/index.js";
import type { LogRecord } from "./record.js";
import { type ReducedDefinition, type ReducedQuantity, reduce } from "./reduced.js";
import { instantOf, type ReducedStroke } from "./stroke.js";

/** The liquid that flowed. */
export interface FlowingLiquid {
  readonly density: (T: number) => number;
  /** Where the log has no temperature of the fluid [K]. */
  readonly temperature_K: number;
  readonly temperatureUncertainty_K: number;
}

const definition: ReducedDefinition = {
  id: "flow-coefficient",
  name: "Flow coefficient wide open",
  dimension: "flow coefficient",
  equation: "C = m / sqrt(rho (p1 - p2)), or V sqrt(rho / (p1 - p2))",
  source: "iec60534-2-1, liquid flow without choking",
  assumptions: [
    "The taps sit at the valve: a line between them and the valve counts as part of it.",
    "The flow is not choked, and steady in the last quarter of the record.",
  ],
};

/** Share of the record behind the stroke that shows the steady flow. */
const steadyShare = 0.25;

/** Flow coefficient after an opening; not known where the log lacks a channel for it. */
export function flowCoefficient(
  record: LogRecord,
  stroke: ReducedStroke,
  liquid: FlowingLiquid | undefined,
  end_s: number,
): ReducedQuantity {
  const unknown = (because: string): ReducedQuantity => ({
    known: false,
    id: definition.id,
    name: definition.name,
    because,
  });
  if (stroke.sense !== "opening") return unknown("the stroke closes the valve");
  if (liquid === undefined) return unknown("no liquid flows in this case");
  const arrived = instantOf(stroke.events, "end of travel");
  if (arrived === undefined) return unknown("the ball does not reach the end of its travel");
  const from = end_s - steadyShare * (end_s - arrived.time_s);
  const of = (role: "flow" | "pressure_upstream" | "pressure_downstream" | "temperature_fluid") =>
    record.mean(role, from, end_s);
  const [flow, upstream, downstream] = [of("flow"), of("pressure_upstream"), of("pressure_downstream")];
  const lacking = [
    ...(flow === undefined ? ["the flow"] : []),
    ...(upstream === undefined ? ["the pressure upstream"] : []),
    ...(downstream === undefined ? ["the pressure downstream"] : []),
  ];
  if (flow === undefined || upstream === undefined || downstream === undefined)
    return unknown(`no channel holds ${lacking.join(" and ")}`);
  const drop = upstream.value - downstream.value;
  if (!(drop > 0)) return unknown("the pressure downstream is not below the one upstream");
  const temperature: Contributor = of("temperature_fluid") ?? {
    name: "temperature of the fluid, declared",
    value: liquid.temperature_K,
    standardUncertainty: liquid.temperatureUncertainty_K,
  };
  const isVolume = record.flowDimension === "volume flow";
  return reduce(
    definition,
    (x) => {
      const density = liquid.density(x[3] ?? 0);
      const over = Math.max((x[1] ?? 0) - (x[2] ?? 0), Number.MIN_VALUE);
      return isVolume ? (x[0] ?? 0) * Math.sqrt(density / over) : (x[0] ?? 0) / Math.sqrt(density * over);
    },
    [flow, upstream, downstream, temperature],
  );
}
