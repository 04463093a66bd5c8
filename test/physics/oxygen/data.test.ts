/** The data of materials in oxygen keep their form, and make sense. */
import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { z } from "zod";

const folder = new URL("../../../data/oxygen/", import.meta.url);
const contentOf = (file: string): unknown => JSON.parse(readFileSync(new URL(file, folder), "utf8"));

const sourced = {
  from: z.enum(["memory", "estimate", "computed", "looked up"]),
  reference: z.string().min(3),
};
const positive = z.number().positive();
const frame = {
  id: z.string().min(2),
  name: z.string().min(2),
  aliases: z.array(z.string().min(2)),
  standing: z.enum(["usual", "restricted"]),
  note: z.string().min(5).optional(),
};
const autoignition = z
  .strictObject({ degC: positive.max(600), pressure_MPa: positive, uncertainty_K: positive, ...sourced })
  .optional();
const heat = z.strictObject({ MJ_kg: positive.max(60), ...sourced }).optional();
const index = z.strictObject({ value: positive.max(100), ...sourced }).optional();

const files = {
  "polymers.json": z.strictObject({
    format: z.literal("oxygen-polymers/1"),
    note: z.string(),
    polymers: z.array(
      z.strictObject({ ...frame, autoignition, heat_of_combustion: heat, oxygen_index_percent: index }),
    ),
  }),
  "metals.json": z.strictObject({
    format: z.literal("oxygen-metals/1"),
    note: z.string(),
    metals: z.array(
      z.strictObject({
        ...frame,
        heat_of_combustion: heat,
        threshold_pressure_MPa: z
          .union([
            z.strictObject({ low: positive, high: positive, ...sourced }),
            z.strictObject({ above: positive, ...sourced }),
            z.strictObject({ below: positive, ...sourced }),
          ])
          .optional(),
        exemptions: z.array(
          z.strictObject({ pressure_MPa_gauge: positive, thickness_mm: z.number().min(0), ...sourced }),
        ),
        heat_to_melt_MJ_kg: z.strictObject({ value: positive.max(3), relative: positive, ...sourced }),
      }),
    ),
  }),
  "lubricants.json": z.strictObject({
    format: z.literal("oxygen-lubricants/1"),
    note: z.string(),
    lubricants: z.array(
      z.strictObject({
        ...frame,
        is_mineral: z.literal(true).optional(),
        autoignition,
        heat_of_combustion: heat,
        stiff_below_K: z.strictObject({ low: positive, high: positive, ...sourced }).optional(),
      }),
    ),
  }),
  "limits.json": z.strictObject({
    format: z.literal("oxygen-limits/1"),
    note: z.string(),
    oxidiser: z.string(),
    impingement: curve(),
    straight: curve(),
    temperature_degC: z.strictObject({ low: z.number(), high: z.number(), reference: z.string() }),
    particle_speed_m_s: z.strictObject({ value: positive, ...sourced }),
    slow_opening_s: z.strictObject({ value: positive, ...sourced }),
    strouhal: z.strictObject({ low: positive, high: positive, ...sourced }),
    continuity_ohm: z.strictObject({ value: positive, ...sourced }),
    enriched_percent: z.strictObject({ value: positive, ...sourced }),
  }),
} as const;

function curve() {
  return z.strictObject({
    rows: z
      .array(
        z.union([
          z.strictObject({ to_bar: positive, speed_m_s: positive }),
          z.strictObject({ to_bar: positive, pressure_speed_bar_m_s: positive }),
        ]),
      )
      .min(1),
    ...sourced,
  });
}

it("each file of data/oxygen has its form", () => {
  expect(readdirSync(folder).toSorted()).toEqual(Object.keys(files).toSorted());
});

it.each(Object.entries(files))("%s", (file, form) => {
  expect(form.safeParse(contentOf(file)).error?.issues ?? []).toEqual([]);
});

describe("sense", () => {
  const metals = files["metals.json"].parse(contentOf("metals.json")).metals;
  const polymers = files["polymers.json"].parse(contentOf("polymers.json")).polymers;
  const lubricants = files["lubricants.json"].parse(contentOf("lubricants.json")).lubricants;

  it.each([
    ["metals", metals],
    ["polymers", polymers],
    ["lubricants", lubricants],
  ] as const)("no two %s share a name", (_, rows) => {
    const names = rows.flatMap(({ id, aliases }) => [id, ...aliases]).map((name) => name.toLowerCase());
    expect(new Set(names).size).toBe(names.length);
  });

  it("more pressure is exempt only with more thickness", () => {
    for (const { exemptions } of metals) {
      const byThickness = exemptions.toSorted((a, b) => a.thickness_mm - b.thickness_mm);
      const pressures = byThickness.map(({ pressure_MPa_gauge }) => pressure_MPa_gauge);
      expect(pressures).toEqual(pressures.toSorted((a, b) => a - b));
    }
  });

  it("aluminium and titanium are restricted and have no exemption; hydrocarbons are restricted [astm-mnl-36-2007; from memory]", () => {
    for (const id of ["aluminium-6061-t6", "ti-6al-4v"]) {
      const row = metals.find((metal) => metal.id === id);
      expect(row?.standing).toBe("restricted");
      expect(row?.exemptions).toEqual([]);
    }
    for (const id of ["nbr", "epdm", "uhmwpe"])
      expect(polymers.find((one) => one.id === id)?.standing).toBe("restricted");
    expect(lubricants.find(({ id }) => id === "hydrocarbon-grease")?.standing).toBe("restricted");
  });

  it("what is usual as a polymer lights above 300 degC or says why", () => {
    for (const { standing, autoignition: T, note } of polymers)
      if (standing === "usual") expect((T?.degC ?? 0) > 300 || note !== undefined).toBe(true);
  });
});
