/** The head of a log as it was parsed, so that a wrong delimiter or decimal is seen at once. */
import type { LogSeen } from "../../state/testCalls.js";
import { css } from "../look.js";

/** @param seen the log */
export function LogHead({ seen: { name, bytes, inspection, notices } }: { readonly seen: LogSeen }) {
  const { dialect, columns, metadata, notices: found } = inspection;
  const rows = Math.max(0, ...columns.map(({ first }) => first.length));
  return (
    <>
      <p>
        {bytes.toLocaleString("en-GB")} bytes; delimiter {dialect.delimiter}, decimal {dialect.decimal}.
        {metadata.length > 0 && ` ${metadata.length} lines stand above the table.`}
      </p>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by the keyboard */}
      <section className={css.scroll} aria-label={`First rows of ${name}`} tabIndex={0}>
        <table>
          <caption className="unseen">First rows of {name} as written</caption>
          <thead>
            <tr>
              {columns.map((column) => (
                <th scope="col" key={column.index}>
                  {column.name}
                  {column.unit === undefined ? "" : ` [${column.unit}]`}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {Array.from({ length: rows }, (_, row) => `row ${row + 1}`).map((key, row) => (
              <tr key={key}>
                {columns.map((column) => (
                  <td key={column.index}>{column.first[row]}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      {[...notices, ...found].map(({ code, text, field }) => (
        <p key={`${code} ${field} ${text}`}>
          <small>Note: {text}.</small>
        </p>
      ))}
    </>
  );
}
