/** Units of the numbers in a record. */
import type { Dimension } from "../quantity/index.js";

/** Coherent SI units of the dimensions in which checks are made; "" for a bare ratio. */
const siUnits: Partial<Record<Dimension, string>> = {
  ratio: "",
  torque: "N m",
  time: "s",
  mass: "kg",
  "mass flow": "kg/s",
  "volume flow": "m3/s",
  speed: "m/s",
  temperature: "K",
  voltage: "V",
  number: "",
  angle: "rad",
  current: "A",
  pressure: "Pa(a)",
  length: "m",
  area: "m2",
  force: "N",
  stress: "Pa",
  "fracture toughness": "Pa√m",
  power: "W",
  "temperature difference": "K",
  "pressure difference": "Pa",
  resistance: "ohm",
};

/** SI unit of a check's numbers; undefined for a dimension in which no check is made. */
export function siUnitOf(dimension: Dimension): string | undefined {
  return siUnits[dimension];
}
