import { describe, expect, it } from "vitest";
import { detectEvents, moveEvent } from "../../../src/evidence/event/index.js";
import { Refusal } from "../../../src/fault/index.js";

const time_s = Float64Array.from({ length: 1000 }, (_, i) => i / 1000);
const angle_rad = time_s.map((t) => Math.min(1.5, Math.max(0, 10 * (t - 0.3) ** 2 * (t > 0.3 ? 1 : 0))));
const { events } = detectEvents({ time_s, angle_rad });
const move = {
  id: "first motion",
  time_s: 0.31,
  who: "A. Keller",
  why: "the sensor bracket slips before the ball turns",
};

const codeOf = (act: () => unknown) => {
  try {
    act();
  } catch (thrown) {
    if (thrown instanceof Refusal) return thrown.faults[0]?.code;
    throw thrown;
  }
  return undefined;
};

describe("an event moved by hand", () => {
  it("keeps the automatic finding beside it, with who and why", () => {
    const before = events.find((event) => event.id === "first motion");
    if (before?.found !== true) throw new Error("not found");
    const after = moveEvent(events, move).find((event) => event.id === "first motion");
    expect(after).toMatchObject({
      found: true,
      time_s: 0.31,
      standardUncertainty_s: before.standardUncertainty_s,
      moved: {
        who: move.who,
        why: move.why,
        automatic: { found: true, time_s: before.time_s, how: before.how },
      },
    });
  });

  it("leaves the others as they are, and the list it was given", () => {
    const copy = structuredClone(events);
    const after = moveEvent(events, move);
    expect(events).toEqual(copy);
    expect(after.filter((event) => event.id !== "first motion")).toEqual(
      events.filter((event) => event.id !== "first motion"),
    );
  });

  it("moved twice still holds the first automatic finding", () => {
    const twice = moveEvent(moveEvent(events, move), { ...move, time_s: 0.32, why: "second look" });
    const event = twice.find((candidate) => candidate.id === "first motion");
    const automatic = events.find((candidate) => candidate.id === "first motion");
    expect(event?.found === true ? event.moved?.automatic : undefined).toMatchObject({
      time_s: automatic?.found === true ? automatic.time_s : Number.NaN,
    });
  });

  it("can be put where none was found, with its uncertainty", () => {
    const given = { ...move, id: "command", standardUncertainty_s: 0.002 };
    const event = moveEvent(events, given).find((candidate) => candidate.id === "command");
    expect(event).toMatchObject({
      found: true,
      channel: "command",
      standardUncertainty_s: 0.002,
      moved: { automatic: { found: false } },
    });
  });

  it.each([
    ["an event of another name", { ...move, id: "first move" }, "event-unknown"],
    ["no number", { ...move, time_s: Number.NaN }, "event-time"],
    ["nobody's name", { ...move, who: " " }, "event-move-unsigned"],
    ["no reason", { ...move, why: "" }, "event-move-unsigned"],
    ["no uncertainty where none was found", { ...move, id: "command" }, "event-move-uncertainty"],
    ["an uncertainty of 0", { ...move, standardUncertainty_s: 0 }, "event-move-uncertainty"],
  ])("is refused with %s", (_, wrong, code) => {
    expect(codeOf(() => moveEvent(events, wrong))).toBe(code);
  });
});
