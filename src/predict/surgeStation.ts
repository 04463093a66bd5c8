/** Places of the line whose pressure is drawn against time. */
import type { Line, PlacedPipe } from "./surgePipe.js";

/** A place whose pressure is drawn against time. */
export interface Station {
  readonly name: string;
  readonly pipe: number;
  /** From the start of its pipe, of its length [-]. */
  readonly share: number;
}

/** Stations at the nominal values; what names no place of the line is a fault of its own and left out. */
export function stationsOf(line: Line, pipes: readonly PlacedPipe[]): readonly Station[] {
  return (line.stations ?? []).flatMap(({ of, distance }): Station[] => {
    if (of === undefined) return [];
    const component = line.components?.find(({ name }) => name === of);
    const pipe = pipes.findIndex(({ fields }) => fields.name === (component?.after ?? of));
    const length = pipes[pipe]?.fields.length?.value;
    if (pipe < 0 || length === undefined) return [];
    if (distance === undefined) return [{ name: of, pipe, share: 1 }];
    return [{ name: `${of}, ${distance.text} from its start`, pipe, share: distance.value / length }];
  });
}
