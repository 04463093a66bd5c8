/** Lists behind question 11: what the logs were reduced to. */
import type { ReducedQuantity, Reduction } from "../evidence/index.js";
import { formatQuantity, formatUncertain, preferredUnit } from "../quantity/index.js";
import type { Table } from "./answer.js";
import type { Context } from "./context.js";

/** One table per run that was reduced; quantities that are not known are left to `coldturn reduce`. */
export function reductionTables({ evidence }: Context): readonly Table[] {
  return (evidence.reductions ?? []).flatMap((one) => [...quantityTable(one), ...frictionTable(one)]);
}

function quantityTable({ runId, strokes, leak }: Reduction): readonly Table[] {
  const rows = [
    ...strokes.flatMap(({ sense, times, quantities }, k) =>
      [...times, ...quantities].flatMap((one) =>
        rowOf(one, strokes.length > 1 ? `${sense ?? ""} ${k + 1}: ` : ""),
      ),
    ),
    ...(leak === undefined ? [] : rowOf(leak, "")),
  ];
  return rows.length === 0
    ? []
    : [
        {
          title: `Run ${runId}: reduced from the log`,
          columns: ["quantity", "value and standard uncertainty", "95 % interval", "most uncertain by"],
          rows,
        },
      ];
}

function rowOf(one: ReducedQuantity, lead: string): readonly (readonly string[])[] {
  if (!one.known) return [];
  const { name, value, standardUncertainty: u, dimension, interval95, contributions } = one;
  const unit =
    dimension === "time"
      ? "ms"
      : dimension === "flow coefficient"
        ? "Kv"
        : dimension === "volume flow"
          ? "mL/min"
          : preferredUnit(value, dimension);
  const shown =
    u > 0 ? formatUncertain(value, u, dimension, { unit }) : formatQuantity(value, dimension, { unit });
  const ends = interval95.map((end) =>
    formatQuantity(end, dimension, { unit, ...(u > 0 ? { uncertainty: u } : {}) }),
  );
  return [[`${lead}${name}`, shown, u > 0 ? ends.join(" to ") : "", contributions[0]?.name ?? ""]];
}

function frictionTable({ runId, friction }: Reduction): readonly Table[] {
  if (friction === undefined) return [];
  const torque = (value: number, u: number) =>
    formatUncertain(value, Math.max(u, 1e-6), "torque", { unit: "N m" });
  return [
    {
      title: `Run ${runId}: friction and torque of the fluid, by direction`,
      columns: ["opening", "speed", "friction", "fluid, towards closed"],
      rows: friction.points.map((one) => [
        formatQuantity(one.angle_rad, "angle", { unit: "deg", digits: 3 }),
        formatQuantity(one.speed_rad_s, "angular speed", { digits: 3 }),
        torque(one.friction_Nm, one.frictionUncertainty_Nm),
        torque(one.fluid_Nm, one.fluidUncertainty_Nm),
      ]),
    },
  ];
}
