/** The axes of the time series: the same from run to run, so that the eye compares; they only ever grow. */
import { createStore } from "zustand/vanilla";

/** Ends in the unit of the axis, by quantity. */
export type Axes = Readonly<Record<string, readonly [number, number]>>;

const place = "coldturn-axes";

/** Of the dossier that is open. */
export const axesStore = createStore<{ readonly folder: string; readonly axes: Axes }>(() => ({
  folder: "",
  axes: {},
}));

/** Takes up the axes that a dossier had on this machine. */
export function takeAxes(folder: string): void {
  if (axesStore.getState().folder === folder) return;
  const text = localStorage.getItem(`${place}:${folder}`);
  // Written by growAxes of the same page.
  axesStore.setState({ folder, axes: text === null ? {} : (JSON.parse(text) as Axes) });
}

/** Makes room for values; an axis that has room stays as it is. @param step the ends are multiples of it */
export function growAxes(quantity: string, values: readonly number[], step: number): void {
  const { folder, axes } = axesStore.getState();
  let [low, high] = axes[quantity] ?? [0, step];
  for (const value of values) {
    if (value < low) low = step * Math.floor(value / step);
    if (value > high) high = step * Math.ceil(value / step);
  }
  const before = axes[quantity];
  if (before !== undefined && before[0] === low && before[1] === high) return;
  const next: Axes = { ...axes, [quantity]: [low, high] };
  axesStore.setState({ axes: next });
  try {
    localStorage.setItem(`${place}:${folder}`, JSON.stringify(next));
  } catch {
    // Without room for it the axes begin anew with the next page.
  }
}
