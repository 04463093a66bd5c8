/** Voltage that the battery leaves at the driver. */
import { batteryCurrent, type RigidTrain } from "../physics/motion/index.js";

/**
 * Voltage at the driver at a motor current and stem speed, current slow: the battery gives the smaller
 * of what the motor takes at full voltage and what the chopped voltage needs [V].
 */
export function supplyVoltage(train: RigidTrain, current: number, speed: number): number {
  const { openCircuitVoltage: open, supplyResistance: R } = train;
  const terminal = train.resistance * current + train.torqueConstant * train.ratio * speed;
  return open - R * Math.min(batteryCurrent(open, R, terminal * current), Math.abs(current));
}
