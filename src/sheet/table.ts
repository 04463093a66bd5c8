/** One form of table for the whole sheet; on a narrow screen each row becomes a card with its own labels. */
import { html, type Inset, type Markup } from "./markup.js";

/** What a table shows. */
export interface TableContent {
  readonly caption: string;
  readonly columns: readonly string[];
  /** One cell per column; the first names the row. */
  readonly rows: readonly (readonly Inset[])[];
}

/**
 * A table; the roles keep it a table for a screen reader where the style turns rows into cards.
 * @param captionLook "unseen" where a heading above says the same
 * @param className   "slim" tables stand side by side where there is room
 */
export function dataTable(
  { caption, columns, rows }: TableContent,
  captionLook: "seen" | "unseen" = "seen",
  className = widthClass(columns.length),
): Markup {
  return tableAround(
    { caption, columns, captionLook, className },
    html`<tbody role="rowgroup">
${rows.map(
  (
    cells,
  ) => html`<tr role="row">${cells.map((cell, index) => dataCell(cell, columns[index] ?? "", index))}</tr>
`,
)}</tbody>`,
  );
}

function widthClass(columns: number): string {
  if (columns <= 3) return "slim";
  return columns <= 5 ? "broad" : "broad dense";
}

/** What stands around the bodies of a table. */
export interface TableFrame {
  readonly caption: string;
  readonly captionLook: "seen" | "unseen";
  readonly columns: readonly string[];
  readonly className: string;
}

/** A table with bodies that are made elsewhere. */
export function tableAround({ caption, captionLook, columns, className }: TableFrame, bodies: Inset): Markup {
  return html`<div class="roll"><table role="table" class="${className}"><caption class="${captionLook}">${caption}</caption>
<thead role="rowgroup"><tr role="row">${columns.map((column) => html`<th scope="col" role="columnheader">${column}</th>`)}</tr></thead>
${bodies}</table></div>
`;
}

/** A cell with the name of its column for where rows are cards; the first of a row names it. */
export function dataCell(cell: Inset, column: string, index: number): Markup {
  if (index === 0) return html`<th scope="row" role="rowheader">${cell}</th>`;
  if (cell === "" || cell === undefined) return html`<td role="cell" class="empty"></td>`;
  return html`<td role="cell" data-label="${column}">${cell}</td>`;
}
