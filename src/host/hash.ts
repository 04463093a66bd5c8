/** SHA-256, the one hash that seals and file records use. */
import { createHash } from "node:crypto";

/** SHA-256 of bytes, or of a text as UTF-8, in lower-case hex [fips-180-4-2015]. */
export function sha256(content: string | Uint8Array): string {
  return createHash("sha256").update(content).digest("hex");
}
