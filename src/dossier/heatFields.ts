/** Fields about heat: the extension between valve and drive, what stands on it, and the pipe that shrinks. */
import type { Bounds } from "../quantity/index.js";
import { choice, quantity, section, text } from "./field.js";

const positive: Bounds = { minExclusive: 0 };
const notNegative: Bounds = { min: 0 };
const any: Bounds = {};
const share: Bounds = { min: 0, max: 1, because: "It is a share of what a black body radiates." };
const humidity: Bounds = {
  minExclusive: 0,
  max: 1,
  because: "Relative humidity is a share of what the air can hold.",
};

/** The extension, from the cold body to gearbox and motor. */
export const extensionFields = section(
  {
    orientation: choice(
      ["vertical", "horizontal"],
      "`vertical`: upright with the cold end below; `horizontal`: lying.",
    ),
    length: quantity("length", positive, "Length from the cold body to the gearbox's bracket.", "180 mm"),
    tube_material: text("Material of the bonnet tube, a shipped solid or one of parts/.", "stainless-316"),
    tube_conductivity: quantity(
      "conductivity",
      positive,
      "Mean conductivity of the tube between cold and warm end; left out: that of its material at each temperature.",
      "12 W/(m K)",
    ),
    tube_outer_diameter: quantity("length", positive, "Outer diameter of the tube.", "27 mm"),
    tube_wall: quantity("length", positive, "Wall of the tube.", "2 mm"),
    stem_material: text("Material of the stem in it, a shipped solid or one of parts/.", "stainless-316"),
    stem_conductivity: quantity(
      "conductivity",
      positive,
      "Mean conductivity of the stem between cold and warm end; left out: that of its material at each temperature.",
      "{ from: 9 W/(m K), to: 12 W/(m K) }",
    ),
    stem_diameter: quantity(
      "length",
      positive,
      "Diameter of the stem along the extension; left out: `valve.stem.diameter`.",
      "14 mm",
    ),
    surface: choice(["bare", "insulated"], "Whether insulation lies around the tube."),
    insulation: section(
      {
        thickness: quantity("length", positive, "Thickness of the insulation.", "20 mm"),
        conductivity: quantity("conductivity", positive, "Its conductivity.", "0.03 W/(m K)"),
      },
      "Insulation of an insulated tube, tight against moisture.",
    ),
    frost: section(
      {
        thickness: quantity(
          "length",
          notNegative,
          "Thickness of settled frost where it does not melt; 0 mm for none.",
          "{ from: 0 mm, to: 8 mm }",
        ),
        conductivity: quantity(
          "conductivity",
          positive,
          "Conductivity of the frost: 0.02 to 0.3 W/(m K), low where it settled fast on a very cold wall.",
          "{ from: 0.04 W/(m K), to: 0.2 W/(m K) }",
        ),
      },
      "Frost on the outside.",
    ),
    emissivity: quantity(
      "ratio",
      share,
      "Emissivity of the outside: 0.1 to 0.3 for clean metal, 0.9 and more for paint and frost.",
      "{ from: 0.3, to: 0.95 }",
    ),
    ambient_temperature: quantity(
      "temperature",
      any,
      "Temperature of the air around the extension when the stroke begins.",
      "15 degC +/- 5 K",
    ),
    relative_humidity: quantity("ratio", humidity, "Relative humidity of that air.", "60 % +/- 10 %"),
    dew_point: quantity(
      "temperature",
      any,
      "Dew point of that air; given, it goes before the relative humidity.",
      "7 degC +/- 2 K",
    ),
    air_speed: quantity(
      "speed",
      notNegative,
      "Speed of the air across the extension; 0 m/s for still air, which leaves the drive coldest.",
      "{ from: 0 m/s, to: 3 m/s }",
    ),
    tube_to_gearbox: quantity(
      "thermal resistance",
      notNegative,
      "Thermal resistance of bracket and flange between tube and gearbox; left out: none, the coldest drive.",
      "1.5 K/W +/- 0.5 K/W",
    ),
    stem_to_gearbox: quantity(
      "thermal resistance",
      notNegative,
      "Thermal resistance of the coupling between stem and gearbox; left out: none, the coldest drive.",
      "5 K/W +/- 2 K/W",
    ),
    cold_before_dwell: quantity(
      "time",
      notNegative,
      "How long the valve has been cold when the dwell of the case begins; left out: so long that the drive is steady, the coldest.",
      "10 min",
    ),
    heater: quantity("power", notNegative, "Power of a heater on the gearbox; left out: none.", "8 W"),
    largest_heat_leak: quantity(
      "power",
      positive,
      "Heat through the extension that the propellant's budget allows.",
      "15 W",
    ),
    packing: section(
      {
        at: quantity("length", notNegative, "Distance of the stem packing from the cold end.", "150 mm"),
        least_temperature: quantity(
          "temperature",
          any,
          "Lowest temperature at which the packing seals and slides.",
          "-40 degC",
        ),
      },
      "The stem packing in the extension.",
    ),
    gearbox: section(
      {
        area: quantity("area", positive, "Outside of gearbox and bracket that meets the air.", "0.035 m2"),
        diameter: quantity("length", positive, "Outer diameter of the gearbox.", "60 mm"),
        heat_capacity: quantity(
          "heat capacity",
          positive,
          "Heat capacity of gearbox and bracket; needed with `cold_before_dwell`.",
          "900 J/K +/- 15 %",
        ),
        least_temperature: quantity(
          "temperature",
          any,
          "Lowest temperature that its grease and seals allow.",
          "-30 degC",
        ),
      },
      "The gearbox on the extension.",
    ),
    motor: section(
      {
        to_gearbox: quantity(
          "thermal resistance",
          positive,
          "Thermal resistance between gearbox and motor.",
          "0.8 K/W +/- 0.4 K/W",
        ),
        least_temperature: quantity(
          "temperature",
          any,
          "Lowest temperature that motor, encoder and brake allow.",
          "-30 degC",
        ),
      },
      "The motor on the gearbox. Its way to the air is `drive.motor.case_to_ambient`.",
    ),
    bracket: section(
      {
        material: text(
          "Material of the bracket that carries the gearbox, a shipped solid or one of parts/.",
          "aluminium-6061-t6",
        ),
        length: quantity("length", positive, "Its length along the stem.", "70 mm"),
        coupling_float: quantity(
          "length",
          positive,
          "Shift along the stem that the coupling takes to either side of its place at inspection.",
          "0.8 mm",
        ),
      },
      "The bracket between extension and gearbox.",
    ),
  },
  "Extension of bonnet and stem that keeps the drive from the cold.",
);

/** The pipe between the valve and its anchors. */
export const pipeFields = section(
  {
    material: text("Material of the pipe, a shipped solid or one of parts/.", "stainless-316"),
    length: quantity(
      "length",
      positive,
      "Length of pipe between the anchors on both sides that becomes cold.",
      "1.8 m",
    ),
    stiffness: quantity(
      "stiffness",
      positive,
      "Force at the valve's ends over the shortening of that length: bellows, bends or the straight pipe itself.",
      "60 N/mm +/- 20 %",
    ),
    largest_end_load: quantity("force", positive, "Force along the pipe that the valve's ends bear.", "2 kN"),
  },
  "Pipe that shrinks between anchors and pulls at the valve.",
);
