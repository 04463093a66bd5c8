/**
 * A second road to a stroke: the equations in the head of src/physics/motion/train.ts, written anew
 * at the stem and solved by a general-purpose integrator, odex (Gragg, Bulirsch and Stoer's
 * extrapolation), restarted at every event. Slow, and nothing of the engine in it.
 */
import { findRoot, monotoneCubic } from "../../../src/numerics/index.js";
import { odex, type Rates, type Solver } from "../odex.js";
import type { PlainTrain } from "./plainTrain.js";

const tolerance = 1e-12;
/** A feature within one step could be missed; none of the trains has one so short [s]. */
const longestStep = 2e-3;

export interface State {
  readonly angle: number;
  readonly speed: number;
  readonly current: number;
}

export interface SecondStroke {
  readonly firstMotion: number | undefined;
  /** First contact with the stop the stroke goes to. */
  readonly arrival: number | undefined;
  readonly markTimes: readonly number[];
  /** States at the asked times that the stroke reached. */
  readonly states: readonly State[];
  readonly angle: number;
  readonly isAtRest: boolean;
  readonly impactSpeed: number;
  readonly switches: readonly string[];
}

export interface SecondOrder {
  readonly sense: 1 | -1;
  readonly start: number;
  readonly horizon: number;
  readonly marks: readonly number[];
  /** Ascending. */
  readonly times: readonly number[];
  /** Wanted current at a sample since the drive came alive, where the driver leads the current. */
  readonly loops?: {
    readonly sampleTime: number;
    readonly lag: number;
    wanted(time: number, angle: number, speed: number): number;
  };
}

/** Below this rebound speed the ball stays at the stop, as a share of the no-load speed; as the engine has it. */
const restSpeedShare = 1e-3;

