/** The line with each side as one pipe, for many motions that are slow against the waves, and where each place lies in it. */
import { asOnePipe, type Fitting, type LineNetwork, type LinePipe } from "../physics/line/index.js";
import type { BuiltLine, SurgeLine, SurgePlace } from "./surgeLine.js";
import type { Side } from "./surgePipe.js";

/** Sections of a pipe of a network, as shares of its travel time. */
export interface Stretch {
  readonly pipe: number;
  readonly from: number;
  readonly to: number;
}

/** A network in which each side is one pipe, with where each place lies in it. */
export interface ShortLine {
  readonly network: LineNetwork;
  /** One list for each place. */
  readonly stretches: readonly (readonly Stretch[])[];
  /** Junctions of the valve. */
  readonly valve: { readonly from: number; readonly to: number };
  /** Pipes of the line itself behind the valve, in order. */
  readonly behind: readonly number[];
}

/**
 * The line with each side as one pipe and without its dead ends, for many motions that are slow against the waves.
 * A line with a gas cushion stays as it is.
 */
export function shorten(line: SurgeLine, { network }: BuiltLine): ShortLine {
  if (line.hasCushion) return unshortened(line, network);
  const { liquid, fittings, losses, heights } = network;
  const of = (side: Side) => line.mainPipes(side).flatMap((i) => network.pipes[i] ?? []);
  const lost = (side: Side) =>
    losses.reduce((sum, { resistance }, l) => sum + (line.losses[l]?.side === side ? resistance : 0), 0);
  const withLoss = (fitting: Fitting | undefined, side: Side): Fitting =>
    fitting?.kind === "pressure"
      ? { ...fitting, resistance: fitting.resistance + lost(side) }
      : { kind: "none" };
  return {
    network: {
      pipes: [
        asOnePipe(of("upstream"), liquid.density, { from: 0, to: 1 }),
        asOnePipe(of("downstream"), liquid.density, { from: 2, to: 3 }),
      ],
      fittings: [
        withLoss(fittings[0], "upstream"),
        { kind: "none" },
        { kind: "none" },
        withLoss(fittings[line.end], "downstream"),
      ],
      losses: [],
      valve: { from: 1, to: 2 },
      liquid,
      heights: [heights?.[0] ?? 0, 0, 0, heights?.[line.end] ?? 0],
    },
    stretches: line.places.map((place) => stretchesOf(line, place, network.pipes)),
    valve: { from: 1, to: 2 },
    behind: [1],
  };
}

/** The whole network, in the form of a short one. */
export function unshortened(line: SurgeLine, network: LineNetwork): ShortLine {
  const at = (junction: number): readonly Stretch[] =>
    network.pipes.flatMap((pipe, i) => [
      ...(pipe.from === junction ? [{ pipe: i, from: 0, to: 0 }] : []),
      ...(pipe.to === junction ? [{ pipe: i, from: 1, to: 1 }] : []),
    ]);
  return {
    network,
    stretches: line.places.map(({ pipe, junctions }) =>
      pipe === undefined ? junctions.flatMap((j) => at(j).slice(0, 1)) : [{ pipe, from: 0, to: 1 }],
    ),
    valve: line.valve,
    behind: line.mainPipes("downstream"),
  };
}

function stretchesOf(
  line: SurgeLine,
  { pipe, junctions, side }: SurgePlace,
  pipes: readonly LinePipe[],
): readonly Stretch[] {
  if (side === undefined)
    return [
      { pipe: 0, from: 1, to: 1 },
      { pipe: 1, from: 0, to: 0 },
    ];
  const own = line.mainPipes(side);
  const time = (i: number) => (pipes[i]?.length ?? 0) / (pipes[i]?.waveSpeed ?? 1);
  const whole = own.reduce((sum, i) => sum + time(i), 0);
  const upTo = (k: number) => own.slice(0, k).reduce((sum, i) => sum + time(i), 0) / whole;
  const of = side === "upstream" ? 0 : 1;
  const at = pipe === undefined ? -1 : own.indexOf(pipe);
  if (at >= 0) return [{ pipe: of, from: upTo(at), to: upTo(at + 1) }];
  const junction = pipe === undefined ? junctions[0] : pipes[pipe]?.from;
  const before = own.findIndex((i) => pipes[i]?.to === junction);
  const share = upTo(before + 1);
  return [{ pipe: of, from: share, to: share }];
}
