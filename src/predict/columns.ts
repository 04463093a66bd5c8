/**
 * The figures that every sample of a band yields, in the order of a row. A figure that a sample does
 * not have is NaN: the time of a valve that does not open, the flow of a dry valve.
 *
 * To add a figure: one line here, and its value in row.ts.
 */
import { timeDefinitions } from "../physics/motion/index.js";
import type { Dimension } from "../quantity/index.js";
import { pathLevels } from "./strokes.js";

export interface Column {
  readonly id: string;
  readonly label: string;
  readonly dimension: Dimension;
}

const column = (id: string, label: string, dimension: Dimension): Column => ({ id, label, dimension });

export const openingColumns = timeDefinitions.map((row) =>
  column(`opening:${row.id}`, `opening time, ${row.label}`, "time"),
);
export const closingColumns = timeDefinitions.map((row) =>
  column(`closing:${row.id}`, `closing time, ${row.label}`, "time"),
);

/** Passing times of the levels that the band of the opening's path is drawn through. */
export const pathColumns = pathLevels.map((level) =>
  column(`opening-path:${level}`, `command to ${100 * level} % of the opening travel`, "time"),
);

export const columns: readonly Column[] = [
  column("mass-flow", "mass flow wide open", "mass flow"),
  column("valve-drop", "drop across the open valve", "pressure difference"),
  column("capacity-margin", "flow coefficient over the required one, less one", "ratio"),
  column("bore-velocity", "velocity in the bore", "speed"),
  column("choke-ratio", "drop over choking drop, at the worst operating opening", "ratio"),
  column("cavitation-ratio", "cavitation index over its onset, at the worst operating opening", "ratio"),
  column("flow-step", "largest flow change for the smallest sure angle step", "ratio"),
  column("breakaway-torque", "breakaway torque at the stem", "torque"),
  column("standstill-torque", "torque of the drive at standstill, at the stem", "torque"),
  column("breakaway-margin", "standstill torque over breakaway torque, less one", "ratio"),
  column("running-torque", "greatest running torque on opening", "torque"),
  column(
    "running-margin",
    "torque at the speed wanted over running torque, less one, at the worst opening",
    "ratio",
  ),
  column("closing-margin", "torque over that needed to close, less one, at the worst opening", "ratio"),
  column("torque-margin", "torque margin with the factors of NASA-STD-5017A, at the worst opening", "ratio"),
  column(
    "motorisation-margin",
    "torque over the motorisation requirement of ECSS-E-ST-33-01C, less one",
    "ratio",
  ),
  column("opens", "the drive opens the valve", "ratio"),
  ...openingColumns,
  ...pathColumns,
  column("stall-angle", "angle at which the drive stalls on opening", "angle"),
  column("lacking-torque", "torque lacking at the stem where it stalls", "torque"),
  column("closes", "the drive closes the valve", "ratio"),
  ...closingColumns,
  column("peak-current", "peak motor current", "current"),
  column("lowest-voltage", "lowest supply voltage", "voltage"),
  column("winding-temperature", "highest winding temperature over the duty", "temperature"),
  column("ledger-residual", "energy ledger residual over the largest entry", "ratio"),
];

/** Place of a figure in a row. */
export function columnIndex(id: string): number {
  return columns.findIndex((row) => row.id === id);
}
