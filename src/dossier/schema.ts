/**
 * The valve file: every field a person may write, with dimension, bounds, description and an example.
 *
 * This one list serves the reader, the errors, the JSON Schema for editors, the help text, the
 * documentation and the starting file of `coldturn new`. A physical value is a string with a unit
 * and, where it is uncertain, its uncertainty. A field left out is not known, unless data/defaults
 * holds a value for it; then the default is used, named as such, with its reason.
 *
 * Cold ratios refer to two fixed temperatures (`referenceTemperatures`): the value at ambient is
 * declared, the value at the cold point is that times the ratio, and between them it is linear in
 * temperature. So a test at ambient also narrows what is known of the cold value.
 */
import { timeDefinitions } from "../physics/motion/index.js";
import type { Bounds } from "../quantity/index.js";
import type { SolidFile } from "../substance/index.js";
import { boundaryFields } from "./boundaryFields.js";
import { coldFields } from "./coldFields.js";
import { engineFields } from "./engineFields.js";
import { choice, count, list, quantity, type SectionValue, section, text } from "./field.js";
import { holdFields, powerLossFields } from "./holdFields.js";
import { oxygenFields } from "./oxygenFields.js";
import { scheduleFields } from "./scheduleFields.js";
import { buildFields, seekFields } from "./seekFields.js";
import { strengthFields, torquePathFields } from "./strengthFields.js";
import { surgeFields } from "./surgeFields.js";
import { instrumentFields, leakageFields, leakTestFields, plannedTests } from "./testFields.js";
import { tradeFields } from "./tradeFields.js";
import { couplingFields, stageStiffness, stemStiffness, stopFields, twistDamping } from "./trainFields.js";
import { cavityFields, trappedFields } from "./trappedFields.js";

const any: Bounds = {};
const notNegative: Bounds = { min: 0 };
const positive: Bounds = { minExclusive: 0 };
const friction: Bounds = {
  min: 0,
  max: 2,
  because: "A friction coefficient is friction force over normal force.",
};
const efficiency: Bounds = {
  minExclusive: 0,
  max: 1,
  because: "An efficiency is the share of power passed on.",
};
const breakaway: Bounds = { min: 1, max: 10, because: "Breakaway friction is never below running friction." };
const ratioTo = (max: number): Bounds => ({ min: 0, max });
const positiveRatioTo = (max: number): Bounds => ({ minExclusive: 0, max });

const definition = choice(
  timeDefinitions.map((row) => row.id),
  "Which opening-time definition the limit uses.",
);

/** What the valve is surrounded by: the duty, or one planned or made test. */
const conditions = {
  fluid: text("Fluid in the valve, a name of the shipped fluids, or `none` for a dry valve.", "oxygen"),
  fluid_temperature: quantity(
    "temperature",
    any,
    "Temperature of the fluid at the valve inlet.",
    "91 K +/- 0.5 K",
  ),
  valve_temperature: quantity("temperature", any, "Temperature of ball, seats and packing.", "91 K +/- 2 K"),
  motor_temperature: quantity(
    "temperature",
    any,
    "Winding temperature when the stroke begins.",
    "20 degC +/- 5 K",
  ),
  gearbox_temperature: quantity(
    "temperature",
    any,
    "Temperature of the gear stages and their grease.",
    "5 degC +/- 10 K",
  ),
  supply_pressure: quantity(
    "pressure",
    notNegative,
    "Pressure of the tank or source upstream of the line.",
    "28 bar(a) +/- 0.5 bar",
  ),
  back_pressure: quantity(
    "pressure",
    notNegative,
    "Pressure where the line ends: chamber, catch tank or open air.",
    "18 bar(a) +/- 0.5 bar",
  ),
  back_pressure_at_start: quantity(
    "pressure",
    notNegative,
    "Pressure where the line ends while the valve is still shut, if it is lower: it rises to `back_pressure` with the square of the flow.",
    "1.013 bar(a)",
  ),
  outlet: choice(
    ["flowing", "dead-ended"],
    "`flowing`: liquid runs through the line; `dead-ended`: the outlet is blocked, the drop is lost as the port opens.",
  ),
  dwell: quantity(
    "time",
    notNegative,
    "Time the valve has stood closed under load before the stroke.",
    "30 min",
  ),
};

