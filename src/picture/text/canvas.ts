/**
 * A grid of characters in three layers: shading at the bottom, fine dots (two by four in a cell, as
 * braille patterns) above it, letters on top. Without Unicode the shading is a point and there are
 * no fine dots.
 */
import type { Role } from "../role.js";
import { roleStyles } from "../theme.js";
import { cellsOf } from "../words.js";
import { shownText } from "./shown.js";

/** How a terminal picture is written. */
export interface TextManner {
  readonly unicode: boolean;
  /** Whether roles are also told by colour (SGR codes). */
  readonly colour: boolean;
}

interface Cell {
  shade?: { readonly glyph: string; readonly role: Role };
  dots: number;
  dotRole?: Role;
  letter?: { readonly glyph: string; readonly role: Role | undefined };
}

// Bits of a braille pattern by row (from the top) and column (from the left).
const brailleBits = [
  [0x01, 0x08],
  [0x02, 0x10],
  [0x04, 0x20],
  [0x40, 0x80],
] as const;
const brailleStart = 0x2800;

/** A grid that marks draw into; places outside it are passed over. */
export class Canvas {
  readonly columns: number;
  readonly rows: number;
  readonly manner: TextManner;
  readonly #cells: Cell[];

  constructor(columns: number, rows: number, manner: TextManner) {
    this.columns = columns;
    this.rows = rows;
    this.manner = manner;
    this.#cells = Array.from({ length: columns * rows }, () => ({ dots: 0 }));
  }

  #cell(column: number, row: number): Cell | undefined {
    if (!(column >= 0 && column < this.columns && row >= 0 && row < this.rows)) return undefined;
    return this.#cells[Math.floor(row) * this.columns + Math.floor(column)];
  }

  /** Writes one letter of one cell. */
  put(column: number, row: number, glyph: string, role?: Role): void {
    const cell = this.#cell(column, row);
    if (cell !== undefined) cell.letter = { glyph, role };
  }

  /** The letters that `write` sets for a text: one cell each; wider ones become a question mark. */
  letters(text: string): readonly string[] {
    return [...shownText(text, this.manner)].map((glyph) => (cellsOf(glyph) === 1 ? glyph : "?"));
  }

  /** Writes a text from a cell on. */
  write(column: number, row: number, text: string, role?: Role): void {
    for (const [offset, glyph] of this.letters(text).entries()) this.put(column + offset, row, glyph, role);
  }

  /** Shades one cell. */
  shade(column: number, row: number, glyph: string, role: Role): void {
    const cell = this.#cell(column, row);
    if (cell !== undefined) cell.shade = { glyph, role };
  }

  /** Sets a fine dot; column and row carry fractions of a cell. */
  dot(column: number, row: number, role: Role): void {
    const cell = this.#cell(column, row);
    if (cell === undefined) return;
    const bits = brailleBits[Math.floor((row % 1) * 4)] ?? brailleBits[0];
    cell.dots |= (column % 1) * 2 < 1 ? bits[0] : bits[1];
    cell.dotRole = role;
  }

  /** Whether a cell carries dots or a letter. */
  isTaken(column: number, row: number): boolean {
    const cell = this.#cell(column, row);
    return cell !== undefined && (cell.letter !== undefined || cell.dots !== 0);
  }

  /** Number of columns of a row up to its last mark. */
  usedColumns(row: number): number {
    let used = this.columns;
    while (used > 0 && this.#printed(this.#cell(used - 1, row)) === " ") used--;
    return used;
  }

  /** The rows as text, without spaces at their ends. */
  lines(): readonly string[] {
    return Array.from({ length: this.rows }, (_, row) => {
      let line = "";
      for (let column = 0; column < this.columns; column++) line += this.#printed(this.#cell(column, row));
      return line.trimEnd();
    });
  }

  #printed(cell: Cell | undefined): string {
    if (cell?.letter !== undefined) return coloured(cell.letter.glyph, cell.letter.role, this.manner);
    if (cell !== undefined && cell.dots !== 0)
      return coloured(String.fromCodePoint(brailleStart + cell.dots), cell.dotRole, this.manner);
    return cell?.shade === undefined ? " " : coloured(cell.shade.glyph, cell.shade.role, this.manner);
  }
}

/** A glyph in the colour of its role, if colour is asked for. */
export function coloured(glyph: string, role: Role | undefined, manner: TextManner): string {
  if (!manner.colour || role === undefined || glyph.trim() === "") return glyph;
  return `\u001b[${roleStyles[role].terminalColour}m${glyph}\u001b[0m`;
}
