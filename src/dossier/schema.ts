/**
 * The valve file: every field a person may write, with dimension, bounds and description.
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
import { z } from "zod";
import { timeDefinitions } from "../physics/motion/index.js";
import { choice, count, list, quantity, section, text } from "./field.js";

const definition = choice(
  timeDefinitions.map((row) => row.id),
  "Which opening-time definition the limit uses.",
);

/** What the valve is surrounded by: the duty, or one planned or made test. */
const conditions = {
  fluid: text("Fluid in the valve, a name of the shipped fluids, or `none` for a dry valve."),
  fluid_temperature: quantity("temperature", { min: 1 }, "Temperature of the fluid at the valve inlet."),
  valve_temperature: quantity("temperature", { min: 1 }, "Temperature of ball, seats and packing."),
  motor_temperature: quantity("temperature", { min: 1 }, "Winding temperature when the stroke begins."),
  gearbox_temperature: quantity("temperature", { min: 1 }, "Temperature of the gear stages and their grease."),
  supply_pressure: quantity("pressure", { min: 0 }, "Pressure of the tank or source upstream of the line."),
  back_pressure: quantity("pressure", { min: 0 }, "Pressure where the line ends: chamber, catch tank or open air."),
  outlet: choice(
    ["flowing", "dead-ended"],
    "`flowing`: liquid runs through the line; `dead-ended`: the outlet is blocked, the drop is lost as the port opens.",
  ),
  dwell: quantity("time", { min: 0 }, "Time the valve has stood closed under load before the stroke."),
};

const lineDrop = (what: string) =>
  section(
    {
      drop: quantity("pressure difference", { min: 0 }, `Pressure drop of ${what} at the flow named in \`at\`.`),
      at: quantity("mass flow", { minExclusive: 0 }, "Mass flow of the duty's fluid at which the drop was found."),
    },
    `Drop of ${what}, turbulent: it grows with the square of the flow and inversely with density.`,
  );

const line = section(
  {
    upstream: lineDrop("everything between tank and valve"),
    downstream: lineDrop("everything between valve and back pressure: line, filter, injector"),
  },
  "The installed system around the valve.",
);

const commandFields = {
  kind: choice(
    ["full", "trapezoid", "jerk-limited"],
    "`full`: full voltage until the stop; `trapezoid`, `jerk-limited`: a position profile followed by control loops.",
  ),
  duration: quantity("time", { minExclusive: 0 }, "Planned duration of the profile from start to end of travel."),
  sample_time: quantity("time", { minExclusive: 0 }, "Period of the position and speed loops."),
  position_gain: quantity("frequency", { minExclusive: 0 }, "Position loop: commanded speed per position error."),
  speed_bandwidth: quantity("frequency", { minExclusive: 0 }, "Closed bandwidth of the speed loop (1/s)."),
};

