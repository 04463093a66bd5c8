/**
 * Which fields of the valve file ask for what a check holds a number against. A check that no field asks for
 * serves a rule of its question: a factor of a standard, a count that must be nought. A test holds the list
 * against docs/checks.md.
 */

/** Fields by the id of the check that serves them; a limit that names further fields adds those. */
export const requiredBy: Readonly<Record<string, readonly string[]>> = {
  "installed-flow": ["duty.mass_flow"],
  "flow-capacity": ["duty.capacity_margin", "duty.mass_flow"],
  "velocity-body": ["duty.largest_bore_velocity"],
  "torque-margin": ["duty.margin_rule"],
  motorisation: ["duty.margin_rule"],
  "opening-time": ["duty.open_within"],
  "closing-time": ["duty.close_within"],
  "motor-thermal": ["drive.motor.winding_limit"],
  "supply-sag": ["drive.driver.undervoltage", "drive.driver.undervoltage_margin"],
  controllability: ["duty.throttle.step"],
  "back-driving": ["duty.power_loss"],
  "power-loss": ["duty.power_loss"],
  "position-accuracy": ["duty.throttle.accuracy"],
  "holding-error": ["drive.hold.largest_error"],
  "schedule-angle-error": ["schedule.largest_angle_error"],
  "schedule-flow-error": ["schedule.largest_flow_error"],
  "stem-fatigue": ["valve.strength.life_cycles", "valve.strength.life_factor"],
  "stop-impact": ["drive.stop.momentary_torque"],
  proof: ["valve.boundary.rule"],
  burst: ["valve.boundary.rule"],
  "seat-interference": ["valve.cold.largest_interference"],
  "bolt-preload-cold": ["valve.cold.bolts.least_preload"],
  "bolt-stress-cold": ["valve.cold.bolts.yield_share"],
  "polymer-strength": ["valve.cold.least_contact_stress", "valve.cold.largest_contact_stress"],
  "cool-down-time": ["valve.cold.cool_down.within"],
  "cool-down-propellant": ["valve.cold.cool_down.largest_propellant"],
  "seat-transit": ["valve.cold.largest_interference"],
  "gearbox-temperature": ["valve.cold.extension.gearbox.least_temperature"],
  "motor-temperature": ["valve.cold.extension.motor.least_temperature"],
  "packing-temperature": ["valve.cold.extension.packing.least_temperature"],
  "heat-leak": ["valve.cold.extension.largest_heat_leak"],
  "stem-gearbox-misalignment": ["valve.cold.extension.bracket.coupling_float"],
  "pipe-load": ["valve.cold.pipe.largest_end_load"],
  "polymer-state": ["valve.cold.seat_tested_at"],
  "cavity-pressure": ["valve.cavity.rating"],
  "vent-hole": ["valve.cavity.vent.diameter"],
  "self-relief-test": ["valve.cavity.rating"],
  "compression-temperature": ["oxygen.ignition_margin"],
  cleanliness: ["oxygen.cleanliness.largest_particle", "oxygen.cleanliness.residue"],
  "close-limit": ["duty.close_within.no_faster_than"],
  "abort-closing-time": ["duty.close_within"],
  "fill-time": ["engine.fill_within"],
  "lead-at-injector": ["engine.lead"],
  "mixture-ratio-trace": ["engine.box"],
  "accumulated-unburnt-mass": ["engine.largest_unburnt"],
  "shutdown-order": ["engine.sequence.abort_offset"],
  "injector-pressure-drop-through-start": ["engine.least_injector_share"],
  "leak-unc": ["duty.largest_leak"],
  "seat-leak-ambient": ["valve.seat.leakage.ambient"],
  "seat-leak-cold": ["valve.seat.leakage.cold"],
  "cycle-life": ["valve.seat.cycle_life"],
};

/** Checks whose number comes from a record that a person made of the valve itself. */
export const inspected: ReadonlySet<string> = new Set([
  "impact-toughness",
  "proof",
  "burst",
  "self-relief-test",
  "ignition-screen",
  "material-standing",
  "cleanliness",
  "lubricant",
  "electrical-continuity",
  "oxygen-at-drive",
]);

/** Checks that a measured time of a stroke bears on, by the sense of the stroke. */
export const timed: Readonly<Record<string, "opening" | "closing">> = {
  "opening-time": "opening",
  "closing-time": "closing",
  "abort-closing-time": "closing",
};

/** Checks that the measured torque of a stroke bears on. */
export const torqueChecks: ReadonlySet<string> = new Set([
  "break-torque",
  "run-torque",
  "end-torque",
  "torque-margin",
  "motorisation",
]);
