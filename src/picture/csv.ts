/**
 * A cell of a CSV file: quoted where it has to be (RFC 4180), and no formula. A name from a file that came from
 * elsewhere, as "=cmd|...", would be worked out by the program of tables that opens the file: a text that begins
 * like a formula gets an apostrophe in front (OWASP, CSV Injection).
 */
export function csvCell(text: string): string {
  const isNumber = text.trim() !== "" && Number.isFinite(Number(text));
  const plain = /^[=+\-@\t\r]/.test(text) && !isNumber ? `'${text}` : text;
  return /[",\n\r]/.test(plain) ? `"${plain.replaceAll('"', '""')}"` : plain;
}
