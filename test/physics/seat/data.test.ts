import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { z } from "zod";

const folder = (name: string) => new URL(`../../../data/${name}/`, import.meta.url);
const filesOf = (name: string) =>
  readdirSync(folder(name))
    .filter((file) => file.endsWith(".json"))
    .map((file) => {
      const content: unknown = JSON.parse(readFileSync(new URL(file, folder(name)), "utf8"));
      return { file, content };
    });

const interval = z.strictObject({ low: z.number().positive(), high: z.number().positive() });
const from = z.enum(["memory", "estimate", "computed", "looked up"]);
const keys = z.array(z.string().min(3)).min(1);

const frictionPair = z.strictObject({
  format: z.literal("friction-pair/1"),
  id: z.string(),
  name: z.string(),
  aliases: z.array(z.string()),
  counterface: z.string(),
  uses: z.array(z.enum(["seat", "packing", "bearing", "collar"])).min(1),
  conditions: z.string(),
  running: z.strictObject({
    ambient: interval.extend({ temperature_K: z.tuple([z.number(), z.number()]) }),
    cold: interval.extend({ temperature_K: z.tuple([z.number(), z.number()]) }),
  }),
  breakaway_over_running: interval,
  law: z.literal("uniform"),
  nominal: z.literal("middle of the interval"),
  from,
  provenance: z.string().min(20),
  trend: z.strictObject({ text: z.string(), references: keys }).optional(),
  caution: z.string().optional(),
});

const spread = z.strictObject({
  of: z.string(),
  law: z.enum(["uniform", "triangular"]),
  low: z.number(),
  nominal: z.number(),
  high: z.number(),
});
const defaultValue = z.strictObject({
  format: z.literal("default/1"),
  id: z.string(),
  field: z.string().startsWith("valve."),
  what: z.string(),
  columns: z.record(z.string(), z.string()).optional(),
  rows: z.array(z.record(z.string(), z.number())).min(2).optional(),
  value: z.number().optional(),
  unit: z.string().optional(),
  exponent: z.number().positive().optional(),
  spread,
  worst: z.number().optional(),
  by_opening: z.array(z.strictObject({ opening: z.string(), low: z.number(), high: z.number() })).optional(),
  by_material: z
    .array(z.strictObject({ material: z.string(), low: z.number(), high: z.number() }))
    .optional(),
  reason: z.string().min(15),
  from,
  references: keys,
});

const rule = z.strictObject({
  format: z.literal("margin-rule/1"),
  id: z.string(),
  name: z.string(),
  clause: z.string(),
  table: z.string(),
  equation: z.string(),
  when: z.string(),
  from,
  note: z.string(),
  references: keys,
});
const nasaRule = rule.extend({
  classes: z.strictObject({ known: z.array(z.string()), variable: z.array(z.string()) }),
  phases: z
    .array(
      z.strictObject({
        id: z.string(),
        name: z.string(),
        known: z.number().min(1),
        variable: z.number().min(1),
      }),
    )
    .min(1),
});
const component = z.strictObject({
  symbol: z.string(),
  theoretical: z.number().min(1),
  measured: z.number().min(1),
});
const ecssRule = rule.extend({
  components: z.strictObject({
    inertia: component,
    spring: component,
    magneticLosses: component,
    friction: component,
    hysteresis: component,
    other: component,
    adhesion: component,
  }),
  overall: z.number(),
  dynamic: z.number(),
  deliverable: z.number(),
});

describe.each(filesOf("friction"))("data/friction/$file", ({ file, content }) => {
  const pair = frictionPair.parse(content);
  it("is named by its id", () => expect(`${pair.id}.json`).toBe(file));
  it("has intervals in order, colder where it says cold, breakaway not below running", () => {
    for (const range of [pair.running.ambient, pair.running.cold, pair.breakaway_over_running]) {
      expect(range.low).toBeLessThan(range.high);
    }
    expect(pair.running.cold.temperature_K[1]).toBeLessThan(pair.running.ambient.temperature_K[0]);
    expect(pair.breakaway_over_running.low).toBeGreaterThanOrEqual(1);
    expect(pair.running.ambient.high).toBeLessThan(1);
  });
});

it("names and aliases of the friction pairs are different", () => {
  const names = filesOf("friction").flatMap(({ content }) => {
    const pair = frictionPair.parse(content);
    return [pair.id, pair.name, ...pair.aliases].map((name) => name.toLowerCase());
  });
  const ids = filesOf("friction").map(({ content }) => frictionPair.parse(content).id);
  expect(new Set(ids).size).toBe(ids.length);
  const foreign = names.filter((name, i) => names.indexOf(name) !== i && !ids.includes(name));
  expect(foreign).toEqual([]);
});

const flowAndTorque = [
  "cavitation-onset",
  "contraction",
  "dwell",
  "hydrodynamic",
  "liquid-recovery",
  "packing-stress",
  "stribeck",
  "turbulent-friction",
];
describe.each(flowAndTorque)("data/defaults/%s.json", (id) => {
  const entry = defaultValue.parse(filesOf("defaults").find(({ file }) => file === `${id}.json`)?.content);
  it("is named by its id and has either a value with unit or rows with columns", () => {
    expect(entry.id).toBe(id);
    expect(entry.value !== undefined && entry.unit !== undefined).toBe(entry.rows === undefined);
    expect(entry.columns !== undefined).toBe(entry.rows !== undefined);
  });
  it("has a spread around its nominal", () => {
    const { low, nominal, high } = entry.spread;
    expect(low).toBeLessThan(nominal);
    expect(nominal).toBeLessThan(high);
    if (entry.spread.of === "value") expect(nominal).toBe(entry.value);
  });
  it("has rows with the columns it names, the first one rising", () => {
    const columns = Object.keys(entry.columns ?? {});
    (entry.rows ?? []).forEach((row, i, rows) => {
      expect(Object.keys(row)).toEqual(columns);
      const [first = ""] = columns;
      if (i > 0) expect(row[first]).toBeGreaterThan(rows[i - 1]?.[first] ?? Number.NaN);
    });
  });
});

it("data/margins: the two rules, each with clause, table, factors and what to read", () => {
  const rules = filesOf("margins").filter(({ file }) => !file.startsWith("strength-"));
  expect(rules.map(({ file }) => file).sort()).toEqual(["ecss-e-st-33-01c.json", "nasa-std-5017a.json"]);
  const nasa = nasaRule.parse(rules.find(({ file }) => file.startsWith("nasa"))?.content);
  expect(nasa.phases.map(({ id }) => id)).toEqual(["preliminary", "critical design", "acceptance"]);
  for (const phase of nasa.phases) expect(phase.variable).toBeGreaterThanOrEqual(phase.known);
  const ecss = ecssRule.parse(rules.find(({ file }) => file.startsWith("ecss"))?.content);
  for (const { theoretical, measured } of Object.values(ecss.components)) {
    expect(measured).toBeLessThanOrEqual(theoretical);
  }
});
