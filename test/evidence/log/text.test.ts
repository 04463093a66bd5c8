import { describe, expect, it } from "vitest";
import { decodeText } from "../../../src/evidence/log/index.js";
import { refusal, sampleBytes } from "./samples.js";

const utf16 = (text: string, bigFirst: boolean, mark: boolean): Uint8Array => {
  const codes = [...(mark ? [0xfeff] : []), ...Array.from(text, (c) => c.charCodeAt(0))];
  return Uint8Array.from(
    codes.flatMap((code) => (bigFirst ? [code >> 8, code & 255] : [code & 255, code >> 8])),
  );
};

describe("decoding", () => {
  it("takes UTF-8 with and without a byte order mark as it is", () => {
    const plain = new TextEncoder().encode("a;°\n");
    expect(decodeText(plain)).toEqual({ text: "a;°\n", encoding: "UTF-8", notices: [] });
    expect(decodeText(new Uint8Array([0xef, 0xbb, 0xbf, ...plain])).text).toBe("a;°\n");
  });

  it.each([
    [false, true, "UTF-16, little end first"],
    [true, true, "UTF-16, big end first"],
    [false, false, "UTF-16, little end first"],
    [true, false, "UTF-16, big end first"],
  ] as const)("finds UTF-16, big end first %s, byte order mark %s", (bigFirst, mark, encoding) => {
    const decoded = decodeText(utf16("t [s];angle [°]\n0;1\n", bigFirst, mark));
    expect(decoded.text).toBe("t [s];angle [°]\n0;1\n");
    expect(decoded.encoding).toBe(encoding);
    expect(decoded.notices.map((notice) => notice.code)).toEqual(["log-utf-16"]);
  });

  it("falls back to Latin-1 and says where", () => {
    const decoded = decodeText(sampleBytes("latin-1.csv"));
    expect(decoded.encoding).toBe("Windows-1252 (Latin-1)");
    expect(decoded.notices[0]?.text).toContain('in line 1: "°"');
  });

  it.each([
    ["a workbook", [0x50, 0x4b, 0x03, 0x04, 0x14, 0x00], "log-not-text"],
    ["a Parquet file", [0x50, 0x41, 0x52, 0x31, 0x15], "log-not-text"],
    ["blanks", [0x20, 0x0a, 0x20], "log-empty"],
    ["nothing", [], "log-empty"],
  ])("refuses %s", (_, bytes, code) => {
    const [fault] = refusal(() => decodeText(Uint8Array.from(bytes)));
    expect(fault?.code).toBe(code);
  });
});