/** The schema of valve.yaml. Field names are as written in the file. */
export const valveFile = section(
  {
    coldturn: count("Format version of this file.", { min: 1, max: 1 }),
    name: text("Name of the valve, as it appears on the sheet."),
    description: text("What the valve is for."),
    duty: section(
      {
        ...conditions,
        ambient_pressure: quantity("pressure", { minExclusive: 0 }, "Local atmosphere; gauge pressures count from it."),
        mass_flow: quantity("mass flow", { minExclusive: 0 }, "Flow the valve must pass wide open."),
        capacity_margin: quantity("ratio", { min: 0, max: 5 }, "Wanted margin of flow coefficient over the required one."),
        largest_valve_drop: quantity("pressure difference", { minExclusive: 0 }, "Largest drop across the open valve."),
        largest_bore_velocity: quantity("speed", { minExclusive: 0 }, "Largest liquid velocity in the bore."),
        throttle: section(
          {
            lowest: quantity("ratio", { min: 0, max: 1 }, "Lowest flow to be held, as a share of `mass_flow`."),
            step: quantity("ratio", { minExclusive: 0, max: 1 }, "Smallest flow step that must be resolved, share of `mass_flow`."),
          },
          "Throttling range.",
        ),
        open_within: section(
          { time: quantity("time", { minExclusive: 0 }, "Longest opening time allowed."), definition },
          "Limit of the opening time.",
        ),
        close_within: section(
          {
            time: quantity("time", { minExclusive: 0 }, "Longest closing time allowed on abort."),
            no_faster_than: quantity("time", { min: 0 }, "Shortest closing time that the line allows (surge)."),
            definition,
          },
          "Limit of the abort closing time.",
        ),
        probability: quantity("ratio", { minExclusive: 0, maxExclusive: 1 }, "Probability with which a time limit must be met."),
        margin_rule: choice(["nasa-std-5017a", "ecss-e-st-33-01c"], "Torque margin rule to judge by."),
        margin_phase: choice(
          ["preliminary", "critical design", "acceptance"],
          "Programme phase (NASA rule) that selects the factors: no test, development test, acceptance test.",
        ),
        cycles: section(
          {
            period: quantity("time", { minExclusive: 0 }, "Time between strokes in the hardest duty."),
            count: quantity("number", { min: 1 }, "Number of strokes in that duty."),
            stall_hold: quantity("time", { min: 0 }, "Longest time the drive may push against a stop or a jam before it is cut."),
          },
          "Duty that heats the winding.",
        ),
      },
      "What the valve must do, and where.",
    ),
    line,
    valve: section(
      {
        support: choice(["floating", "trunnion"], "How the ball is held: by the seats, or by bearings."),
        bore: quantity("length", { minExclusive: 0 }, "Diameter of the bore through the ball."),
        ball_diameter: quantity("length", { minExclusive: 0 }, "Diameter of the ball."),
        seat_contact_diameter: quantity("length", { minExclusive: 0 }, "Mean diameter of the contact circle of seat on ball."),
        travel: quantity("angle", { minExclusive: 0, max: 3.2 }, "Angle from closed to wide open."),
        flow_coefficient: quantity("flow coefficient", { minExclusive: 0 }, "Kv or Cv of the valve wide open."),
        characteristic: list(
          {
            angle: quantity("angle", { min: 0 }, "Opening from closed."),
            flow_coefficient: quantity("flow coefficient", { min: 0 }, "Kv or Cv at that opening."),
          },
          "Measured flow coefficient against opening; left out, it follows from the port geometry.",
        ),
        recovery: list(
          {
            angle: quantity("angle", { min: 0 }, "Opening from closed."),
            factor: quantity("ratio", { minExclusive: 0, max: 1 }, "Liquid pressure recovery factor F_L."),
          },
          "Pressure recovery factor against opening.",
        ),
        cavitation_onset: quantity("ratio", { minExclusive: 0, max: 1 }, "Index x_Fz at which cavitation begins."),
        seat: section(
          {
            material: text("Seat material, a name of the shipped friction pairs; fills friction and ratios that are left out."),
            friction: quantity("ratio", { min: 0, max: 2 }, "Running friction coefficient of seat on ball at ambient temperature."),
            friction_cold_ratio: quantity("ratio", { minExclusive: 0, max: 10 }, "Running friction at 90 K over that at ambient."),
            preload: quantity("force", { min: 0 }, "Axial preload of each seat at ambient temperature."),
            preload_cold_ratio: quantity("ratio", { min: 0, max: 10 }, "Preload at 90 K over that at ambient."),
            breakaway_ratio: quantity("ratio", { min: 1, max: 10 }, "Breakaway over running friction, without dwell."),
            dwell_ratio: quantity("ratio", { min: 1, max: 10 }, "Growth of breakaway by the declared dwell; left out, from the dwell time."),
            stribeck_speed: quantity("speed", { minExclusive: 0 }, "Sliding speed over which breakaway falls to running friction."),
            seal_diameter: quantity("length", { minExclusive: 0 }, "Trunnion ball: diameter of the seat ring's body seal."),
          },
          "The seats.",
        ),
        packing: section(
          {
            torque: quantity("torque", { min: 0 }, "Packing friction torque at ambient, if measured; replaces the fields below."),
            friction: quantity("ratio", { min: 0, max: 2 }, "Friction coefficient of packing on stem."),
            height: quantity("length", { minExclusive: 0 }, "Height of the packing set."),
            radial_stress: quantity("pressure difference", { min: 0 }, "Radial stress of the packing on the stem."),
            cold_ratio: quantity("ratio", { min: 0, max: 20 }, "Packing torque at 90 K over that at ambient."),
          },
          "Stem packing.",
        ),
        stem: section(
          {
            diameter: quantity("length", { minExclusive: 0 }, "Stem diameter in the packing."),
            collar_outer_diameter: quantity("length", { minExclusive: 0 }, "Outer diameter of the thrust collar."),
            collar_inner_diameter: quantity("length", { minExclusive: 0 }, "Inner diameter of the thrust collar."),
            collar_friction: quantity("ratio", { min: 0, max: 2 }, "Friction coefficient of the thrust collar."),
          },
          "Stem and its thrust bearing.",
        ),
        bearing: section(
          {
            diameter: quantity("length", { minExclusive: 0 }, "Trunnion journal diameter."),
            friction: quantity("ratio", { min: 0, max: 2 }, "Friction coefficient of the trunnion bearings."),
          },
          "Trunnion bearings; only for a trunnion ball.",
        ),
        hydrodynamic: section(
          {
            scale: quantity("ratio", { min: -5, max: 5 }, "Factor on the torque coefficient curve; positive closes the valve."),
            curve: list(
              {
                angle: quantity("angle", { min: 0 }, "Opening from closed."),
                coefficient: quantity("ratio", { min: -1, max: 1 }, "Torque coefficient C_T = T / (drop x bore^3), closing sense."),
              },
              "Torque coefficient against opening.",
            ),
          },
          "Torque of the flow on the ball.",
        ),
        ice_torque: quantity("torque", { min: 0 }, "Extra friction torque of ice or stiff grease at the stem; write 0 N m to exclude it."),
        damping: quantity("angular damping", { min: 0 }, "Viscous resistance at the stem."),
        inertia: quantity("inertia", { min: 0 }, "Moment of inertia of ball, stem and coupling about the stem axis."),
      },
      "The valve.",
    ),
    drive: section(
      {
        motor: section(
          {
            resistance: quantity("resistance", { minExclusive: 0 }, "Winding resistance at 20 degC, terminal to terminal."),
            inductance: quantity("inductance", { minExclusive: 0 }, "Winding inductance, terminal to terminal."),
            torque_constant: quantity("torque constant", { minExclusive: 0 }, "Torque per ampere at 20 degC (or speed constant in rpm/V)."),
            torque_constant_drift: quantity("temperature coefficient", {}, "Relative change of the torque constant per kelvin (magnets)."),
            inertia: quantity("inertia", { minExclusive: 0 }, "Rotor inertia."),
            friction_torque: quantity("torque", { min: 0 }, "Speed-independent friction and cogging of the motor."),
            damping: quantity("angular damping", { min: 0 }, "Speed-proportional loss of the motor."),
            winding_limit: quantity("temperature", { min: 1 }, "Highest winding temperature allowed."),
            winding_heat_capacity: quantity("heat capacity", { minExclusive: 0 }, "Heat capacity of the winding."),
            case_heat_capacity: quantity("heat capacity", { minExclusive: 0 }, "Heat capacity of the motor body."),
            winding_to_case: quantity("thermal resistance", { minExclusive: 0 }, "Thermal resistance winding to body."),
            case_to_ambient: quantity("thermal resistance", { minExclusive: 0 }, "Thermal resistance body to surroundings."),
          },
          "Brushed motor, or brushless motor as its DC equivalent.",
        ),
        stages: list(
          {
            name: text("What the stage is."),
            ratio: quantity("ratio", { minExclusive: 0 }, "Input speed over output speed."),
            efficiency: quantity("ratio", { minExclusive: 0, max: 1 }, "Share of power passed on when the motor drives."),
            back_efficiency: quantity("ratio", { min: 0, max: 1 }, "Share of power passed back when the load drives; left out: 2 - 1/efficiency, not below 0."),
            no_load_torque: quantity("torque", { min: 0 }, "Torque at the stage's input that turns it unloaded, at ambient."),
            no_load_cold_ratio: quantity("ratio", { min: 0, max: 100 }, "No-load torque at -40 degC over that at ambient."),
            inertia: quantity("inertia", { min: 0 }, "Moment of inertia of the stage at its input."),
            backlash: quantity("angle", { min: 0 }, "Backlash at the stage's output."),
            rated_torque: quantity("torque", { minExclusive: 0 }, "Rated output torque."),
            momentary_torque: quantity("torque", { minExclusive: 0 }, "Momentary output torque allowed."),
          },
          "Gear stages, from motor to stem.",
        ),
        supply: section(
          {
            open_circuit_voltage: quantity("voltage", { min: 0 }, "Battery voltage without load, at the state of charge and temperature of the stroke."),
            resistance: quantity("resistance", { min: 0 }, "Internal resistance of the battery in that state."),
            cable_resistance: quantity("resistance", { min: 0 }, "Resistance of cable and connectors, both ways."),
          },
          "Supply.",
        ),
        driver: section(
          {
            current_limit: quantity("current", { minExclusive: 0 }, "Motor current at which the driver limits."),
            dead_time: quantity("time", { min: 0 }, "Delay from command to voltage at the motor."),
            undervoltage: quantity("voltage", { min: 0 }, "Supply voltage below which the driver trips."),
            undervoltage_margin: quantity("voltage", { min: 0 }, "Wanted distance from the trip voltage."),
          },
          "Motor driver.",
        ),
        position_sensor: section(
          { resolution: quantity("angle", { min: 0 }, "Smallest angle step the position sensor resolves at the stem.") },
          "Position sensor used to throttle.",
        ),
        command: section(commandFields, "How the drive is commanded."),
        stop_restitution: quantity("ratio", { min: 0, max: 0.99 }, "Share of speed kept at the end stop; 0 is a dead stop."),
      },
      "Motor, gears, supply, command.",
    ),
    cases: list(
      {
        id: text("Short name used in file names and on the command line."),
        description: text("What is done in this test."),
        ...conditions,
        line,
        open_circuit_voltage: quantity("voltage", { min: 0 }, "Supply voltage without load in this test, if it differs from the duty's."),
      },
      "Conditions of planned or made tests. Each states its own; nothing is taken from the duty but what the valve and drive are.",
    ),
    correlations: list(
      {
        first: text("Path of an uncertain field."),
        second: text("Path of another one."),
        rank: quantity("ratio", { min: -1, max: 1 }, "Spearman rank correlation of the two."),
        because: text("Why they go together."),
      },
      "Fields whose uncertainties go together.",
    ),
  },
  "One valve: its duty, what it is made of, what drives it, and the tests.",
);

/** What the reader returns: every leaf a declared value or undefined (not known). */
export type ValveFile = z.infer<typeof valveFile>;

/** Temperatures that cold ratios refer to, fixed by definition of the fields [K]. */
export const referenceTemperatures = {
  ambient_K: 293.15,
  cold_K: 90,
  gearbox_cold_K: 233.15,
} as const;
