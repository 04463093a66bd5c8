/** Caveats that travel with a result. */
import type { Notice } from "../fault/index.js";
import { fileWords, html, type Inset, pathText } from "./markup.js";

/** A headed list of notices; nothing for none. */
export function noticeList(notices: readonly Notice[], heading: "h3" | "h4"): Inset {
  if (notices.length === 0) return "";
  const title = heading === "h3" ? html`<h3>Notices</h3>` : html`<h4>Notices</h4>`;
  return html`${title}
<ul class="notices">
${notices.map(
  ({ field, text }) => html`<li>${field === undefined ? "" : html`${pathText(field)} `}${fileWords(text)}</li>
`,
)}</ul>
`;
}
