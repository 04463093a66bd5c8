/** Random trains for the properties: sizes a valve of DN10 to DN100 could have, and shapes it should not. */
import fc from "fast-check";
import { type PlainTrain, quarterTurn, stage } from "./plainTrain.js";

const share = (min = 0, max = 1) => fc.double({ min, max, noNaN: true });
/** Evenly spread on a logarithmic scale. */
const decades = (min: number, max: number) => share().map((x) => min * (max / min) ** x);
const sometimes = <T>(value: T, other: fc.Arbitrary<T>) =>
  fc.oneof({ weight: 2, arbitrary: fc.constant(value) }, { weight: 3, arbitrary: other });

const motor = fc.record({
  voltage: decades(6, 60),
  resistance: decades(0.1, 3),
  electricalTime: decades(3e-5, 3e-3),
  torqueConstant: decades(0.01, 0.1),
  /** Time constant of the free motor, J R/k^2 [s]. */
  mechanicalTime: decades(3e-3, 0.03),
  frictionShare: sometimes(0, share(0.001, 0.08)),
  dampingShare: sometimes(0, share(0.001, 0.1)),
});
const gears = fc.array(
  fc.record({
    ratio: decades(2, 25),
    efficiency: fc.oneof({ weight: 1, arbitrary: fc.constant(1) }, { weight: 5, arbitrary: share(0.35, 1) }),
    noLoadShare: sometimes(0, share(0.001, 0.02)),
    inertiaShare: sometimes(0, share(0.01, 0.5)),
  }),
  { maxLength: 3 },
);
/** Shares of the drive's stall torque at the stem. */
const load = fc.record({
  friction: fc.oneof(
    { weight: 1, arbitrary: fc.constant(0) },
    { weight: 8, arbitrary: share(0.02, 0.6) },
    { weight: 1, arbitrary: share(0.6, 2) },
  ),
  tilt: share(-0.8, 0.8),
  ridge: sometimes(0, share(0, 2)),
  ridgeAt: share(),
  ridgeWidth: share(0.05, 0.3),
  breakaway: sometimes(0, share(0, 0.8)),
  dwell: sometimes(0, share(0, 0.5)),
  fluid: sometimes(0, share(-0.6, 0.6)),
  damping: sometimes(0, share(0.001, 0.5)),
  stribeckShare: decades(3e-3, 0.5),
  inertiaShare: decades(0.01, 3),
});
const rest = fc.record({
  supplyShare: sometimes(0, share(0.01, 1)),
  limitShare: sometimes(Number.POSITIVE_INFINITY, decades(0.1, 2)),
  deadTime: sometimes(0, share(0, 0.05)),
  restitution: sometimes(0, share(0, 0.95)),
  nodes: sometimes(61, fc.integer({ min: 2, max: 40 })),
});

/** A train whose numbers hang together as a designer's would. */
export const arbitraryTrain: fc.Arbitrary<PlainTrain> = fc
  .record({ motor, gears, load, rest })
  .map(({ motor: m, gears: g, load: l, rest: r }) => {
    const stall = (m.torqueConstant * m.voltage) / m.resistance;
    const rotorInertia = (m.mechanicalTime * m.torqueConstant ** 2) / m.resistance;
    let ratio = 1;
    let gain = 1;
    const stages = g.map((one) => {
      const made = stage(
        one.ratio,
        one.efficiency,
        stall * ratio * one.noLoadShare,
        rotorInertia * ratio ** 2 * one.inertiaShare,
      );
      ratio *= one.ratio;
      gain *= one.ratio * one.efficiency;
      return made;
    });
    const torque = stall * gain;
    const noLoad = m.voltage / (m.torqueConstant * ratio);
    const at = (x: number) =>
      torque *
      l.friction *
      Math.max(1 + l.tilt * (x - 0.5) + l.ridge * Math.exp(-(((x - l.ridgeAt) / l.ridgeWidth) ** 2)), 0);
    const nodes = Array.from({ length: r.nodes }, (_, j) => j / (r.nodes - 1));
    const friction = nodes.map(at);
    return {
      resistance: m.resistance,
      inductance: m.resistance * m.electricalTime,
      torqueConstant: m.torqueConstant,
      motorDamping: (m.dampingShare * stall * m.torqueConstant) / m.voltage,
      motorFriction: m.frictionShare * stall,
      rotorInertia,
      voltage: m.voltage,
      supplyResistance: r.supplyShare * m.resistance,
      currentLimit: (r.limitShare * m.voltage) / m.resistance,
      deadTime: r.deadTime,
      stages,
      loadInertia: l.inertiaShare * rotorInertia * ratio ** 2,
      damping: (l.damping * torque) / noLoad,
      stribeckSpeed: l.stribeckShare * noLoad,
      dwellTorque: l.dwell * (friction[0] ?? 0),
      travel: quarterTurn,
      restitution: r.restitution,
      friction,
      excess: friction.map((f) => f * l.breakaway),
      fluid: nodes.map((x) => torque * l.fluid * Math.sin(Math.PI * x) ** 2 * (0.6 + 0.8 * x)),
    };
  });
