/**
 * The time series of runs as the page has them: coarse over all of a record at once, fine where one looks.
 * What is drawn never waits: the finest tile at hand that covers the view is shown until a finer one comes.
 */
import { createStore } from "zustand/vanilla";
import { channelOf, type Quantity, quantities, shownValue, slopesOf } from "../compute/quantities.js";
import { bestFor, type Stretch, type View } from "../compute/stretch.js";
import { type ChannelFile, type ChannelTile, faultsOf, fetchChannelList, fetchTile } from "./testCalls.js";
import { testBench } from "./tests.js";
import type { ServedRun } from "./workbench.js";

interface RunSeries {
  readonly files: readonly ChannelFile[];
  readonly from_s: number;
  readonly to_s: number;
  /** By quantity, the whole record first. */
  readonly stretches: Readonly<Record<string, readonly Stretch[]>>;
}

export const seriesStore = createStore<Readonly<Record<string, RunSeries>>>(() => ({}));

/** Stretches of a whole record, and of a fine tile; a tile reaches one view beyond the view on either side. */
const wholeBuckets = 4000;
const viewBuckets = 2000;
/** Fine tiles that are kept of a run. */
const mostFine = 8;

/** Loads what all of a run looks like, once. */
export async function loadSeries({ record }: ServedRun): Promise<void> {
  if (seriesStore.getState()[record.id] !== undefined) return;
  try {
    const files = await fetchChannelList(record.id);
    const spans = files.map(({ from_s, to_s }, file) => ({
      from_s: onRun(record, file, from_s),
      to_s: onRun(record, file, to_s),
    }));
    const from_s = Math.min(...spans.map((one) => one.from_s));
    const to_s = Math.max(...spans.map((one) => one.to_s));
    seriesStore.setState({ [record.id]: { files, from_s, to_s, stretches: {} } });
    await fetchInto(record, { from_s, to_s }, wholeBuckets);
  } catch (thrown) {
    testBench.setState({ faults: faultsOf(thrown), faultsAt: record.id });
  }
}

/** Fetches a finer tile where what is at hand is too coarse for a view. @param pixels its width */
export async function refine({ record }: ServedRun, view: View, pixels: number): Promise<void> {
  const run = seriesStore.getState()[record.id];
  if (run === undefined) return;
  const width = view.to_s - view.from_s;
  const isFine = Object.values(run.stretches).every((all) => {
    const best = bestFor(all, view);
    return best === undefined || !best.isThinned || best.step_s <= (1.5 * width) / pixels;
  });
  if (isFine) return;
  const wide = {
    from_s: Math.max(run.from_s, view.from_s - width),
    to_s: Math.min(run.to_s, view.to_s + width),
  };
  if (!(wide.to_s > wide.from_s)) return;
  const buckets = Math.ceil((viewBuckets * (wide.to_s - wide.from_s)) / width);
  try {
    await fetchInto(record, wide, buckets);
  } catch (thrown) {
    testBench.setState({ faults: faultsOf(thrown), faultsAt: record.id });
  }
}

type RunRecord = ServedRun["record"];

/** A time of one file on the clock of the run: t + offset + drift t. */
function onRun({ furtherFiles }: RunRecord, file: number, t: number): number {
  const clock = file === 0 ? undefined : furtherFiles?.[file - 1]?.clock;
  return clock === undefined ? t : t + clock.offset_s + (clock.drift ?? 0) * t;
}

/** A time of the run on the clock of one of its files. */
function onFile({ furtherFiles }: RunRecord, file: number, t: number): number {
  const clock = file === 0 ? undefined : furtherFiles?.[file - 1]?.clock;
  return clock === undefined ? t : (t - clock.offset_s) / (1 + (clock.drift ?? 0));
}

async function fetchInto(record: RunRecord, range: View, buckets: number): Promise<void> {
  const files = seriesStore.getState()[record.id]?.files ?? [];
  for (const [file, { channels }] of files.entries()) {
    const wanted = quantities.flatMap((quantity) => {
      const name = channelOf(quantity, channels);
      return name === undefined ? [] : [{ quantity, name }];
    });
    if (wanted.length === 0) continue;
    const tile = await fetchTile(
      record.id,
      file,
      wanted.map(({ name }) => name),
      { from_s: onFile(record, file, range.from_s), to_s: onFile(record, file, range.to_s) },
      buckets,
    );
    for (const { quantity, name } of wanted)
      keep(
        record.id,
        range,
        stretchesOf(quantity, tile, name, (t) => onRun(record, file, t), range, buckets),
      );
  }
}

/** A quantity out of a tile, and the speed out of the angle where every row is there. */
function stretchesOf(
  quantity: Quantity,
  { channels, isThinned }: ChannelTile,
  name: string,
  onClock: (t: number) => number,
  range: View,
  buckets: number,
): readonly (readonly [string, Stretch])[] {
  const channel = channels[name];
  if (channel === undefined) return [];
  const time_s = channel.time_s.map(onClock);
  const about = {
    ...range,
    isThinned,
    step_s: isThinned ? (range.to_s - range.from_s) / buckets : 0,
    time_s,
  };
  const value = channel.value.map((si) => (si === null ? Number.NaN : shownValue(quantity, si)));
  const own = [quantity.id, { ...about, value }] as const;
  const speed = quantities.find(({ id }) => id === "speed");
  if (quantity.id !== "angle" || speed === undefined) return [own];
  const slopes = isThinned ? time_s.map(() => Number.NaN) : slopesOf(time_s, channel.value);
  return [own, [speed.id, { ...about, value: slopes.map((si) => shownValue(speed, si)) }]];
}

function keep(id: string, range: View, found: readonly (readonly [string, Stretch])[]): void {
  const run = seriesStore.getState()[id];
  if (run === undefined) return;
  const stretches = { ...run.stretches };
  for (const [quantity, stretch] of found) {
    const all = stretches[quantity] ?? [];
    const isWhole = range.from_s <= run.from_s && range.to_s >= run.to_s;
    const [whole, ...fine] = all;
    stretches[quantity] =
      whole === undefined || isWhole
        ? [stretch, ...fine]
        : [whole, ...fine.slice(Math.max(0, fine.length - mostFine + 1)), stretch];
  }
  seriesStore.setState({ [id]: { ...run, stretches } });
}