const lineDrop = (what: string, example: string) =>
  section(
    {
      drop: quantity(
        "pressure difference",
        notNegative,
        `Pressure drop of ${what} at the flow named in \`at\`.`,
        example,
      ),
      at: quantity(
        "mass flow",
        positive,
        "Mass flow at which the drop was found, of the fluid and density of these conditions.",
        "3.8 kg/s",
      ),
    },
    `Drop of ${what}, turbulent: it grows with the square of the flow and inversely with density.`,
  );

const line = section(
  {
    upstream: lineDrop("everything between tank and valve", "1.2 bar +/- 0.2 bar"),
    downstream: lineDrop(
      "everything between valve and back pressure: line, filter, injector",
      "8.0 bar +/- 0.6 bar",
    ),
  },
  "The installed system around the valve.",
);

/** The fields of valve.yaml, named as in the file. */
export const valveFile = section(
  {
    coldturn: count(1, 1, "Format version of this file; this program reads version 1."),
    name: text("Name of the valve, as it appears on the sheet.", "Petrel oxygen main valve"),
    description: text("What the valve is for.", "Main oxygen valve of a test-stand engine"),
    duty: section(
      {
        ...conditions,
        ambient_pressure: quantity(
          "pressure",
          positive,
          "Local atmosphere; gauge pressures count from it.",
          "1.013 bar(a)",
        ),
        mass_flow: quantity("mass flow", positive, "Flow the valve must pass wide open.", "3.8 kg/s"),
        capacity_margin: quantity(
          "ratio",
          ratioTo(5),
          "Wanted margin of flow coefficient over the required one.",
          "15 %",
        ),
        largest_valve_drop: quantity(
          "pressure difference",
          positive,
          "Largest drop across the open valve.",
          "0.5 bar",
        ),
        largest_bore_velocity: quantity("speed", positive, "Largest liquid velocity in the bore.", "10 m/s"),
        largest_leak: quantity(
          "volume flow",
          positive,
          "Largest leakage through the closed seats, gas at 101.325 kPa and 20 degC.",
          "0.5 mL/min",
        ),
        throttle: section(
          {
            lowest: quantity(
              "ratio",
              ratioTo(1),
              "Lowest flow to be held, as a share of `mass_flow`.",
              "45 %",
            ),
            step: quantity(
              "ratio",
              positiveRatioTo(1),
              "Smallest flow step that must be resolved, share of `mass_flow`.",
              "2 %",
            ),
            accuracy: quantity(
              "ratio",
              positiveRatioTo(1),
              "By how much a flow that was set may be off, share of `mass_flow`.",
              "4 %",
            ),
          },
          "Throttling range.",
        ),
        power_loss: powerLossFields,
        open_within: section(
          { time: quantity("time", positive, "Longest opening time allowed.", "0.8 s"), definition },
          "Limit of the opening time.",
        ),
        close_within: section(
          {
            time: quantity("time", positive, "Longest closing time allowed on abort.", "0.5 s"),
            no_faster_than: quantity(
              "time",
              notNegative,
              "Shortest closing time that the line allows (surge).",
              "50 ms",
            ),
            definition,
          },
          "Limit of the abort closing time.",
        ),
        probability: quantity(
          "ratio",
          { minExclusive: 0, maxExclusive: 1, because: "No prediction is certain." },
          "Probability with which a time limit must be met.",
          "0.95",
        ),
        margin_rule: choice(["nasa-std-5017a", "ecss-e-st-33-01c"], "Torque margin rule to judge by."),
        margin_phase: choice(
          ["preliminary", "critical design", "acceptance"],
          "Programme phase (NASA rule) that selects the factors: no test, development test, acceptance test.",
        ),
        cycles: section(
          {
            period: quantity("time", positive, "Time between strokes in the hardest duty.", "20 s"),
            count: quantity("number", { min: 1 }, "Number of strokes in that duty.", "10"),
            stall_hold: quantity(
              "time",
              notNegative,
              "Longest time the drive may push against a stop or a jam before it is cut.",
              "0.5 s",
            ),
          },
          "Duty that heats the winding.",
        ),
      },
      "What the valve must do, and where.",
    ),
    line: section({ ...line.fields, ...surgeFields }, "The installed system around the valve."),
    engine: engineFields,
    valve: section(
      {
        part: text(
          "Name of a valve in the parts library; fills the fields of this section that are left out.",
          "generic full-bore DN32",
        ),
        nominal_size: quantity("length", positive, "Nominal size of the valve, as DN.", "32 mm"),
        build: buildFields,
        support: choice(["floating", "trunnion"], "How the ball is held: by the seats, or by bearings."),
        bore: quantity("length", positive, "Diameter of the bore through the ball.", "32 mm tol 0.1 mm"),
        ball_diameter: quantity("length", positive, "Diameter of the ball.", "52 mm"),
        seat_contact_diameter: quantity(
          "length",
          positive,
          "Mean diameter of the contact circle of seat on ball.",
          "38 mm +/- 0.5 mm",
        ),
        travel: quantity(
          "angle",
          {
            minExclusive: 0,
            max: Math.PI,
            because: "A ball valve turns by 90 deg, at most half a turn.",
          },
          "Angle from closed to wide open.",
          "90 deg",
        ),
        flow_coefficient: quantity(
          "flow coefficient",
          positive,
          "Kv or Cv of the valve wide open.",
          "150 Kv +/- 10 Kv",
        ),
        contraction: quantity(
          "ratio",
          positiveRatioTo(1),
          "Contraction coefficient of a small opening of the port; only for the characteristic from geometry.",
          "0.63",
        ),
        characteristic: list(
          {
            angle: quantity("angle", notNegative, "Opening from closed.", "45 deg"),
            flow_coefficient: quantity("flow coefficient", notNegative, "Kv or Cv at that opening.", "32 Kv"),
          },
          "Measured flow coefficient against opening; left out, it follows from the port geometry.",
        ),
        recovery: list(
          {
            angle: quantity("angle", notNegative, "Opening from closed.", "90 deg"),
            factor: quantity(
              "ratio",
              positiveRatioTo(1),
              "Liquid pressure recovery factor F_L.",
              "0.60 +/- 0.05",
            ),
          },
          "Pressure recovery factor against opening.",
        ),
        cavitation_onset: quantity(
          "ratio",
          positiveRatioTo(1),
          "Index x_Fz at which cavitation begins.",
          "{ from: 0.10, to: 0.25 }",
        ),
        equalising_angle: quantity(
          "angle",
          positive,
          "Opening beyond the first over which a blocked outlet comes to full pressure.",
          "2 deg",
        ),
        seat: section(
          {
            part: text(
              "Name of a seat in the parts library; fills the fields of this section that are left out.",
              "generic glass-filled PTFE seat DN32",
            ),
            material: text(
              "Seat material, a name of the shipped friction pairs; fills friction and ratios that are left out.",
              "glass-filled PTFE",
            ),
            friction: quantity(
              "ratio",
              friction,
              "Running friction coefficient of seat on ball at ambient temperature.",
              "0.10 +/- 0.02",
            ),
            friction_cold_ratio: quantity(
              "ratio",
              positiveRatioTo(10),
              "Running friction at 90 K over that at ambient.",
              "{ from: 0.8, to: 1.4 }",
            ),
            preload: quantity(
              "force",
              notNegative,
              "Axial preload of each seat at ambient temperature.",
              "{ from: 300 N, to: 700 N }",
            ),
            preload_cold_ratio: quantity(
              "ratio",
              ratioTo(10),
              "Preload at 90 K over that at ambient.",
              "{ from: 0.3, to: 1.0 }",
            ),
            breakaway_ratio: quantity(
              "ratio",
              breakaway,
              "Breakaway over running friction, without dwell.",
              "1.5 +/- 0.2",
            ),
            dwell_ratio: quantity(
              "ratio",
              breakaway,
              "Growth of breakaway by the declared dwell; left out, from the dwell time.",
              "{ from: 1.0, to: 1.6 }",
            ),
            stribeck_speed: quantity(
              "speed",
              positive,
              "Sliding speed over which breakaway falls to running friction.",
              "2 mm/s",
            ),
            pressure_effect: choice(
              ["single piston", "double piston"],
              "Trunnion ball: which seats pressure pushes on the ball. `single piston`: the one at the higher pressure, the other vents the cavity; `double piston`: both (double block). Left out: single piston.",
            ),
            seal_diameter: quantity(
              "length",
              positive,
              "Trunnion ball: diameter of the seat ring's body seal.",
              "44 mm",
            ),
            leakage: leakageFields,
            cycle_life: quantity(
              "number",
              { min: 1 },
              "Openings with their closings that the seats are declared good for.",
              "500",
            ),
          },
          "The seats.",
        ),
        cavity: cavityFields,
        boundary: boundaryFields,
        cold: coldFields,
        strength: strengthFields,
        packing: section(
          {
            material: text(
              "Packing material, a name of the shipped friction pairs; fills friction that is left out.",
              "PTFE",
            ),
            torque: quantity(
              "torque",
              notNegative,
              "Packing friction torque at ambient, if measured; replaces the fields below.",
              "1.2 N m +/- 0.4 N m",
            ),
            friction: quantity(
              "ratio",
              friction,
              "Friction coefficient of packing on stem.",
              "0.10 +/- 0.03",
            ),
            height: quantity("length", positive, "Height of the packing set.", "12 mm"),
            radial_stress: quantity(
              "pressure difference",
              notNegative,
              "Radial stress of the packing on the stem.",
              "5 MPa +/- 1.5 MPa",
            ),
            breakaway_ratio: quantity(
              "ratio",
              breakaway,
              "Breakaway over running torque of the packing, without dwell; left out: that of the seats.",
              "1.3 +/- 0.2",
            ),
            cold_ratio: quantity(
              "ratio",
              ratioTo(20),
              "Packing torque at 90 K over that at ambient.",
              "{ from: 0.8, to: 2.0 }",
            ),
          },
          "Stem packing.",
        ),
        stem: section(
          {
            diameter: quantity("length", positive, "Stem diameter in the packing.", "14 mm"),
            collar_outer_diameter: quantity(
              "length",
              positive,
              "Outer diameter of the thrust collar.",
              "22 mm",
            ),
            collar_inner_diameter: quantity(
              "length",
              positive,
              "Inner diameter of the thrust collar.",
              "14.5 mm",
            ),
            collar_material: text(
              "Material of the thrust collar's bearing, a name of the shipped friction pairs; fills friction that is left out.",
              "PTFE-lined bushing",
            ),
            collar_friction: quantity(
              "ratio",
              friction,
              "Friction coefficient of the thrust collar.",
              "0.12 +/- 0.03",
            ),
            collar_breakaway_ratio: quantity(
              "ratio",
              breakaway,
              "Breakaway over running friction of the thrust collar, without dwell; left out: that of the seats.",
              "1.3",
            ),
            collar_cold_ratio: quantity(
              "ratio",
              positiveRatioTo(10),
              "Friction of the thrust collar at 90 K over that at ambient.",
              "{ from: 0.8, to: 1.5 }",
            ),
            stiffness: stemStiffness,
            ...torquePathFields,
          },
          "Stem and its thrust bearing.",
        ),
        bearing: section(
          {
            material: text(
              "Bearing material, a name of the shipped friction pairs; fills friction that is left out.",
              "PTFE-lined bushing",
            ),
            diameter: quantity("length", positive, "Trunnion journal diameter.", "20 mm"),
            friction: quantity(
              "ratio",
              friction,
              "Friction coefficient of the trunnion bearings.",
              "0.10 +/- 0.03",
            ),
            breakaway_ratio: quantity(
              "ratio",
              breakaway,
              "Breakaway over running friction of the bearings, without dwell; left out: that of the seats.",
              "1.3",
            ),
            cold_ratio: quantity(
              "ratio",
              positiveRatioTo(10),
              "Friction of the bearings at 90 K over that at ambient.",
              "{ from: 0.8, to: 1.5 }",
            ),
          },
          "Trunnion bearings; only for a trunnion ball.",
        ),
        hydrodynamic: section(
          {
            scale: quantity(
              "ratio",
              { min: -5, max: 5 },
              "Factor on the torque coefficient curve; positive closes the valve.",
              "{ from: 0.5, to: 1.5 }",
            ),
            curve: list(
              {
                angle: quantity("angle", notNegative, "Opening from closed.", "70 deg"),
                coefficient: quantity(
                  "ratio",
                  { min: -1, max: 1 },
                  "Torque coefficient C_T = T / (drop x bore^3), closing sense.",
                  "0.10",
                ),
              },
              "Torque coefficient against opening.",
            ),
          },
          "Torque of the flow on the ball.",
        ),
        ice_torque: quantity(
          "torque",
          notNegative,
          "Extra friction torque of ice or stiff grease at the stem; write 0 N m to exclude it.",
          "0 N m",
        ),
        damping: quantity(
          "angular damping",
          notNegative,
          "Viscous resistance at the stem.",
          "0.02 N m s/rad",
        ),
        inertia: quantity(
          "inertia",
          notNegative,
          "Moment of inertia of ball, stem and coupling about the stem axis.",
          "2.5 kg cm2 +/- 20 %",
        ),
      },
      "The valve.",
    ),
    drive: section(
      {
        motor: section(
          {
            part: text(
              "Name of a motor in the parts library; fills the fields of this section that are left out.",
              "generic brushless 100 W",
            ),
            build: buildFields,
            resistance: quantity(
              "resistance",
              positive,
              "Winding resistance at 20 degC, terminal to terminal.",
              "0.8 ohm +/- 5 %",
            ),
            inductance: quantity(
              "inductance",
              positive,
              "Winding inductance, terminal to terminal.",
              "0.4 mH +/- 10 %",
            ),
            torque_constant: quantity(
              "torque constant",
              positive,
              "Torque per ampere at 20 degC (or speed constant in rpm/V).",
              "0.042 N m/A +/- 4 %",
            ),
            torque_constant_drift: quantity(
              "temperature coefficient",
              any,
              "Relative change of the torque constant per kelvin (magnets).",
              "-0.0011 1/K",
            ),
            inertia: quantity("inertia", positive, "Rotor inertia.", "80 g cm2 +/- 10 %"),
            friction_torque: quantity(
              "torque",
              notNegative,
              "Speed-independent friction and cogging of the motor.",
              "6 mN m +/- 2 mN m",
            ),
            damping: quantity(
              "angular damping",
              notNegative,
              "Speed-proportional loss of the motor.",
              "5e-6 N m s/rad",
            ),
            winding_limit: quantity("temperature", any, "Highest winding temperature allowed.", "155 degC"),
            winding_heat_capacity: quantity(
              "heat capacity",
              positive,
              "Heat capacity of the winding.",
              "20 J/K",
            ),
            case_heat_capacity: quantity(
              "heat capacity",
              positive,
              "Heat capacity of the motor body.",
              "180 J/K",
            ),
            winding_to_case: quantity(
              "thermal resistance",
              positive,
              "Thermal resistance winding to body.",
              "1.5 K/W",
            ),
            case_to_ambient: quantity(
              "thermal resistance",
              positive,
              "Thermal resistance body to surroundings.",
              "5 K/W",
            ),
          },
          "Brushed motor, or brushless motor as its DC equivalent.",
        ),
        stages: list(
          {
            name: text("What the stage is.", "planetary 12:1"),
            part: text(
              "Name of a gear stage in the parts library; fills the fields of this stage that are left out.",
              "generic planetary 10:1 60 mm",
            ),
            build: buildFields,
            ratio: quantity("ratio", positive, "Input speed over output speed.", "12"),
            efficiency: quantity(
              "ratio",
              efficiency,
              "Share of power passed on when the motor drives.",
              "{ nominal: 0.90, low: 0.84, high: 0.94 }",
            ),
            starting_efficiency: quantity(
              "ratio",
              efficiency,
              "Share of power passed on as the stage starts from rest under load; left out: `efficiency`, for a worm and below 0.6 a share of it.",
              "0.35",
            ),
            back_efficiency: quantity(
              "ratio",
              { min: 0, max: 1, because: "An efficiency is the share of power passed on." },
              "Share of power passed back when the load drives; left out: 2 - 1/efficiency, not below 0.",
              "0.85",
            ),
            no_load_torque: quantity(
              "torque",
              notNegative,
              "Torque at the stage's input that turns it unloaded, at ambient.",
              "4 mN m +/- 1 mN m",
            ),
            no_load_cold_ratio: quantity(
              "ratio",
              ratioTo(100),
              "No-load torque at -40 degC over that at ambient.",
              "{ from: 4, to: 15 }",
            ),
            inertia: quantity(
              "inertia",
              notNegative,
              "Moment of inertia of the stage at its input.",
              "5 g cm2",
            ),
            backlash: quantity("angle", notNegative, "Backlash at the stage's output.", "20 arcmin"),
            stiffness: stageStiffness,
            rated_torque: quantity("torque", positive, "Rated output torque.", "12 N m"),
            peak_torque: quantity(
              "torque",
              positive,
              "Output torque allowed at each start and stop, again and again.",
              "18 N m",
            ),
            momentary_torque: quantity("torque", positive, "Momentary output torque allowed.", "25 N m"),
          },
          "Gear stages, from motor to stem.",
        ),
        coupling: couplingFields,
        twist_damping: twistDamping,
        stop: stopFields,
        supply: section(
          {
            part: text(
              "Name of a battery in the parts library; fills the fields of this section that are left out.",
              "generic lithium-ion 6S 5 Ah",
            ),
            build: buildFields,
            open_circuit_voltage: quantity(
              "voltage",
              notNegative,
              "Battery voltage without load, at the state of charge and temperature of the stroke.",
              "25.2 V +/- 0.5 V",
            ),
            resistance: quantity(
              "resistance",
              notNegative,
              "Internal resistance of the battery in that state.",
              "0.06 ohm +/- 0.02 ohm",
            ),
            cable_resistance: quantity(
              "resistance",
              notNegative,
              "Resistance of cable and connectors, both ways.",
              "0.08 ohm",
            ),
          },
          "Supply.",
        ),
        driver: section(
          {
            current_limit: quantity("current", positive, "Motor current at which the driver limits.", "16 A"),
            dead_time: quantity(
              "time",
              notNegative,
              "Delay from command to voltage at the motor.",
              "15 ms +/- 3 ms",
            ),
            undervoltage: quantity(
              "voltage",
              notNegative,
              "Supply voltage below which the driver trips.",
              "18 V",
            ),
            undervoltage_margin: quantity(
              "voltage",
              notNegative,
              "Wanted distance from the trip voltage.",
              "1 V",
            ),
          },
          "Motor driver.",
        ),
        position_sensor: section(
          {
            resolution: quantity(
              "angle",
              notNegative,
              "Smallest angle step the position sensor resolves at the stem.",
              "0.1 deg",
            ),
          },
          "Position sensor used to throttle.",
        ),
        command: section(
          {
            kind: choice(
              ["full", "trapezoid", "jerk-limited"],
              "`full`: full voltage until the stop; `trapezoid`, `jerk-limited`: a position profile followed by control loops.",
            ),
            duration: quantity(
              "time",
              positive,
              "Planned duration of the profile from start to end of travel.",
              "0.6 s",
            ),
            sample_time: quantity("time", positive, "Period of the position and speed loops.", "1 ms"),
            position_gain: quantity(
              "frequency",
              positive,
              "Position loop: commanded speed per position error.",
              "30 1/s",
            ),
            speed_bandwidth: quantity(
              "frequency",
              positive,
              "Closed bandwidth of the speed loop (1/s).",
              "200 1/s",
            ),
          },
          "How the drive is commanded.",
        ),
        hold: holdFields,
        stop_restitution: quantity(
          "ratio",
          { min: 0, max: 0.99 },
          "Share of speed kept at the end stop; 0 is a dead stop.",
          "0",
        ),
      },
      "Motor, gears, supply, command.",
    ),
    seek: seekFields,
    trade: tradeFields,
    schedule: scheduleFields,
    trapped: trappedFields,
    oxygen: oxygenFields,
    cases: list(
      {
        id: text("Short name used in file names and on the command line.", "dry-ambient"),
        description: text("What is done in this test.", "Dry valve on the bench, nothing connected"),
        ...conditions,
        line,
        open_circuit_voltage: quantity(
          "voltage",
          notNegative,
          "Supply voltage without load in this test, if it differs from the duty's.",
          "24.8 V",
        ),
        leak_test: leakTestFields,
      },
      "Conditions of planned or made tests. Each states its own; nothing is taken from the duty but what the valve and drive are.",
    ),
    instruments: instrumentFields,
    tests: plannedTests,
    correlations: list(
      {
        first: text("Path of an uncertain field.", "drive.motor.resistance"),
        second: text("Path of another one.", "drive.motor.torque_constant"),
        rank: quantity(
          "ratio",
          { minExclusive: -1, maxExclusive: 1, because: "Two values that always go together are one value." },
          "Spearman rank correlation of the two.",
          "0.6",
        ),
        because: text("Why they go together.", "Both grow with the number of turns"),
      },
      "Fields whose uncertainties go together.",
    ),
  },
  "One valve: its duty, what it is made of, what drives it, and the tests.",
);

/** What the reader returns: every leaf a declared value or undefined (not known). */
export type ValveFile = SectionValue<(typeof valveFile)["fields"]> & {
  /** The team's own solids, which fields name as they name the shipped ones. */
  readonly solids?: readonly SolidFile[];
};

/** Conditions of a stroke: the duty's or those of one case. */
export type Conditions = SectionValue<typeof conditions>;

/** Temperatures that cold ratios refer to, fixed by definition of the fields [K]. */
export const referenceTemperatures = {
  ambient_K: 293.15,
  cold_K: 90,
  gearbox_cold_K: 233.15,
} as const;
