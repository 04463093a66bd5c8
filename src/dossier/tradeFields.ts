/** Fields of the trade of concepts, `trade`: what other ways to open the valve would have to work with. */
import type { Bounds } from "../quantity/index.js";
import { quantity, section, text } from "./field.js";

const positive: Bounds = { minExclusive: 0 };
const notNegative: Bounds = { min: 0 };
const share: Bounds = { minExclusive: 0, max: 1 };

export const tradeFields = section(
  {
    flux_density: quantity(
      "number",
      positive,
      "Flux density in the gap of a solenoid, in tesla; iron is full beyond some 2.",
      "1.2",
    ),
    force_margin: quantity(
      "ratio",
      notNegative,
      "Force of a solenoid over that of the pressure, less one.",
      "0.5",
    ),
    pilot_bore: quantity("length", positive, "Bore of the pilot of a piloted valve.", "2 mm"),
    pilot_least_drop: quantity(
      "pressure difference",
      positive,
      "Drop that keeps a piloted poppet open.",
      "0.5 bar",
    ),
    gas: text("Gas of a pneumatic actuator, a name of the shipped fluids.", "nitrogen"),
    gas_pressure: quantity("pressure difference", positive, "Its pressure above the atmosphere.", "6 bar"),
    gas_temperature: quantity("temperature", {}, "Its temperature.", "293 K"),
    torque_margin: quantity(
      "ratio",
      notNegative,
      "Torque of a pneumatic actuator over that of the valve, less one.",
      "0.5",
    ),
    actuator_efficiency: quantity("ratio", share, "Share of the gas's work that turns the valve.", "0.85"),
    disc_strength: quantity(
      "stress",
      positive,
      "Ultimate strength of a burst disc at its temperature.",
      "550 MPa",
    ),
    firing_current: quantity("current", positive, "Firing current of a pyrotechnic charge.", "5 A"),
  },
  "What other ways to open the valve are reckoned with; `coldturn trade` holds them against each other.",
);
