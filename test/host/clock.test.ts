import { afterEach, expect, it, vi } from "vitest";
import { elapsedSeconds, now } from "../../src/host/index.js";

afterEach(() => vi.unstubAllEnvs());

it("the present is ISO 8601 in UTC, to the second", () => {
  vi.stubEnv("SOURCE_DATE_EPOCH", undefined);
  const before = Math.floor(Date.now() / 1000) * 1000;
  const instant = now();
  expect(instant).toMatch(/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ$/);
  expect(Date.parse(instant)).toBeGreaterThanOrEqual(before);
  expect(Date.parse(instant)).toBeLessThanOrEqual(Date.now());
});

it("a declared instant stands in for the present", () => {
  // 1,934,184,600 s: by hand, 61 years with 15 leap days and 107 days and 9.5 h after 1970.
  vi.stubEnv("SOURCE_DATE_EPOCH", String((61 * 365 + 15 + 107) * 86_400 + 9.5 * 3600));
  expect(now()).toBe("2031-04-18T09:30:00Z");
});

it("elapsed time does not run backwards", () => {
  const first = elapsedSeconds();
  expect(elapsedSeconds()).toBeGreaterThanOrEqual(first);
});
