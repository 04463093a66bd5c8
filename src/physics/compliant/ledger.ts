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

/** The first of them are integrals of a power. */
const powerEntries = place.stop + 1;

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
  private readonly atStart = new Float64Array(powerEntries);
  private readonly atMiddle = new Float64Array(powerEntries);
  private readonly atEnd = new Float64Array(powerEntries);
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

  /**
   * A step that was used.
   * @param start, middle, end states of the part that was used;  @param duration of it [s]
   * @param goesOn the mode is that of the step before, which ended here
   * @param isFull whether the battery sees the motor directly
   */
  step(
    start: Float64Array,
    middle: Float64Array,
    end: Float64Array,
    duration: number,
    goesOn: boolean,
    isFull: boolean,
  ): void {
    const { sums, atStart, atMiddle, atEnd } = this;
    if (goesOn) atStart.set(atEnd);
    else this.powers(start, atStart, isFull);
    this.powers(middle, atMiddle, isFull);
    this.powers(end, atEnd, isFull);
    const sixth = duration / 6;
    for (let j = 0; j < powerEntries; j++)
      sums[j] =
        (sums[j] as number) +
        sixth * ((atStart[j] as number) + 4 * (atMiddle[j] as number) + (atEnd[j] as number));
  }

  private powers(y: Float64Array, into: Float64Array, isFull: boolean): void {
    const { equations, rates } = this;
    const { train, ball, bodies, sense } = equations;
    const i = y[equations.current] as number;
    const w0 = y[bodies] as number;
    const copper = train.resistance * i * i;
    equations.rates(y, rates);
    const battery = isFull
      ? this.sense * i
      : train.batteryCurrent(
          copper +
            train.torqueConstant * w0 * i +
            train.inductance * i * (rates[equations.current] as number),
        );
    const angle = y[ball] as number;
    const w = y[bodies + ball] as number;
    into[place.supplied] = train.openCircuitVoltage * battery;
    into[place.supply] = train.supplyResistance * battery * battery;
    into[place.copper] = copper;
    into[place.motor] = (train.motorDamping * w0 + (sense[0] as number) * train.motorFriction) * w0;
    into[place.gears] = equations.gearPower(y, train.motorFriction);
    into[place.twist] = equations.dampingPower(y);
    into[place.friction] = w === 0 ? 0 : (sense[ball] as number) * equations.ballFriction(angle, w) * w;
    into[place.damping] = train.damping * w * w;
    into[place.fluid] = w === 0 ? 0 : equations.curve(2, angle) * w;
    into[place.stop] = equations.stopPower(y);
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
