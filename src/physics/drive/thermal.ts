/**
 * Winding temperature by two nodes, winding and motor body.
 *
 *   C_w dT_w/dt = P (1 + g (T_w - T_a)) - (T_w - T_c)/R_wc,   C_c dT_c/dt = (T_w - T_c)/R_wc - (T_c - T_a)/R_ca
 *
 * A current that is given, by the load or by the limit, heats the more the warmer the winding is: its
 * loss grows with the resistance, g per kelvin. That leaves the equations linear, so each stretch has
 * its closed solution; where g P exceeds what the paths of heat carry away the solution runs away.
 * Source: textbook [leonhard-2001]; solution derived in docs/theory/drive.md.
 */
import type {
  Energy,
  HeatCapacity,
  Power,
  Temperature,
  ThermalResistance,
  Time,
} from "../../quantity/index.js";

export interface MotorThermal {
  readonly windingHeatCapacity: HeatCapacity;
  readonly caseHeatCapacity: HeatCapacity;
  readonly windingToCase: ThermalResistance;
  readonly caseToAmbient: ThermalResistance;
}

export interface MotorTemperatures {
  readonly winding: Temperature;
  readonly case: Temperature;
}

/** Share of the way to running away that stands for its very edge, which has no steady state [-]. */
const edgeShare = 1e-12;

/**
 * Temperatures after a stretch of constant current in the winding.
 * @param start temperatures at its beginning;  @param ambient surroundings [K]
 * @param loss heat in the winding at the temperature of the surroundings [W];  @param duration >= 0 [s]
 * @param growth of the loss per kelvin of the winding above the surroundings; 0 for a loss that stays [1/K]
 * @returns     temperatures at its end [K]
 * Valid for    constant current and surroundings; heat capacities and resistances > 0
 */
export function temperaturesAfter(
  thermal: MotorThermal,
  start: MotorTemperatures,
  ambient: Temperature,
  loss: Power,
  duration: Time,
  growth: number = 0,
): MotorTemperatures {
  const a = 1 / (thermal.windingHeatCapacity * thermal.windingToCase);
  const b = 1 / (thermal.caseHeatCapacity * thermal.windingToCase);
  const c = 1 / (thermal.caseHeatCapacity * thermal.caseToAmbient);
  const feedback = (loss * growth) / thermal.windingHeatCapacity;
  const kept = a - feedback;
  // kept (b + c) - a b, without the difference of what is nearly equal; zero on the edge of running away.
  const determinant = a * c - feedback * (b + c) || edgeShare * a * c;
  const heating = loss / thermal.windingHeatCapacity / determinant;
  const steadyCase = ambient + heating * b;
  const steadyWinding = ambient + heating * (b + c);
  // Deviations from the steady state obey x' = -kept x + a y, y' = b x - (b + c) y: two real rates.
  const half = 0.5 * (kept + b + c);
  const root = Math.sqrt(half * half - determinant);
  const fast = half + root;
  const slow = determinant / fast;
  const x0 = start.winding - steadyWinding;
  const y0 = start.case - steadyCase;
  const u0 = ((kept - slow) * x0 - a * y0) / (fast - slow);
  const v0 = x0 - u0;
  const u = u0 * Math.exp(-fast * duration);
  const v = v0 * Math.exp(-slow * duration);
  return {
    winding: (steadyWinding + u + v) as Temperature,
    case: (steadyCase + (u * (kept - fast) + v * (kept - slow)) / a) as Temperature,
  };
}

export interface HeatingDuty {
  /** Copper heat of one stroke with the winding at the temperature of the surroundings. */
  readonly strokeEnergy: Energy;
  readonly strokeTime: Time;
  /** Loss while the drive pushes against a stop or jam, and for how long after each stroke. */
  readonly stallLoss: Power;
  readonly stallTime: Time;
  /** Growth of the loss per kelvin of the winding above the surroundings, in a stroke and held [1/K]. */
  readonly strokeGrowth: number;
  readonly stallGrowth: number;
  /** From stroke to stroke; strokes follow without pause where it is shorter than stroke and hold. */
  readonly period: Time;
  /** Number of strokes, at least one is taken. */
  readonly count: number;
}

