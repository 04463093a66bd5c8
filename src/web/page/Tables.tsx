/** The tables of an answer; a wide one scrolls in its own frame. */
import type { Table } from "../../question/index.js";
import { css } from "./look.js";

/** @param tables of one answer */
export function Tables({ tables }: { readonly tables: readonly Table[] }) {
  if (tables.length === 0) return null;
  return (
    // The sheet prints them; a page on paper has room for the answer alone.
    <div className="noprint">
      <h3>Numbers</h3>
      {tables.map(({ title, columns, rows }) => (
        // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by the keyboard
        <section key={title} className={css.scroll} aria-label={title} tabIndex={0}>
          <table>
            <caption>{title}</caption>
            <thead>
              <tr>
                {columns.map((column) => (
                  <th scope="col" key={column}>
                    {column}
                  </th>
                ))}
              </tr>
            </thead>
            <tbody>
              {placed(rows).map(({ key, cells }) => (
                <tr key={key}>
                  {cells.map((cell, index) =>
                    index === 0 ? (
                      <th scope="row" key={columns[index]}>
                        {cell}
                      </th>
                    ) : (
                      <td key={columns[index]}>{cell}</td>
                    ),
                  )}
                </tr>
              ))}
            </tbody>
          </table>
        </section>
      ))}
    </div>
  );
}

/** Rows known by their place: an edit changes the words in them, and no row is made anew for it. */
function placed(rows: Table["rows"]) {
  return rows.map((cells, index) => ({ key: `row ${index}`, cells }));
}
