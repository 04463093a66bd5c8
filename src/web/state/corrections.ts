/** What a person says otherwise than the proposed mapping does, as the corrections that `import --map` takes. */
import type { ChannelMapping, Inspection } from "../../evidence/index.js";

/** What is said of one column of a log. */
export interface ColumnSaid {
  readonly role: string;
  readonly unit: string;
  readonly sign: 1 | -1;
  /** "0.5:0 deg,4.5:90 deg", or nothing. */
  readonly scale: string;
  /** Whether a pressure counts from the atmosphere; undefined: its unit says. */
  readonly gauge?: boolean | undefined;
}

/** What is said of a whole log. */
export interface LogSaid {
  /** By number of the column, from 1; the column of the time has none. */
  readonly columns: Readonly<Record<number, ColumnSaid>>;
  /** Unit of the time, and the sampling rate where rows are counted; as typed. */
  readonly time: { readonly unit: string; readonly rate: string };
}

/** Text of the two points of a scale, as it is typed. */
function scaleText({ scale }: ChannelMapping): string {
  return scale === undefined ? "" : scale.map(({ reading, value }) => `${reading}:${value}`).join(",");
}

/** The proposal in the words of the form. */
export function proposedSaid({ columns, mapping }: Inspection): LogSaid {
  const { time } = mapping;
  return {
    columns: Object.fromEntries(
      columns.flatMap((column) => {
        if ("column" in time && time.column?.index === column.index) return [];
        const channel = mapping.channels.find((one) => one.column.index === column.index);
        return [
          [
            column.index,
            {
              role: channel?.role ?? "other",
              unit: channel?.unit ?? column.unit ?? "",
              sign: channel?.sign ?? 1,
              scale: channel === undefined ? "" : scaleText(channel),
              ...(channel?.gauge === undefined ? {} : { gauge: channel.gauge }),
            },
          ],
        ];
      }),
    ),
    time: {
      unit: time.kind === "elapsed" ? (time.unit ?? "") : "",
      rate: time.kind === "sample number" ? (time.rate ?? "") : "",
    },
  };
}

/** Gives a role to a column; a role that another column had is that one's no more. */
export function withRole(said: LogSaid, index: number, role: string): LogSaid {
  const columns = Object.fromEntries(
    Object.entries(said.columns).map(([key, column]) => {
      if (Number(key) === index) return [key, { ...column, role }];
      return [key, role !== "other" && column.role === role ? { ...column, role: "other" } : column];
    }),
  );
  return { ...said, columns };
}

/**
 * The corrections that lead from the proposal to what is said: roles first, since the rest names its channel
 * by its role.
 */
export function correctionsOf(proposed: LogSaid, said: LogSaid): readonly string[] {
  const pairs = Object.entries(said.columns).flatMap(([index, now]) => {
    const before = proposed.columns[Number(index)];
    return before === undefined ? [] : [{ index: Number(index), now, before }];
  });
  const given = pairs.filter(({ now, before }) => now.role !== before.role);
  return [
    // What is given away comes first: a role that is taken over would else be taken away again.
    ...given.filter(({ now }) => now.role === "other").map(({ index }) => `other=${index}`),
    ...given.filter(({ now }) => now.role !== "other").map(({ index, now }) => `${now.role}=${index}`),
    ...pairs.flatMap(({ now, before }) => (now.role === "other" ? [] : partsOf(now, before))),
    ...timeParts(proposed.time, said.time),
  ];
}

function partsOf(now: ColumnSaid, before: ColumnSaid): readonly string[] {
  const key = (part: string, value: string | number | boolean): string => `${now.role}.${part}=${value}`;
  return [
    ...(now.unit.trim() === before.unit ? [] : [key("unit", now.unit.trim() || "none")]),
    ...(now.sign === before.sign ? [] : [key("sign", now.sign)]),
    ...(now.scale.trim() === before.scale ? [] : [key("scale", now.scale.trim() || "none")]),
    ...(now.gauge === before.gauge ? [] : [key("gauge", now.gauge ?? "none")]),
  ];
}

function timeParts(before: LogSaid["time"], now: LogSaid["time"]): readonly string[] {
  return (["unit", "rate"] as const).flatMap((part) =>
    now[part].trim() === before[part] ? [] : [`time.${part}=${now[part].trim() || "none"}`],
  );
}