/**
 * Highest winding temperature over a duty of equal strokes.
 * @param start    temperatures before the first stroke;  @param ambient  surroundings [K]
 * @returns        winding temperature [K]
 * Strokes are followed one by one at first, then by doubling, since a cycle maps temperatures
 * linearly: from a start no warmer than the steady cycle the last stroke is the hottest.
 */
export function peakWindingTemperature(
  thermal: MotorThermal,
  start: MotorTemperatures,
  ambient: Temperature,
  duty: HeatingDuty,
): Temperature {
  const strokes = Math.max(Math.round(duty.count), 1);
  const singly = Math.min(strokes, followedSingly);
  let now = start;
  let peak: number = start.winding;
  for (let n = 0; n < singly; n++) {
    const cycle = afterCycle(thermal, now, ambient, duty);
    peak = Math.max(peak, cycle.hottest);
    now = cycle.end;
  }
  if (strokes > singly) {
    const last = afterCycles(thermal, now, ambient, duty, strokes - singly - 1);
    peak = Math.max(peak, afterCycle(thermal, last, ambient, duty).hottest);
  }
  return peak as Temperature;
}

/** Strokes followed one by one; more are jumped over. */
const followedSingly = 64;

/** One stroke, its hold against the stop and the pause: temperatures at the end, and the winding's highest. */
function afterCycle(
  thermal: MotorThermal,
  start: MotorTemperatures,
  ambient: Temperature,
  duty: HeatingDuty,
): { readonly end: MotorTemperatures; readonly hottest: number } {
  const pause = Math.max(duty.period - duty.strokeTime - duty.stallTime, 0) as Time;
  const strokeLoss = (duty.strokeTime > 0 ? duty.strokeEnergy / duty.strokeTime : 0) as Power;
  const moved = temperaturesAfter(thermal, start, ambient, strokeLoss, duty.strokeTime, duty.strokeGrowth);
  const held = temperaturesAfter(thermal, moved, ambient, duty.stallLoss, duty.stallTime, duty.stallGrowth);
  return {
    end: temperaturesAfter(thermal, held, ambient, 0 as Power, pause),
    hottest: Math.max(moved.winding, held.winding),
  };
}

/** Temperatures after n cycles, by squaring of the linear map that one cycle is. */
function afterCycles(
  thermal: MotorThermal,
  start: MotorTemperatures,
  ambient: Temperature,
  duty: HeatingDuty,
  n: number,
): MotorTemperatures {
  const from = (winding: number, body: number): MotorTemperatures => {
    const warm = { winding: (ambient + winding) as Temperature, case: (ambient + body) as Temperature };
    return afterCycle(thermal, warm, ambient, duty).end;
  };
  const zero = from(0, 0);
  const byWinding = from(1, 0);
  const byCase = from(0, 1);
  let map: CycleMap = {
    ww: byWinding.winding - zero.winding,
    wc: byCase.winding - zero.winding,
    cw: byWinding.case - zero.case,
    cc: byCase.case - zero.case,
    w: zero.winding - ambient,
    c: zero.case - ambient,
  };
  let winding = start.winding - ambient;
  let body = start.case - ambient;
  for (let left = n; left > 0; left = Math.floor(left / 2)) {
    if (left % 2 === 1) {
      const w = map.ww * winding + map.wc * body + map.w;
      body = map.cw * winding + map.cc * body + map.c;
      winding = w;
    }
    map = twice(map);
  }
  return { winding: (ambient + winding) as Temperature, case: (ambient + body) as Temperature };
}

/** (w, c) -> (ww w + wc c + w0, cw w + cc c + c0), in kelvins above the surroundings. */
interface CycleMap {
  readonly ww: number;
  readonly wc: number;
  readonly cw: number;
  readonly cc: number;
  readonly w: number;
  readonly c: number;
}

function twice(m: CycleMap): CycleMap {
  return {
    ww: m.ww * m.ww + m.wc * m.cw,
    wc: m.ww * m.wc + m.wc * m.cc,
    cw: m.cw * m.ww + m.cc * m.cw,
    cc: m.cw * m.wc + m.cc * m.cc,
    w: m.ww * m.w + m.wc * m.c + m.w,
    c: m.cw * m.w + m.cc * m.c + m.c,
  };
}
