/**
 * A finished document of ours for the typesetter: the same elements that a browser shows, in the same order,
 * as a text in the language of Typst. Nothing is computed and no other text is put in: paper says what the
 * screen says. Pictures stay vectors; headings, lists, tables and the words of pictures keep their meaning for
 * a reading voice; verdicts keep shape and word, so that a grey copy says the same.
 */
import { anchorsIn, blocks } from "./blocks.js";
import { printTree } from "./tree.js";
import { literal, rawLiteral } from "./words.js";

/** What a printed document needs beside its page. */
export interface PrintOptions {
  /** Day that the document bears, as 2031-04-26. */
  readonly day: string;
  /** `card`: set close, so that a run has few pages; left out: as a sheet. */
  readonly look?: "card";
  /** Files that go along inside the document. */
  readonly attachments?: readonly { readonly name: string; readonly text: string; readonly says: string }[];
}

/**
 * The text that is set.
 *
 * @param page  a whole HTML document that our own templates made; its title stands at the foot of every page
 * @returns     Typst 0.14 source without any import; same page, same text
 */
export async function printSource(page: string, options: PrintOptions): Promise<string> {
  const { title, nodes } = await printTree(page);
  return `${preamble(title, options)}\n${blocks(nodes, { anchors: anchorsIn(nodes) })}`;
}

function preamble(title: string, { day, look, attachments = [] }: PrintOptions): string {
  const [year = "2000", month = "1", date = "1"] = day.split("-");
  const attached = attachments.map(
    ({ name, text, says }) =>
      `#pdf.attach(${literal(name)}, bytes(${rawLiteral(text)}), description: ${literal(says)}, mime-type: "application/json", relationship: "data")`,
  );
  return `#set document(title: ${literal(title)}, date: datetime(year: ${Number(year)}, month: ${Number(month)}, day: ${Number(date)}))
#set page(paper: "a4", margin: (x: 14mm, top: 14mm, bottom: 18mm), footer: context {
  set text(size: 7pt)
  grid(columns: (1fr, auto), column-gutter: 4mm, ${literal(title)}, [#counter(page).display() of #counter(page).final().first()])
})
#set text(font: "DejaVu Sans", stretch: 75%, size: 8.4pt, lang: "en", hyphenate: false)
#set par(leading: .55em, spacing: .9em)
#set heading(numbering: none)
#show heading: set block(above: 1.3em, below: .6em, sticky: true)
#show heading.where(level: 1): set text(size: 19pt)
#show heading.where(level: 2): set text(size: 14pt)
#show heading.where(level: 2): it => block(width: 100%, above: 2em, below: .8em, sticky: true, stroke: (top: 1.6pt), inset: (top: 5pt), it.body)
#show heading.where(level: 3): set text(size: 11pt)
#show heading.where(level: 4): set text(size: 9pt)
#set list(spacing: .6em, indent: .3em)
#set table(stroke: (x, y) => (bottom: if y == 0 { .7pt } else { .3pt + luma(170) }), inset: (x: 2.5pt, y: 2.4pt), align: left + top)
#show table: set par(leading: .45em, justify: false)
#let mono(body) = text(font: "DejaVu Sans Mono", size: .9em, body)
#let quiet(body) = text(size: .88em, fill: rgb("#46525d"), body)
#let sentence(body) = block(text(size: 1.12em, body))
#let shape(drawing) = box(height: .8em, baseline: .08em, pdf.artifact(image(bytes(drawing), format: "svg", height: .8em)))
#let mark(tone, body) = box(text(fill: tone, weight: "bold", body))
#let caution(body) = block(width: 100%, stroke: (left: 3pt), inset: (left: 8pt, y: 3pt), body)
#let blank = box(width: 24mm, height: .9em, stroke: (bottom: .4pt))
#let penline(body) = block(width: 100%, height: ${look === "card" ? "8mm" : "14mm"}, stroke: (bottom: .6pt), quiet(body))
${look === "card" ? close : ""}${attached.join("\n")}`;
}

/** Smaller type, narrower edges and less air, for a page that is filled in with a pen. */
const close = `#set page(margin: (x: 11mm, top: 9mm, bottom: 13mm))
#set text(size: 7.4pt)
#set par(leading: .42em, spacing: .55em)
#set list(spacing: .35em)
#set terms(spacing: .3em)
#set table(inset: (x: 2pt, y: 1.3pt))
#show heading.where(level: 1): set text(size: 13pt)
#show heading.where(level: 2): it => block(width: 100%, above: .8em, below: .4em, sticky: true, stroke: (top: 1pt), inset: (top: 2pt), text(size: 8pt, it.body))
`;
