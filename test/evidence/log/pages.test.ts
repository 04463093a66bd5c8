import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { parse } from "yaml";
import {
  decodeText,
  doubtsIn,
  inspectLog,
  linesOf,
  readLog,
  readMapping,
} from "../../../src/evidence/log/index.js";
import { type Fault, faultsText, type Notice, noticeText, Refusal } from "../../../src/fault/index.js";
import { refusal, sampleBytes } from "./samples.js";

/**
 * Each code of src/evidence/log has a page in docs/errors. The page holds a log, a mapping or both that
 * provoke it and, below, what is printed for it: the pages are the expected texts.
 */
const root = new URL("../../../", import.meta.url);
const textOf = (path: string) => readFileSync(new URL(path, root), "utf8");
const PAGE =
  /<!-- provoked by this (log|mapping|log and this mapping) -->\n(?:```csv\n([\s\S]+?)```\n\n)?(?:```yaml\n([\s\S]+?)```\n\n)?```text\n([\s\S]+?)\n```/;

const names = readdirSync(new URL("docs/errors/", root)).map((name) => name.replace(".md", ""));
const pages = names.flatMap((code) => {
  const text = textOf(`docs/errors/${code}.md`);
  const [, what, log = "", mapping = "", printed] = PAGE.exec(text) ?? [];
  return what === undefined || printed === undefined ? [] : [{ code, text, what, log, mapping, printed }];
});

interface Said {
  readonly faults: readonly Fault[];
  readonly notices: readonly Notice[];
}

function said(act: () => Said): Said {
  try {
    return act();
  } catch (thrown) {
    if (thrown instanceof Refusal) return { faults: thrown.faults, notices: [] };
    throw thrown;
  }
}

function provoke(what: string, log: string, mapping: string): Said {
  return said(() => {
    if (what === "log") {
      const { questions, notices, proposed, mapping: read } = inspectLog(log);
      const doubts = doubtsIn(linesOf(log), read);
      return { faults: questions, notices: [...notices, ...proposed, ...doubts] };
    }
    const read = readMapping(parse(mapping));
    return { faults: [], notices: what === "mapping" ? [] : readLog(log, read).notices };
  });
}

describe("the page of", () => {
  it.each(pages)(
    "$code shows what provokes it and what is printed",
    ({ code, text, what, log, mapping, printed }) => {
      const { faults, notices } = provoke(what, log, mapping);
      expect(faults.every((fault) => fault.code === code)).toBe(true);
      const own = notices.filter((notice) => notice.code === code);
      expect([faultsText(faults), ...own.map(noticeText)].filter((part) => part !== "").join("\n")).toBe(
        printed,
      );
      expect(text.startsWith(`# ${code}\n`)).toBe(true);
    },
  );
});

/** Codes that a text in a page cannot provoke, with the act that does. */
const acts: Readonly<Record<string, () => string>> = {
  "log-empty": () => faultsText(refusal(() => decodeText(new Uint8Array()))),
  "log-not-text": () => faultsText(refusal(() => decodeText(Uint8Array.of(0x50, 0x4b, 0x03, 0x04, 0x14)))),
  "log-latin-1": () => decodeText(sampleBytes("latin-1.csv")).notices.map(noticeText).join("\n"),
  "log-utf-16": () => decodeText(sampleBytes("utf-16.txt")).notices.map(noticeText).join("\n"),
  "log-line-too-long": () =>
    faultsText(refusal(() => inspectLog(`t [s],angle [deg]\n0,1\n${"7".repeat(200_000)}\n`))),
};

it.each(Object.entries(acts))("the page of %s shows what is printed", (code, act) => {
  const text = textOf(`docs/errors/${code}.md`);
  expect(/```text\n([\s\S]+?)\n```/.exec(text)?.[1]).toBe(act());
});

it("no code of src/evidence/log is without a page", () => {
  const folder = new URL("src/evidence/log/", root);
  const sources = readdirSync(folder).map((name) => readFileSync(new URL(name, folder), "utf8"));
  const codes = sources.flatMap((source) =>
    [...source.matchAll(/"((?:log|mapping)-[a-z0-9]+(?:-[a-z0-9]+)*)"/g)].map(([, code]) => code ?? ""),
  );
  const provoked = [...pages.map(({ code }) => code), ...Object.keys(acts)];
  expect(codes.length).toBeGreaterThan(35);
  expect([...new Set(codes)].filter((code) => !provoked.includes(code))).toEqual([]);
});
