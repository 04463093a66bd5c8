/** What the panels show of runs and prediction, and what stands at the crosshair. */
import type { HistoryBand } from "../../../predict/index.js";
import type { Range } from "../../compute/plotPlace.js";
import { type Quantity, quantities, shownValue } from "../../compute/quantities.js";
import { bestFor, type Stretch } from "../../compute/stretch.js";
import type { DrawnLine } from "./drawSeries.js";

/** A run with the instant that counts as zero [s], on its own clock. */
export interface ShownRun {
  readonly id: string;
  readonly zero_s: number;
  readonly stretches: Readonly<Record<string, readonly Stretch[]>>;
}

/** One quantity as it is shown; times in ms. */
export interface ShownPanel {
  readonly quantity: Quantity;
  readonly band:
    | { readonly x: readonly number[]; readonly low: readonly number[]; readonly high: readonly number[] }
    | undefined;
  readonly lines: readonly (DrawnLine & { readonly label: string })[];
}

/** Times of stretches in ms since a zero, worked out once: a stretch is shown in many views. */
const shifted = new WeakMap<Stretch, { readonly zero_s: number; readonly x: readonly number[] }>();

function timesOf(stretch: Stretch, zero_s: number): readonly number[] {
  const known = shifted.get(stretch);
  if (known !== undefined && known.zero_s === zero_s) return known.x;
  const x = stretch.time_s.map((t) => 1e3 * (t - zero_s));
  shifted.set(stretch, { zero_s, x });
  return x;
}

/** A band in the units of the axes, worked out once. */
const shownBands = new WeakMap<
  HistoryBand,
  Map<string, NonNullable<ShownPanel["band"]> & { nominal: number[] }>
>();

function bandIn(band: HistoryBand, quantity: Quantity) {
  const all: NonNullable<ReturnType<typeof shownBands.get>> = shownBands.get(band) ?? new Map();
  shownBands.set(band, all);
  const known = all.get(quantity.id);
  if (known !== undefined) return known;
  const { nominal, low, high } = band.channels[quantity.id];
  const show = (values: readonly number[]) => values.map((si) => shownValue(quantity, si));
  const made = {
    x: band.time_s.map((t) => 1e3 * t),
    low: show(low),
    high: show(high),
    nominal: show(nominal),
  };
  all.set(quantity.id, made);
  return made;
}

/** The panels of what is at hand; a quantity that nothing tells has none. */
export function panelsOf(
  runs: readonly ShownRun[],
  band: HistoryBand | undefined,
  range: Range,
): readonly ShownPanel[] {
  return quantities.flatMap((quantity): readonly ShownPanel[] => {
    const all = band === undefined ? undefined : bandIn(band, quantity);
    // A test without a liquid has no flow to predict.
    const of = all?.high.some((value) => value > 0) === true ? all : undefined;
    const measured = runs.flatMap(({ id, zero_s, stretches }, order) => {
      const all = stretches[quantity.id] ?? [];
      const view = { from_s: zero_s + range[0] / 1e3, to_s: zero_s + range[1] / 1e3 };
      const best = bestFor(all, view);
      return best === undefined
        ? []
        : [{ role: "measurement" as const, order, label: id, x: timesOf(best, zero_s), y: best.value }];
    });
    if (of === undefined && measured.length === 0) return [];
    return [
      {
        quantity,
        band: of,
        lines: [
          ...(of === undefined
            ? []
            : [{ role: "prediction" as const, order: 0, label: "predicted", x: of.x, y: of.nominal }]),
          ...measured,
        ],
      },
    ];
  });
}
