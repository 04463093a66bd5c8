/** Records as JSON, and the bodies of requests. */
import { z } from "zod";
import { refuse } from "../fault/index.js";

/** A record as JSON: columns of numbers as arrays, what is not a number as null. */
export function json(record: unknown): string {
  return JSON.stringify(record, (_, value: unknown) => {
    if (value instanceof Float64Array) return [...value];
    return value instanceof Map ? Object.fromEntries(value) : value;
  });
}

/** The body of a request by its shape. Refuses any other. */
export function bodyOf<T>(shape: z.ZodType<T>, body: unknown): T {
  const read = shape.safeParse(body);
  if (read.success) return read.data;
  return refuse(
    "serve-request",
    `the request does not have the form of this call: ${z.prettifyError(read.error).replaceAll("\n", " ").slice(0, 300)}`,
    "docs/serve.md has the form of each call.",
    "Reload the page; if it comes again, the page and the server are not of one build",
  );
}
