import { expect, it } from "vitest";
import { sha256 } from "../../src/host/index.js";

it("SHA-256 of one and of two blocks: FIPS 180-2 appendix B.1 and B.2, exact", () => {
  expect(sha256("abc")).toBe("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  expect(sha256("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq")).toBe(
    "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
  );
});

it("a text counts as its UTF-8 bytes", () => {
  expect(sha256("20 °C")).toBe(sha256(Buffer.from("20 °C", "utf8")));
});
