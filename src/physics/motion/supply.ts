/**
 * What the battery gives when the driver chops its voltage: a converter without loss of its own
 * passes on the motor's terminal power P, so that V_oc i - R i^2 = P for the battery current i.
 * Derived in docs/theory/motion.md.
 */

/**
 * Battery current for a terminal power; the smaller root, the one a real supply settles on. Where the
 * power is more than the battery can give, its current at greatest power.
 *
 * @param openCircuitVoltage [V], >= 0;  @param resistance battery and cable [ohm], >= 0
 * @param power at the motor terminals [W], negative when the motor feeds back
 * @returns     [A], negative when it is fed
 */
export function batteryCurrent(openCircuitVoltage: number, resistance: number, power: number): number {
  const discriminant = openCircuitVoltage * openCircuitVoltage - 4 * resistance * power;
  if (discriminant <= 0) return resistance > 0 ? openCircuitVoltage / (2 * resistance) : 0;
  return (2 * power) / (openCircuitVoltage + Math.sqrt(discriminant));
}
