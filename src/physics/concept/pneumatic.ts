/**
 * A pneumatic actuator that turns a valve: volume that its pistons sweep, gas that a stroke takes.
 *
 *   volume  V = T q/(p_g eta)          work of the torque over the angle = work of the gas
 *   gas     m = c (p_g + p_a) V/(R T)  ideal gas, c the room of pistons and hoses besides
 *
 * With a spring that brings it back the gas winds the spring up beside turning the valve: twice the torque.
 * Valid for a torque that is even over the angle (rack and pinion), gas at the temperature of its bottle.
 * Source: textbook work balance and ideal gas [esposito-2009], from memory.
 */
import type {
  Angle,
  Mass,
  Pressure,
  PressureDifference,
  Temperature,
  Torque,
  Volume,
} from "../../quantity/index.js";

/** Volume that the pistons sweep. @param efficiency of rack, pinion and seals, 0 < eta <= 1 [-] */
export function sweptVolume(
  torque: Torque,
  angle: Angle,
  gauge: PressureDifference,
  efficiency: number,
): Volume {
  return ((torque * angle) / (gauge * efficiency)) as Volume;
}

/**
 * Gas that fills the volume once.
 * @param gasConstant of the gas [J/(kg K)];  @param room volume filled over volume swept, >= 1 [-]
 */
export function gasOfStroke(
  volume: Volume,
  pressure: Pressure,
  gasConstant: number,
  temperature: Temperature,
  room: number,
): Mass {
  return ((room * pressure * volume) / (gasConstant * temperature)) as Mass;
}
