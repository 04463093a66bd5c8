/** Trapped liquid in words and tables. */
import { ownBand, type TrappedAnswer, type TrappedVolume } from "../predict/index.js";
import { preferredUnit } from "../quantity/index.js";
import type { Table } from "./answer.js";
import { bandWords, missingWords, percentWords, quantityWords, valueWords } from "./words.js";

/** Why nothing can be said of a case; undefined where something can. */
export function noTrappedWords({ medium, cavity, segments }: TrappedAnswer): string | undefined {
  switch (medium.kind) {
    case "none":
      return "Not known from this case: the valve is dry in it, and no liquid is shut in.";
    case "no equation of state":
      return `Not known from this case: ${medium.name} has no equation of state on file, and the pressure of a closed volume needs one.`;
    case "unknown":
      return cavity === undefined && segments.length === 0 ? undefined : missingWords(medium.missing);
    case "fluid":
      return undefined;
  }
}

/** "23 s (95 % between 12 and 60 s)". */
export function timeWords({ figures }: TrappedVolume): string {
  const time = figures.nominal.time ?? Number.NaN;
  const band = ownBand(figures.samples.time ?? new Float64Array(0));
  const unit = preferredUnit(time, "time");
  const shown = valueWords(
    time,
    band !== undefined && Number.isFinite(band.high) ? band : undefined,
    "time",
    unit,
  );
  return band === undefined || !Number.isFinite(band.high)
    ? shown
    : `${shown} (${percentWords(band.coverage)} ${bandWords(band, "time", unit)})`;
}

/** The volumes one by one, what the vent hole costs, and the sizes of relief devices. */
export function trappedTables(answer: TrappedAnswer): readonly Table[] {
  const volumes = [answer.cavity, ...answer.segments].flatMap((one) => (one === undefined ? [] : [one]));
  if (volumes.length === 0 || answer.medium.kind !== "fluid") return [];
  return [audit(volumes), ...ventTable(answer.cavity), ...reliefTables(answer.segments)];
}

function audit(volumes: readonly TrappedVolume[]): Table {
  return {
    title: "Volumes that can be shut in, without relief",
    columns: ["volume", "closed at", "rating", "time to the rating", "pressure once warm"],
    rows: volumes.map((volume) => {
      const { name, start, rating, figures, missing } = volume;
      const time = figures.nominal.time ?? Number.NaN;
      return [
        name,
        start === undefined
          ? "not known"
          : `${quantityWords(start.p, "pressure")}, ${quantityWords(start.T, "temperature", "K")}`,
        rating === undefined ? "not known" : quantityWords(rating, "pressure"),
        missing.time.length > 0 ? "not known" : Number.isFinite(time) ? timeWords(volume) : "not reached",
        warmWords(volume),
      ];
    }),
  };
}

/** The pressure of the warm closed volume; beyond the equation of state only that it is higher. */
export function warmWords({ warm, published }: TrappedVolume): string {
  if (warm === undefined) return "not known";
  return warm.isBeyond && published !== undefined
    ? `above ${quantityWords(published, "pressure")}`
    : quantityWords(warm.p, "pressure");
}

function ventTable(cavity: TrappedVolume | undefined): readonly Table[] {
  if (cavity === undefined) return [];
  const value = (figure: string) => cavity.figures.nominal[figure] ?? Number.NaN;
  const rows = [
    ...(Number.isNaN(value("vent"))
      ? []
      : [["hole that keeps the cavity at its rating", valueWords(value("vent"), undefined, "length", "mm")]]),
    ...(Number.isNaN(value("leak"))
      ? []
      : [
          [
            cavity.ventSide === "downstream"
              ? "leak through the hole past the upstream seat while the valve is shut"
              : "flow through the hole with the pressures reversed",
            valueWords(value("leak"), undefined, "mass flow"),
          ],
        ]),
    ...(Number.isFinite(value("time"))
      ? [
          [
            cavity.ventSide === "upstream" || cavity.ventSide === "downstream"
              ? "time to the rating with the hole shut by ice"
              : "time to the rating without relief",
            timeWords(cavity),
          ],
        ]
      : []),
  ];
  return rows.length === 0
    ? []
    : [{ title: "The vent hole, and what it costs", columns: ["what", "value"], rows }];
}

function reliefTables(segments: readonly TrappedVolume[]): readonly Table[] {
  return segments.flatMap(({ name, relief }) =>
    relief === undefined
      ? []
      : [
          {
            title: `Orifice of the relief device, ${name}, at ${quantityWords(relief.relieving, "pressure")}`,
            columns: ["sized as", "area", "source"],
            rows: relief.sizes.map(({ way, area, source }) => [
              way,
              valueWords(area, undefined, "area", "mm2"),
              source,
            ]),
          },
        ],
  );
}
