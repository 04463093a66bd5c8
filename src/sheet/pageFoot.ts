/** What stands at the foot of every printed page. */

/** Title and page number under every printed page. @param size of the paper, left to the printer where it is "" */
export function pageFoot(title: string, size = "", margin = "14mm 14mm 18mm"): string {
  const sized = size === "" ? "" : `size:${size};`;
  return `@page{${sized}margin:${margin};@bottom-left{content:${cssText(title)};font:8.5pt sans-serif}@bottom-right{content:counter(page) " / " counter(pages);font:8.5pt sans-serif}}`;
}

/** A text as a CSS string in which every character but letters, digits and spaces is a code. */
function cssText(words: string): string {
  const coded = [...words].map((character) =>
    /[A-Za-z0-9 ]/.test(character) ? character : `\\${(character.codePointAt(0) ?? 0).toString(16)} `,
  );
  return `"${coded.join("")}"`;
}
