/** Where labels go so that they cover neither one another nor the curves. Plain geometry in pixels or cells. */

/** An upright rectangle. */
export interface Box {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

/** A label over a stem at x; its text runs from the stem to one side. */
export interface StemLabel {
  readonly x: number;
  readonly width: number;
}

/** Where such a label went: lane 0 lies nearest the figure. */
export interface StemPlace {
  readonly lane: number;
  readonly left: number;
}

/**
 * Lanes above a figure for labels over stems. A label lies to the right of its stem, or to the left
 * where the right has no room; it is lifted above every stem it would cover.
 * @param gap  free space kept beside a label, same unit as x
 */
export function stemLanes(
  labels: readonly StemLabel[],
  left: number,
  right: number,
  gap: number,
): readonly StemPlace[] {
  const leftEdges = sides(labels, left, right, gap);
  const covers = (upper: number, lower: number): boolean =>
    coversStem(leftEdges[upper] ?? 0, labels[upper]?.width ?? 0, labels[lower]?.x ?? 0, gap);
  const overlaps = (a: number, b: number): boolean => {
    const [edgeA, edgeB] = [leftEdges[a] ?? 0, leftEdges[b] ?? 0];
    return edgeA < edgeB + (labels[b]?.width ?? 0) + gap && edgeB < edgeA + (labels[a]?.width ?? 0) + gap;
  };
  const isAbove = (a: number, b: number): boolean => {
    if (a === b) return false;
    if (!overlaps(a, b) && !covers(a, b) && !covers(b, a)) return false;
    if (covers(a, b) !== covers(b, a)) return covers(a, b);
    const [xA, xB] = [labels[a]?.x ?? 0, labels[b]?.x ?? 0];
    return xA === xB ? a < b : xA < xB;
  };
  const lanes = new Map<number, number>();
  const waiting = new Set(labels.keys());
  while (waiting.size > 0) {
    // Labels that cover each other's stems in a ring have no first one; the one that covers least goes first.
    const next = least([...waiting], (one) => count(waiting, (other) => isAbove(one, other)));
    waiting.delete(next);
    let lane = 0;
    for (const [other, taken] of lanes) if (isAbove(next, other)) lane = Math.max(lane, taken + 1);
    while ([...lanes].some(([other, taken]) => taken === lane && overlaps(next, other))) lane++;
    lanes.set(next, lane);
  }
  return leftEdges.map((edge, one) => ({ lane: lanes.get(one) ?? 0, left: edge }));
}

function coversStem(edge: number, width: number, stem: number, gap: number): boolean {
  return stem > edge - gap && stem < edge + width + gap;
}

/** Left edges of the labels, decided from the right: to the right of the stem if that has room, else to its left. */
function sides(labels: readonly StemLabel[], left: number, right: number, gap: number): readonly number[] {
  const edges = labels.map(() => 0);
  const decided: number[] = [];
  const fromRight = labels.map((_, index) => index).sort((a, b) => xOf(labels, b) - xOf(labels, a) || b - a);
  for (const one of fromRight) {
    const { x, width } = labels[one] ?? { x: 0, width: 0 };
    const possible = [x + gap, x - gap - width].filter((edge) => edge >= left && edge + width <= right);
    // Two labels that each cover the other's stem cannot both stand clear of it.
    const isClear = (edge: number): boolean =>
      !decided.some(
        (other) =>
          coversStem(edge, width, xOf(labels, other), gap) &&
          coversStem(edges[other] ?? 0, labels[other]?.width ?? 0, x, gap),
      );
    edges[one] = possible.find(isClear) ?? possible[0] ?? Math.max(left, right - width);
    decided.push(one);
  }
  return edges;
}

function xOf(labels: readonly StemLabel[], index: number): number {
  return labels[index]?.x ?? 0;
}

function least(candidates: readonly number[], cost: (one: number) => number): number {
  return candidates.reduce((best, one) => (cost(one) < cost(best) ? one : best), candidates[0] ?? 0);
}

function count(all: Iterable<number>, holds: (one: number) => boolean): number {
  let number = 0;
  for (const one of all) if (holds(one)) number++;
  return number;
}

/** A block that would like its middle at `at`. */
export interface Block {
  readonly at: number;
  readonly size: number;
}

/**
 * Middles of blocks stacked without overlap between low and high, each as near its wish as the
 * others allow (neighbours that collide share the displacement).
 * @returns  in the order given; undefined if they do not fit
 */
export function stack(blocks: readonly Block[], low: number, high: number): readonly number[] | undefined {
  const total = blocks.reduce((sum, block) => sum + block.size, 0);
  if (total > high - low) return undefined;
  const order = blocks
    .map((_, index) => index)
    .sort((a, b) => wishOf(blocks, a) - wishOf(blocks, b) || a - b);
  const groups: { members: number[]; top: number; size: number }[] = [];
  for (const index of order) {
    const size = blocks[index]?.size ?? 0;
    let group = { members: [index], top: wishOf(blocks, index) - size / 2, size };
    while (true) {
      group.top = Math.max(low, Math.min(high - group.size, group.top));
      const above = groups.at(-1);
      if (above === undefined || above.top + above.size <= group.top + 1e-9) break;
      groups.pop();
      group = merged(blocks, [...above.members, ...group.members]);
    }
    groups.push(group);
  }
  const middles = blocks.map(() => 0);
  for (const group of groups) {
    let top = group.top;
    for (const index of group.members) {
      const size = blocks[index]?.size ?? 0;
      middles[index] = top + size / 2;
      top += size;
    }
  }
  return middles;
}

function wishOf(blocks: readonly Block[], index: number): number {
  return blocks[index]?.at ?? 0;
}

/** A group of touching blocks whose mean displacement is nil. */
function merged(
  blocks: readonly Block[],
  members: number[],
): { members: number[]; top: number; size: number } {
  let size = 0;
  let wishedTop = 0;
  for (const index of members) {
    const block = blocks[index] ?? { at: 0, size: 0 };
    wishedTop += block.at - block.size / 2 - size;
    size += block.size;
  }
  return { members, top: wishedTop / members.length, size };
}

/** The candidate that covers the fewest of the points and none of the boxes, if there is such a one. */
export function leastCovered(
  candidates: readonly Box[],
  points: readonly (readonly [number, number])[],
  taken: readonly Box[],
): Box | undefined {
  let best: Box | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (const box of candidates) {
    const onBoxes = taken.filter((other) => boxesOverlap(box, other)).length;
    const onPoints = points.filter(
      ([x, y]) => x > box.left && x < box.right && y > box.top && y < box.bottom,
    );
    const cost = onBoxes * 1000 + onPoints.length;
    if (cost < least) {
      least = cost;
      best = box;
    }
  }
  return best;
}

/** Whether two boxes share an area. */
export function boxesOverlap(a: Box, b: Box): boolean {
  return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
}
