/** Fields of the valve file about tests: what they measure with, what they cost, what they must show. */
import type { Bounds } from "../quantity/index.js";
import { choice, list, quantity, section } from "./field.js";
import { leakClassIds } from "./leakClass.js";

const notNegative: Bounds = { min: 0 };
const positive: Bounds = { minExclusive: 0 };

/** Kinds of test that can be made next. */
export const testKinds = [
  "dry",
  "pressurised",
  "nitrogen",
  "oxygen",
  "motor alone",
  "gearbox alone",
  "stem locked",
] as const;
export type TestKind = (typeof testKinds)[number];

/** Classes that the leakage of the seats is held against. */
export const leakageFields = section(
  {
    ambient: choice(leakClassIds, "Class of seat leakage that the valve must keep at ambient temperature."),
    cold: choice(leakClassIds, "Class of seat leakage that the valve must keep at its cold temperature."),
  },
  "Classes of seat leakage.",
);

/** How a case that tests the seats for leakage is made. */
export const leakTestFields = section(
  {
    volume: quantity("volume", positive, "Closed gas volume whose pressure is logged.", "0.85 L +/- 2 %"),
    side: choice(
      ["upstream", "downstream"],
      "`upstream`: the closed volume loses the leak; `downstream`: it gains it.",
    ),
  },
  "A leak test by the change of pressure in a closed gas volume; the log needs its pressure and temperature.",
);

/** What the logs are reduced with, beside the calibrations of their own sensors. */
export const instrumentFields = section(
  {
    torque_shaft: section(
      {
        diameter: quantity(
          "length",
          positive,
          "Diameter of the shaft under the strain gauges.",
          "14 mm tol 0.02 mm",
        ),
        bore: quantity("length", notNegative, "Diameter of a bore through it; 0 for a solid shaft.", "0 mm"),
        shear_modulus: quantity(
          "stress",
          positive,
          "Shear modulus of the shaft at its temperature, E/(2 (1 + nu)).",
          "75 GPa +/- 1.5 GPa",
        ),
        reading: choice(
          ["one gauge", "sum of four"],
          "What the logged strain is: `one gauge` where the logger has divided by the arms of the bridge, `sum of four` for the bare reading of a full bridge.",
        ),
      },
      "Shaft with strain gauges at 45 degrees to its axis.",
    ),
    lags: list(
      {
        channel: choice(
          [
            "angle",
            "motor_current",
            "supply_voltage",
            "flow",
            "torque",
            "strain",
            "pressure_upstream",
            "pressure_downstream",
          ],
          "Channel of the log.",
        ),
        lag: quantity(
          "time",
          notNegative,
          "How late the channel shows a slow change: sensor and filter.",
          "1.6 ms +/- 0.3 ms",
        ),
      },
      "Delays of sensors and filters.",
    ),
  },
  "Instruments.",
);

/** What the tests cost that can be made next. */
export const plannedTests = list(
  {
    kind: choice(testKinds, "Kind of test."),
    duration: quantity("time", positive, "Time it takes, set-up included.", "4 h"),
    propellant: quantity("mass", notNegative, "Liquid it uses up.", "120 kg"),
  },
  "Tests that could be made next, with what they cost; their conditions are those of the case that fits.",
);
