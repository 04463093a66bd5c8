import { readdirSync, readFileSync } from "node:fs";
import { expect, it } from "vitest";
import { detectEvents, moveEvent } from "../../../src/evidence/event/index.js";
import { faultsText, type Notice, noticeText } from "../../../src/fault/index.js";
import type { Angle } from "../../../src/quantity/index.js";
import { refusal } from "../log/samples.js";

/** Each code of src/evidence/event has a page in docs/errors that holds what is printed for it. */
const root = new URL("../../../", import.meta.url);

const time_s = Float64Array.from({ length: 1000 }, (_, i) => i / 1000);
const ramp = (start: number) => time_s.map((t) => Math.min(1.5, Math.max(0, 4 * (t - start))));
const record = { time_s, angle_rad: ramp(0.3) };
const move = { id: "command", time_s: 0.25, who: "A. Keller", why: "read off the relay's log" };
const { events } = detectEvents(record);

const refused = (change: Partial<typeof move>) =>
  faultsText(refusal(() => moveEvent(events, { ...move, ...change })));
const noticed = (code: string, notices: readonly Notice[]) =>
  notices
    .filter((notice) => notice.code === code)
    .map(noticeText)
    .join("\n");

const acts: Readonly<Record<string, () => string>> = {
  "event-unknown": () => refused({ id: "comand" }),
  "event-time": () => refused({ time_s: Number.NaN }),
  "event-move-unsigned": () => refused({ who: "" }),
  "event-move-uncertainty": () => refused({}),
  "event-rest-short": () =>
    noticed("event-rest-short", detectEvents({ time_s, angle_rad: ramp(0.005) }).notices),
  "event-travel-differs": () =>
    noticed("event-travel-differs", detectEvents(record, { travel_rad: 1.55 as Angle }).notices),
  "event-travel-impossible": () =>
    noticed("event-travel-impossible", detectEvents(record, { travel_rad: 0.5 as Angle }).notices),
  "event-motion-before-command": () =>
    noticed(
      "event-motion-before-command",
      detectEvents({ ...record, command: time_s.map((t) => (t < 0.35 ? 0 : 1)) }).notices,
    ),
  "event-resampled": () =>
    noticed(
      "event-resampled",
      detectEvents(
        { ...record, time_s: time_s.map((t, i) => t + (i % 2) * 0.0003) },
        { filter: { cutoff_Hz: 100 } },
      ).notices,
    ),
};

it.each(Object.entries(acts))("the page of %s shows what is printed", (code, act) => {
  const text = readFileSync(new URL(`docs/errors/${code}.md`, root), "utf8");
  expect(text.startsWith(`# ${code}\n`)).toBe(true);
  expect(/```text\n([\s\S]+?)\n```/.exec(text)?.[1]).toBe(act());
});

it("no code of src/evidence/event is without a page", () => {
  const folder = new URL("src/evidence/event/", root);
  const sources = readdirSync(folder).map((name) => readFileSync(new URL(name, folder), "utf8"));
  const codes = sources.flatMap((source) =>
    [...source.matchAll(/"(event-[a-z0-9]+(?:-[a-z0-9]+)*)"/g)].map(([, code]) => code ?? ""),
  );
  expect([...new Set(codes)].sort()).toEqual(Object.keys(acts).sort());
});