export function secondSolution(plain: PlainTrain, order: SecondOrder): SecondStroke {
  const curves = [plain.friction, plain.excess, plain.fluid].map((values) =>
    monotoneCubic(
      values.map((_, j) => (plain.travel * j) / (values.length - 1)),
      values,
      "extend",
    ),
  );
  const [f, e, H] = curves.map((c) => (angle: number) => c.value(angle));
  if (f === undefined || e === undefined || H === undefined) throw new Error("three curves make a load");
  const R = plain.resistance + plain.supplyResistance;
  const N = plain.stages.reduce((product, { ratio }) => product * ratio, 1);
  const k = plain.torqueConstant;
  const V = plain.voltage;

  /** Gain, inertia and friction at the stem, from the motor outwards; gears that lock have an infinite gain. */
  const regime = (passed: (stage: PlainTrain["stages"][number]) => number) => {
    const behind = (j: number) =>
      plain.stages.slice(j).reduce((product, stage) => product * stage.ratio * passed(stage), 1);
    const speed = (j: number) => plain.stages.slice(j).reduce((product, stage) => product * stage.ratio, 1);
    const gain = behind(0);
    let inertia = plain.loadInertia + plain.rotorInertia * N * gain;
    let friction = plain.motorFriction * gain;
    plain.stages.forEach((stage, j) => {
      inertia += stage.inertia * speed(j) * behind(j);
      friction += stage.noLoadTorque * behind(j);
    });
    return { gain, inertia, friction };
  };
  const forward = regime((stage) => stage.efficiency);
  const backward = regime((stage) => 1 / stage.backEfficiency);
  const accelerationIn = (r: typeof forward, load: number, s: number, w: number, i: number) =>
    (r.gain * (k * i - plain.motorDamping * N * w) - s * r.friction - load) / r.inertia;
  const dwell = { torque: plain.dwellTorque };
  const friction = (angle: number, w: number) =>
    f(angle) + (e(angle) + dwell.torque) * Math.exp(-((w / plain.stribeckSpeed) ** 2));
  const bothAccelerations = (s: number, [angle = 0, w = 0, i = 0]: readonly number[]) => {
    const load = s * friction(angle, w) + H(angle) + plain.damping * w;
    return [accelerationIn(forward, load, s, w, i), accelerationIn(backward, load, s, w, i)] as const;
  };

  // What the driver does.
  let driver: "dead" | "full" | "limiting" | "led" = "dead";
  let wanted = 0;
  const lag = order.loops?.lag ?? 1;
  const limit = order.sense * plain.currentLimit;
  const currentRate = (w: number, i: number): number => {
    const loss = R * i + k * N * w;
    if (driver === "full") return (order.sense * V - loss) / plain.inductance;
    if (driver !== "led") return 0;
    const rate = (wanted - i) / lag;
    return Math.min(Math.max(rate, (-V - loss) / plain.inductance), (V - loss) / plain.inductance);
  };
  /** Positive while the led current is bound by the voltage upwards, and downwards. */
  const bound = (sign: 1 | -1) => (y: readonly number[]) =>
    sign * ((wanted - (y[2] ?? 0)) / lag) -
    (V - sign * (R * (y[2] ?? 0) + k * N * (y[1] ?? 0))) / plain.inductance;

  // The stroke.
  let t = 0;
  let y = [order.start, 0, 0];
  let isMoving = false;
  let direction: 1 | -1 = order.sense;
  let isBackward = false;
  let isSettled = false;
  let firstMotion: number | undefined;
  let arrival: number | undefined;
  let impactSpeed = 0;
  const markTimes: number[] = order.marks.map(() => Number.NaN);
  const states: State[] = [];
  const switches: string[] = [];

  const startingCurrent = (d: 1 | -1) => {
    const resist = f(y[0] ?? 0) + e(y[0] ?? 0) + dwell.torque + d * H(y[0] ?? 0);
    const torque = (r: typeof forward) => (r.friction + resist) / r.gain;
    return Math.max(torque(forward), torque(backward)) / k;
  };
  const isAtStop = (d: 1 | -1) => (d > 0 ? (y[0] ?? 0) >= plain.travel : (y[0] ?? 0) <= 0);
  const chooseRegime = () => {
    const [a, b] = bothAccelerations(direction, y);
    isBackward = direction * (b - a) < -1e-9 * Math.abs(a);
  };

  interface Watch {
    readonly name: string;
    /** The event is where this turns positive. */
    readonly value: (y: readonly number[]) => number;
  }
  const watches = (): Watch[] => {
    const i = (s: readonly number[]) => s[2] ?? 0;
    const w = (s: readonly number[]) => s[1] ?? 0;
    const list: Watch[] = [];
    if (driver === "full") list.push({ name: "limit", value: (s) => order.sense * (i(s) - limit) });
    if (driver === "limiting")
      list.push({ name: "free", value: (s) => order.sense * w(s) - (V - R * plain.currentLimit) / (k * N) });
    if (driver === "led")
      for (const sign of [1, -1] as const)
        for (const way of [1, -1]) list.push({ name: "bound", value: (s) => way * bound(sign)(s) });
    if (!isMoving) {
      for (const d of [1, -1] as const)
        if (!isAtStop(d))
          list.push({ name: d > 0 ? "start+" : "start-", value: (s) => d * i(s) - startingCurrent(d) });
      return list;
    }
    list.push({ name: "rest", value: (s) => -direction * w(s) });
    list.push({ name: "stop", value: (s) => (direction > 0 ? (s[0] ?? 0) - plain.travel : -(s[0] ?? 0)) });
    list.push({
      name: "regime",
      value: (s) => {
        const [a, b] = bothAccelerations(direction, s);
        return (isBackward ? 1 : -1) * direction * (b - a) - 1e-9 * Math.abs(a);
      },
    });
    // A third derivative jumps at the nodes of the curves: the integrator is restarted there.
    const node = plain.travel / (plain.friction.length - 1);
    const here = Math.round(((y[0] ?? 0) / node) * 1e9) / 1e9;
    const next = (direction > 0 ? Math.floor(here) + 1 : Math.ceil(here) - 1) * node;
    list.push({ name: "node", value: (s) => direction * ((s[0] ?? 0) - next) });
    order.marks.forEach((mark, j) => {
      if (Number.isNaN(markTimes[j] ?? 0))
        list.push({ name: `mark ${j}`, value: (s) => order.sense * ((s[0] ?? 0) - order.start) - mark });
    });
    return list;
  };

  const rates: Rates = (_, [angle = 0, w = 0, i = 0]) => {
    const [a, b] = bothAccelerations(direction, [angle, w, i]);
    return isMoving ? [w, isBackward ? b : a, currentRate(w, i)] : [0, 0, currentRate(0, i)];
  };
  const solve = (
    from: number,
    start: readonly number[],
    to: number,
    observe?: Parameters<Solver["solve"]>[4],
  ) => {
    const solver = new odex.Solver(3);
    solver.absoluteTolerance = tolerance;
    solver.relativeTolerance = tolerance;
    solver.maxStepSize = longestStep;
    solver.initialStepSize = Math.min(1e-5, to - from);
    solver.maxSteps = 1e6;
    return to > from ? solver.solve(rates, from, [...start], to, observe).y : [...start];
  };

  let last = { index: -1, t: Number.NaN };
  /** Runs to a time or to the first event before it; returns the event's name. */
  const runTo = (until: number): string | undefined => {
    const list = watches();
    const before = list.map(({ value }) => value(y));
    let from = t;
    let start = [...y];
    let found: { at: number; from: number; start: number[]; watch: Watch; index: number } | undefined;
    const end = solve(t, y, until, (n, _, x, state) => {
      if (n === 1) return undefined;
      for (const [j, watch] of list.entries()) {
        const now = watch.value(state);
        // An event that has just been dealt with starts at zero and must first turn negative.
        if (now > 0 && (before[j] ?? 0) < 0) {
          const at = findRoot((p) => watch.value(solve(from, start, p)), from, x, { tolerance: 1e-15 });
          // The last bits of a root may lie on its near side: the same event is not found again there.
          const isSame = last.index === j && at - last.t < 1e-13;
          if (!isSame && (found === undefined || at < found.at))
            found = { at, from, start: [...start], watch, index: j };
        }
      }
      if (found !== undefined) return false;
      list.forEach(({ value }, j) => {
        before[j] = value(state);
      });
      from = x;
      start = [...state];
      return undefined;
    });
    if (found === undefined) {
      t = until;
      y = end;
      return undefined;
    }
    y = solve(found.from, found.start, found.at);
    t = found.at;
    last = { index: found.index, t };
    return found.watch.name;
  };

  const begin = (d: 1 | -1) => {
    isMoving = true;
    direction = d;
    firstMotion ??= t;
    y[1] = 0;
    chooseRegime();
  };
  const comeToRest = () => {
    isMoving = false;
    y[1] = 0;
    dwell.torque = 0;
  };
  const meetStop = () => {
    const speed = y[1] ?? 0;
    impactSpeed = Math.max(impactSpeed, Math.abs(speed));
    if (direction === order.sense) arrival ??= t;
    y[0] = direction > 0 ? plain.travel : 0;
    dwell.torque = 0;
    if (Math.abs(plain.restitution * speed) <= (restSpeedShare * V) / (k * N)) {
      comeToRest();
      isSettled = isAtStop(order.sense);
      return;
    }
    y[1] = -plain.restitution * speed;
    direction = direction > 0 ? -1 : 1;
    chooseRegime();
  };

  const advance = (until: number) => {
    while (t < until && !isSettled) {
      if (!isMoving) {
        for (const d of [1, -1] as const) if (!isAtStop(d) && d * (y[2] ?? 0) > startingCurrent(d)) begin(d);
      }
      const event = runTo(until);
      if (event === undefined) continue;
      if (!event.startsWith("mark") && event !== "node") switches.push(event);
      if (event === "limit") {
        driver = "limiting";
        y[2] = limit;
      } else if (event === "free") driver = "full";
      else if (event === "start+") begin(1);
      else if (event === "start-") begin(-1);
      else if (event === "rest") comeToRest();
      else if (event === "stop") meetStop();
      else if (event === "regime") isBackward = !isBackward;
      else if (event.startsWith("mark")) markTimes[Number(event.slice(5))] = t;
    }
  };
  const advanceRecording = (until: number) => {
    for (const time of order.times) {
      if (time < t || time > until || states.length > order.times.indexOf(time)) continue;
      advance(time);
      if (isSettled) return;
      states.push({ angle: y[0] ?? 0, speed: y[1] ?? 0, current: y[2] ?? 0 });
    }
    advance(until);
  };

  advanceRecording(Math.min(plain.deadTime, order.horizon));
  if (order.loops === undefined) {
    driver = "full";
    advanceRecording(order.horizon);
  } else {
    driver = "led";
    for (let n = 0; t < order.horizon && !isSettled; n++) {
      const { sampleTime } = order.loops;
      const asked = order.loops.wanted(n * sampleTime, y[0] ?? 0, y[1] ?? 0);
      wanted = Math.min(Math.max(asked, -plain.currentLimit), plain.currentLimit);
      advanceRecording(Math.min(plain.deadTime + (n + 1) * sampleTime, order.horizon));
    }
  }
  return {
    firstMotion,
    arrival,
    markTimes,
    states,
    angle: y[0] ?? 0,
    isAtRest: !isMoving,
    impactSpeed,
    switches,
  };
}
