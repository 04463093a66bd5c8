/** A result record as JSON: columns of numbers as arrays, what is not a number as null. */

/** @returns two spaces of indentation, a final line feed */
export function jsonText(record: unknown): string {
  return `${JSON.stringify(record, plain, 2)}\n`;
}

function plain(_: string, value: unknown): unknown {
  if (ArrayBuffer.isView(value)) return value instanceof Float64Array ? [...value] : undefined;
  if (value instanceof Map) return Object.fromEntries(value);
  return value;
}
