/** SHA-256 of the page against the examples of the standard and against Node's own. */
import { createHash } from "node:crypto";
import fc from "fast-check";
import { expect, it } from "vitest";
import { sha256 } from "../../src/web/compute/sha256.js";

it("examples that NIST gives for FIPS 180: one block, two blocks, nothing", () => {
  expect(sha256("abc")).toBe("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  expect(sha256("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq")).toBe(
    "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
  );
  expect(sha256("")).toBe("e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
});

it("agrees with another implementation for any text", () => {
  fc.assert(
    fc.property(fc.string({ unit: "binary", maxLength: 300 }), (text) => {
      expect(sha256(text)).toBe(createHash("sha256").update(text, "utf8").digest("hex"));
    }),
    { numRuns: 30 },
  );
});
