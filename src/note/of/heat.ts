/** Question 6, heat through the extension. */
import { condensedAir } from "../../physics/heat/index.js";
import type { Temperature } from "../../quantity/index.js";
import { solidIntegral } from "../../substance/index.js";
import type { Steps } from "../steps.js";
import { type Maker, nominal, present } from "../workings.js";
import { contractionLine, inspection, valveTemperature } from "./cold.js";

/** Extension: how it is solved. */
function extensionMethod(steps: Steps): void {
  steps.method(
    "(k A T')' + q_air(T) = 0 for tube and stem on one grid of cells, conductivity at each cell's temperature, solved by Newton's method to a steady state; from there the gearbox and the motor as two nodes over the time in the cold (docs/theory/heat.md).",
    [],
    ["valve.cold.extension"],
  );
}

const gearbox =
  (figure: "gearbox" | "motor" | "packing"): Maker =>
  (steps, of, _, value) => {
    const { profile, extension } = of.own.heat;
    extensionMethod(steps);
    const words = { gearbox: "gearbox", motor: "motor", packing: "stem at the packing" }[figure];
    steps.part("Bounds by hand: the answer lies between valve and air");
    valveTemperature(steps, of);
    const air = present(profile, "profile").ambient_K;
    steps.given("T_air", "temperature of the air", "temperature", air, {
      path: "valve.cold.extension.ambient_temperature",
      words: "as declared",
    });
    if (figure === "packing") {
      steps.field("x", "valve.cold.extension.packing.at", "place of the packing from the cold end");
      steps.field("L", "valve.cold.extension.length", "length of the extension");
      steps.given(
        "T_g",
        "gearbox, steady",
        "temperature",
        nominal(extension.figures, "steadyGearbox"),
        "solved",
      );
      steps.step(
        "T_line",
        "straight between valve and gearbox, without heat from the air",
        "temperature",
        "T + (T_g - T) * min(x / L, 1)",
      );
    } else if (profile?.coldFor_s !== undefined) {
      steps.given(
        "T_steady",
        `${words}, steady: no colder than this`,
        "temperature",
        nominal(extension.figures, figure === "gearbox" ? "steadyGearbox" : "steadyMotor"),
        "solved",
      );
    }
    steps.part("The temperature");
    steps.given(
      "T_x",
      words,
      "temperature",
      value,
      figure === "packing" ? "steady" : "when the stroke begins",
    );
  };

const leak: Maker = (steps, of, _, value) => {
  const path = "valve.cold.extension";
  const given = present(of.valve.valve?.cold?.extension, "extension");
  extensionMethod(steps);
  steps.part(
    "Estimate by hand: (A/L) int k dT of tube and stem from valve to air, no heat from the air on the way",
  );
  const T = valveTemperature(steps, of);
  const air = present(of.own.heat.profile, "profile").ambient_K;
  steps.given("T_air", "temperature of the air", "temperature", air, {
    path: `${path}.ambient_temperature`,
    words: "as declared",
  });
  steps.field("L", `${path}.length`, "length of the extension");
  steps.field("D_t", `${path}.tube_outer_diameter`, "outer diameter of the tube");
  steps.field("w_t", `${path}.tube_wall`, "its wall");
  steps.field("d_s", "valve.stem.diameter", "diameter of the stem");
  const integral = (symbol: string, part: string, conductivity: string, material: string | undefined) => {
    if (of.declares(conductivity)) {
      steps.field(`k_${symbol}`, conductivity, `conductivity of the ${part}`);
      steps.step(
        `I_${symbol}`,
        `its integral over the temperatures`,
        { unit: "W/m" },
        `k_${symbol} * (T_air - T)`,
      );
      return;
    }
    const solid = of.solid(material);
    const { value: sum } = solidIntegral(solid, "conductivity", T as Temperature, air as Temperature);
    steps.given(
      `I_${symbol}`,
      `integral of the conductivity of the ${part}`,
      { unit: "W/m" },
      Math.abs(sum),
      { words: `data/solids/${solid.id}.json`, source: "nist-cryogenics-2010, conductivity" },
    );
  };
  integral("t", "tube", `${path}.tube_conductivity`, given.tube_material);
  integral("s", "stem", `${path}.stem_conductivity`, given.stem_material);
  steps.step("A_t", "section of the tube", "area", "pi * (D_t - w_t) * w_t");
  steps.step("A_s", "section of the stem", "area", "pi / 4 * d_s^2");
  steps.step(
    "Q_0",
    "heat of both by conduction alone; heat from the air raises the true one at the cold end, the resistance to the gearbox lowers it",
    "power",
    "A_t / L * I_t + A_s / L * I_s",
  );
  steps.part("The leak");
  steps.given("Q", "heat at the cold end, steady", "power", value, "solved");
};

