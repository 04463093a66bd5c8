/**
 * Where the energy of a run of the compliant train goes. Powers are integrated over each step by Simpson's rule
 * on the step's own path; the energies of motion, springs and field are taken from the states, so that the
 * residual holds the integration's error against them.
 *
 *   supplied = supply + copper + motor + gears + twist + friction + damping + fluid + stop
 *              + kinetic + elastic + magnetic + residual
 */
import type { Energy } from "../../quantity/index.js";
import type { ChainEquations } from "./chain.js";

/** Entries in the order in which power passes them; the first is what the source gives. */
export const chainEntries = [
  { id: "supplied", label: "given by the source" },
  { id: "supply", label: "lost in battery and cable" },
  { id: "copper", label: "heat in the winding" },
  { id: "motor", label: "friction of the motor" },
  { id: "gears", label: "lost in the gears" },
  { id: "twist", label: "lost in twist and at flanks" },
  { id: "friction", label: "friction of seats, packing and stem" },
  { id: "damping", label: "viscous resistance at the stem" },
  { id: "fluid", label: "work against the flow" },
  { id: "stop", label: "taken by the end stop" },
  { id: "kinetic", label: "still in motion" },
  { id: "elastic", label: "still in the springs" },
  { id: "magnetic", label: "still in the winding's field" },
] as const;
export type ChainEntryId = (typeof chainEntries)[number]["id"];

/** Place of each entry among the sums. */
const place = {
  supplied: 0,
  supply: 1,
  copper: 2,
  motor: 3,
  gears: 4,
  twist: 5,
  friction: 6,
  damping: 7,
  fluid: 8,
  stop: 9,
  kinetic: 10,
  elastic: 11,
  magnetic: 12,
} as const satisfies Record<ChainEntryId, number>;

export interface ChainLedger {
  readonly entries: Readonly<Record<ChainEntryId, Energy>>;
  /** Supplied minus all the others, over the largest entry or a picojoule [-]. */
  readonly relativeResidual: number;
}

/** The books are closed when the residual is at most this share of the largest entry [-]. */
export const chainLedgerTolerance = 1e-3;
const leastEnergy = 1e-12;

export class ChainAccounts {
  private readonly sums = new Float64Array(chainEntries.length);
  private readonly rates: Float64Array;
  private initial = 0;

  constructor(
    private readonly equations: ChainEquations,
    private readonly sense: 1 | -1,
  ) {
    this.rates = new Float64Array(equations.size);
  }

  /** Notes the energies that are there before the run. */
  begin(y: Float64Array): void {
    this.initial = this.stored(y);
  }

  private stored(y: Float64Array): number {
    const { equations } = this;
    const i = y[equations.current] as number;
    return equations.kinetic(y) + equations.elastic(y) + 0.5 * equations.train.inductance * i * i;
  }

  /** One point of a step. @param weight of its powers [s];  @param isFull whether the battery sees the motor directly */
  point(y: Float64Array, weight: number, isFull: boolean): void {
    const { equations, sums, rates } = this;
    const { train, ball, bodies, sense } = equations;
    const { motorFriction } = train;
    equations.rates(y, rates);
    const i = y[equations.current] as number;
    const w0 = y[bodies] as number;
    const copper = train.resistance * i * i;
    const battery = isFull
      ? this.sense * i
      : train.batteryCurrent(
          copper +
            train.torqueConstant * w0 * i +
            train.inductance * i * (rates[equations.current] as number),
        );
    const angle = y[ball] as number;
    const w = y[bodies + ball] as number;
    const add = (index: number, power: number) => {
      sums[index] = (sums[index] as number) + weight * power;
    };
    add(place.supplied, train.openCircuitVoltage * battery);
    add(place.supply, train.supplyResistance * battery * battery);
    add(place.copper, copper);
    add(place.motor, (train.motorDamping * w0 + (sense[0] as number) * motorFriction) * w0);
    add(place.gears, equations.gearPower(y, motorFriction));
    add(place.twist, equations.dampingPower(y));
    add(place.friction, (sense[ball] as number) * equations.ballFriction(angle, w) * w);
    add(place.damping, train.damping * w * w);
    add(place.fluid, equations.curve(2, angle) * w);
    add(place.stop, equations.stopPower(y));
  }

  /** An energy that goes at one instant: at a hard stop, or with a spring that is let go. */
  lose(id: "stop" | "twist", energy: number): void {
    this.sums[place[id]] = (this.sums[place[id]] as number) + energy;
  }

  close(y: Float64Array): ChainLedger {
    const { sums, equations } = this;
    const i = y[equations.current] as number;
    sums[place.kinetic] = equations.kinetic(y);
    sums[place.elastic] = equations.elastic(y);
    sums[place.magnetic] = 0.5 * equations.train.inductance * i * i;
    let residual = (sums[0] as number) + this.initial;
    let largest = Math.max(Math.abs(residual), leastEnergy);
    for (let j = 1; j < sums.length; j++) {
      residual -= sums[j] as number;
      largest = Math.max(largest, Math.abs(sums[j] as number));
    }
    return {
      entries: Object.fromEntries(chainEntries.map(({ id }, j) => [id, sums[j]])) as Record<
        ChainEntryId,
        Energy
      >,
      relativeResidual: residual / largest,
    };
  }
}
