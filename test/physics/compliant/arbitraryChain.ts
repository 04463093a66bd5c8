/**
 * Random compliant trains with straight curves of the load: a motor that opens a quarter turn in a tenth of a second to
 * a half, one to three springs with or without play, each kind of stop, stick and slip, a current limit.
 */
import fc from "fast-check";
import type { ChainCase } from "./plainChain.js";

const share = (min = 0, max = 1) => fc.double({ min, max, noNaN: true });
/** Evenly spread on a logarithmic scale. */
const decades = (min: number, max: number) => share().map((x) => min * (max / min) ** x);
const sometimes = <T>(value: T, other: fc.Arbitrary<T>) =>
  fc.oneof({ weight: 2, arbitrary: fc.constant(value) }, { weight: 3, arbitrary: other });

const quarterTurn = Math.PI / 2;

const motor = fc.record({
  voltage: decades(8, 48),
  resistance: decades(0.3, 2),
  torqueConstant: decades(0.02, 0.08),
  electricalTime: decades(1e-4, 2e-3),
  /** Time constant of the free motor, J R/k^2 [s]. */
  mechanicalTime: decades(3e-3, 0.02),
  /** Of the stem, unloaded [rad/s]. */
  noLoad: decades(6, 30),
  frictionShare: sometimes(0, share(0.002, 0.06)),
  dampingShare: sometimes(0, share(0.001, 0.1)),
  supplyShare: sometimes(0, share(0.01, 0.3)),
  limitShare: sometimes<number | null>(null, share(0.5, 1)),
  deadTime: sometimes(0, share(0, 0.02)),
});
const link = fc.record({
  /** Of the whole ratio, on a logarithmic scale. */
  part: share(0.2, 1),
  efficiency: sometimes(1, share(0.6, 1)),
  start: share(0.8, 1),
  back: share(0.5, 1),
  /** Twist at the stem under the stall torque [rad]. */
  twist: decades(3e-3, 0.05),
  dampingRatio: share(0.01, 0.25),
  /** At the stem [rad]. */
  backlash: sometimes(0, decades(1e-3, 0.02)),
  /** Of the body behind it, over the rotor's, both at the stem. */
  inertiaShare: decades(0.05, 1),
  frictionShare: sometimes(0, share(0.002, 0.03)),
});
/** Shares of the stall torque at the stem. */
const load = fc.record({
  friction: share(0.05, 0.35),
  tilt: share(-0.6, 0.6),
  breakaway: share(0, 0.8),
  dwell: sometimes(0, share(0, 0.3)),
  fluid: sometimes(0, share(-0.15, 0.15)),
  damping: sometimes(0, share(0.001, 0.1)),
  stribeckShare: decades(0.01, 0.3),
});
const stop = fc.oneof(
  fc.record({ restitution: sometimes(0, share(0, 0.6)) }),
  fc.record({ at: share(), twist: decades(2e-3, 0.05), dampingRatio: share(0, 0.3) }),
);

/** A train whose numbers hang together as a designer's would. */
export const arbitraryChain: fc.Arbitrary<ChainCase> = fc
  .record({
    motor,
    links: fc.array(link, { minLength: 1, maxLength: 3 }),
    load,
    stop,
    sense: fc.constantFrom(1 as const, -1 as const),
  })
  .map(({ motor: m, links: drawn, load: l, stop: end, sense }) => {
    const resistance = m.resistance * (1 + m.supplyShare);
    const stall = (m.torqueConstant * m.voltage) / resistance;
    const whole = m.voltage / m.torqueConstant / m.noLoad;
    const parts = drawn.reduce((sum, { part }) => sum + part, 0);
    const ratios = drawn.map(({ part }) => whole ** (part / parts));
    const torque = stall * whole;
    const rotor = (m.mechanicalTime * m.torqueConstant ** 2) / m.resistance;
    const atStem = rotor * whole * whole;
    const behind = (b: number) => ratios.slice(b).reduce((product, ratio) => product * ratio, 1);
    const critical = (stiffness: number, inertia: number) => 2 * Math.sqrt(stiffness * inertia);
    const from = torque * l.friction * (1 - 0.5 * l.tilt);
    const to = torque * l.friction * (1 + 0.5 * l.tilt);
    const body = "at" in end ? 1 + Math.min(Math.floor(end.at * drawn.length), drawn.length - 1) : 0;
    // A stop stands where bodies turn with the stem.
    const isAtStem = behind(body) === 1;
    const stopBody = isAtStem ? body : drawn.length;
    const stopStiffness = "at" in end ? torque / end.twist : 0;
    return {
      name: "a random train",
      voltage: m.voltage,
      resistance: m.resistance,
      inductance: m.resistance * m.electricalTime,
      torqueConstant: m.torqueConstant,
      motorDamping: (m.dampingShare * stall * m.torqueConstant) / m.voltage,
      motorFriction: m.frictionShare * stall,
      supplyResistance: m.resistance * m.supplyShare,
      currentLimit: m.limitShare === null ? null : (m.limitShare * m.voltage) / resistance,
      deadTime: m.deadTime,
      damping: (l.damping * torque) / m.noLoad,
      stribeckSpeed: l.stribeckShare * m.noLoad,
      dwellTorque: l.dwell * from,
      travel: quarterTurn,
      friction: [from, to],
      excess: [from * l.breakaway, to * l.breakaway],
      fluid: [0, torque * l.fluid],
      sense,
      horizon: m.deadTime + 5 * m.mechanicalTime + (2.2 * quarterTurn) / m.noLoad,
      samples: 60,
      bodies: [
        [rotor, m.frictionShare * stall],
        ...drawn.map(({ inertiaShare, frictionShare }, j) => {
          const turns = behind(j + 1);
          const isBall = j === drawn.length - 1;
          return [
            (inertiaShare * atStem) / turns ** 2,
            isBall ? 0 : (frictionShare * torque) / turns,
          ] as const;
        }),
      ],
      links: drawn.map((one, j) => {
        const turns = behind(j + 1);
        const stiffness = torque / one.twist / turns ** 2;
        const inertia = (atStem * one.inertiaShare) / (1 + one.inertiaShare) / turns ** 2;
        return {
          ratio: ratios[j] ?? 1,
          efficiency: one.efficiency,
          start: one.efficiency * one.start,
          back: one.efficiency * one.back,
          stiffness,
          damping: one.dampingRatio * critical(stiffness, inertia),
          backlash: one.backlash / turns,
        };
      }),
      stop:
        "at" in end
          ? {
              body: stopBody,
              stiffness: stopStiffness,
              damping: end.dampingRatio * critical(stopStiffness, atStem * (drawn.at(-1)?.inertiaShare ?? 1)),
            }
          : { restitution: end.restitution },
    };
  });