const frost: Maker = (steps, of, check, value) => {
  const { profile, extension } = of.own.heat;
  extensionMethod(steps);
  if (check.dimension === "temperature") {
    steps.given(
      "T_out",
      "outside of the tube at the cold end",
      "temperature",
      value,
      "solved: conduction through frost against heat of the air",
    );
    steps.given(
      "T_ox",
      "boiling point of oxygen at one atmosphere",
      "temperature",
      condensedAir.oxygenBoils,
      { words: "equation of state", source: "schmidt-wagner-1985" },
    );
    return;
  }
  const path = "valve.cold.extension";
  const dew = present(profile, "profile").dewPoint_K;
  steps.part("Dew point");
  steps.field("T_air", `${path}.ambient_temperature`, "temperature of the air");
  steps.field("phi", `${path}.relative_humidity`, "relative humidity over water");
  steps.step("t_C", "temperature of the air in degC", { unit: "degC" }, "T_air - 273.15");
  steps.step(
    "e",
    "vapour pressure over 6.112 hPa, its logarithm",
    "ratio",
    "ln(phi) + 17.62 * t_C / (243.12 + t_C)",
  );
  steps.step("T_water", "dew point over water", "temperature", "273.15 + 243.12 * e / (17.62 - e)");
  if (Math.abs(steps.at("T_water") - dew) < 1e-6)
    steps.step("T_dew", "dew point", "temperature", "T_water", dew);
  else
    steps.given("T_dew", "point at which moisture settles: below 0 degC that over ice", "temperature", dew, {
      words: "frost point of that dew point",
      source: "wmo-guide-8-2008, annex 4.B",
    });
  steps.part("The colder of both");
  steps.given(
    "T_g",
    "gearbox when the stroke begins",
    "temperature",
    nominal(extension.figures, "gearbox"),
    "solved",
  );
  steps.given(
    "T_m",
    "motor when the stroke begins",
    "temperature",
    nominal(extension.figures, "motor"),
    "solved",
  );
  steps.step("above", "above the dew point", "temperature difference", "min(T_g, T_m) - T_dew", value);
};

const misalignment: Maker = (steps, of, _, value) => {
  const given = present(of.valve.valve?.cold?.extension, "extension");
  extensionMethod(steps);
  const from = inspection(steps, of);
  steps.part("Estimate by hand: stem and tube at the mean of valve and gearbox");
  const T = valveTemperature(steps, of);
  const end = nominal(of.own.heat.extension.figures, "steadyGearbox");
  steps.given("T_g", "gearbox, steady", "temperature", end, "solved");
  steps.step("T_mean", "mean of valve and gearbox", "temperature", "(T + T_g) / 2");
  const middle = (T + end) / 2;
  contractionLine(steps, "c_stem", "the stem there", of.solid(given.stem_material), from, middle);
  contractionLine(steps, "c_tube", "the tube there", of.solid(given.tube_material), from, middle);
  steps.field("L", "valve.cold.extension.length", "length of the extension");
  steps.step("shift_0", "difference over the length, bracket left out", "length", "(c_stem - c_tube) * L");
  steps.part("The shift");
  steps.given(
    "shift",
    "shift of the stem out of its coupling",
    "length",
    value,
    "integrated over each cell's own temperature, bracket included",
  );
};

export const heatMakers: Readonly<Record<string, Maker>> = {
  "gearbox-temperature": gearbox("gearbox"),
  "motor-temperature": gearbox("motor"),
  "packing-temperature": gearbox("packing"),
  "heat-leak": leak,
  frost,
  "stem-gearbox-misalignment": misalignment,
};
