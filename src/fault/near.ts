/** Near names: what a mistyped word probably meant. */

/**
 * The permitted word nearest to a mistyped one, or undefined if none is near. Near means at most
 * one edit for each three letters of the longer word (at least one); an edit is a letter put in,
 * left out, replaced, or two neighbours swapped (optimal string alignment distance); a mere
 * difference of case or of separators (space, -, _) always counts as near. Common practice, no source.
 *
 * @param word       as typed
 * @param permitted  the words that would do; of equally near ones the first wins
 */
export function nearName(word: string, permitted: readonly string[]): string | undefined {
  let nearest: string | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (const candidate of permitted) {
    const distance = wordDistance(word, candidate);
    if (distance < least) {
      least = distance;
      nearest = candidate;
    }
  }
  return nearest;
}

/** Edits between two words; infinite if they are not near, below one if only case or separators differ. */
function wordDistance(word: string, candidate: string): number {
  if (word === candidate) return 0;
  const plainWord = plain(word);
  const plainCandidate = plain(candidate);
  if (plainWord === "" || plainCandidate === "") return Number.POSITIVE_INFINITY;
  if (plainWord === plainCandidate) return 0.5;
  const edits = editDistance(plainWord, plainCandidate);
  const longer = Math.max(plainWord.length, plainCandidate.length);
  const permittedEdits = Math.max(1, Math.floor(longer / 3));
  // Two-letter words are all one edit apart: only a shared letter makes them near.
  const shareNothing = edits >= longer;
  return edits <= permittedEdits && !shareNothing ? edits : Number.POSITIVE_INFINITY;
}

function plain(word: string): string {
  return word.toLowerCase().replaceAll(/[\s_-]/g, "");
}

/** Optimal string alignment distance: insertions, deletions, replacements, swaps of neighbours. */
function editDistance(a: string, b: string): number {
  let beforePrevious: readonly number[] = [];
  let previous: readonly number[] = Array.from({ length: b.length + 1 }, (_, column) => column);
  for (let row = 1; row <= a.length; row++) {
    const current: number[] = [row];
    for (let column = 1; column <= b.length; column++) {
      const same = a[row - 1] === b[column - 1];
      const swapped = row > 1 && column > 1 && a[row - 1] === b[column - 2] && a[row - 2] === b[column - 1];
      current.push(
        Math.min(
          cell(previous, column) + 1,
          cell(current, column - 1) + 1,
          cell(previous, column - 1) + (same ? 0 : 1),
          swapped ? cell(beforePrevious, column - 2) + 1 : Number.POSITIVE_INFINITY,
        ),
      );
    }
    beforePrevious = previous;
    previous = current;
  }
  return cell(previous, b.length);
}

function cell(row: readonly number[], column: number): number {
  return row[column] ?? Number.POSITIVE_INFINITY;
}
