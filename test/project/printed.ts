/** Whether a page shows what a program prints. */

/** The lines of a shown block that must have been printed; a line "..." stands for any lines. */
export function wantedLines(block: string): readonly string[] {
  return block
    .split("\n")
    .map((line) => line.trim())
    .filter((line) => line !== "" && line !== "...");
}

/** The first wanted line that does not follow the one before it. */
export function missingLine(wanted: readonly string[], printed: string): string | undefined {
  const lines = printed.split("\n").map((text) => text.trim());
  let from = 0;
  for (const line of wanted) {
    const at = lines.indexOf(line, from);
    if (at < 0) return line;
    from = at + 1;
  }
  return undefined;
}
