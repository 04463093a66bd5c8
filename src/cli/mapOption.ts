/**
 * --map key=value: corrections of a proposed mapping, typed one by one. A key is a path in the mapping
 * as run.yaml has it, or begins with the role of a channel:
 *
 *   time.unit=ms              dialect.decimal=comma        channels[2].unit=A
 *   angle.sign=-1             motor_current=I_mot          supply_voltage=none
 *   angle.scale=0.5:0 deg,4.5:90 deg                      angle.missing=9999,-9999
 *   angle.calibration=angle-2031 (sensors/angle-2031.yaml) 2:angle.sign=-1 (of the second file)
 */
import { type Calibration, type Mapping, type RoleId, readMapping, roleIds } from "../evidence/index.js";
import { type Notice, nearName, refuse } from "../fault/index.js";

/** A field of a mapping in the words of --map: `mapping.channels[1].unit` as `angle.unit`; undefined for others. */
export function mapKey(field: string, mapping: Mapping): string | undefined {
  if (!field.startsWith("mapping.")) return undefined;
  return field
    .slice("mapping.".length)
    .replace(/^channels\[(\d+)\]/, (whole, position: string) => {
      const role = mapping.channels[Number(position)]?.role;
      return role === undefined || role === "other" ? whole : role;
    })
    .replace(/\.column\.(name|index)$/, "");
}

/** A notice whose field is in the words of --map. */
export function inMapKeys(notice: Notice, mapping: Mapping): Notice {
  const key = notice.field === undefined ? undefined : mapKey(notice.field, mapping);
  return key === undefined ? notice : { ...notice, field: key };
}

type Data = Record<string, unknown>;

/**
 * A mapping with corrections, checked as if it had been read from run.yaml.
 * Refuses a correction that is no key=value, names no part of a mapping, or does not fit it.
 */
export function withCorrections(
  mapping: Mapping,
  corrections: readonly string[],
  sensors: ReadonlyMap<string, Calibration> = new Map(),
): Mapping {
  if (corrections.length === 0) return mapping;
  const data: Data = structuredClone({ ...mapping, channels: mapping.channels.map((one) => ({ ...one })) });
  for (const correction of corrections) correct(data, correction, sensors);
  return readMapping(data, "mapping");
}

/** Ids of the sensors that corrections name: `angle.calibration=angle-2031`. */
export function sensorsNamed(corrections: readonly string[]): readonly string[] {
  return corrections.flatMap((correction) => {
    const [, id] = /^[^=]*\.calibration\s*=\s*(.+?)\s*$/.exec(correction) ?? [];
    return id === undefined || id === "none" ? [] : [id];
  });
}

/**
 * The corrections of one file of several: `2:angle.sign=-1` and `dyn.csv:angle.sign=-1` are of the second
 * file, dyn.csv; one without a file is of the first.
 * @param names  of the files;  @param index  of the file, from 0
 */
export function correctionsFor(
  corrections: readonly string[],
  names: readonly string[],
  index: number,
): readonly string[] {
  return corrections.flatMap((correction) => {
    const [, file, rest = ""] = /^\s*([^:=]+):(.*)$/s.exec(correction) ?? [];
    if (file === undefined || names.length === 1) return index === 0 ? [correction] : [];
    const number = names.findIndex((name, i) => name === file || String(i + 1) === file);
    if (number >= 0) return number === index ? [rest] : [];
    return refuse(
      "map-file",
      `"${file}" in "${correction}" is no file of this import`,
      `The files are ${names.map((name, i) => `${i + 1}: ${name}`).join(", ")}.`,
      "Write the number or the name of the file before the colon",
      nearName(file, names),
    );
  });
}

function correct(data: Data, correction: string, sensors: ReadonlyMap<string, Calibration>): void {
  const [, key = "", value = ""] = /^([^=]+)=(.*)$/s.exec(correction) ?? refuseForm(correction);
  const steps = key
    .trim()
    .replace(/^mapping\./, "")
    .split(".");
  const [first = "", ...rest] = steps;
  const text = value.trim();
  const role = roleIds.find((id) => id === first);
  const position = /^channels\[(\d+)\]$/.exec(first)?.[1];
  const part = position === undefined ? data[first] : channelsIn(data)[Number(position)];
  const isPart = position !== undefined || ["time", "dialect", "source"].includes(first);
  if (role !== undefined) correctRole(data, role, rest[0], text, sensors);
  else if (first === "ambient_pressure" && rest.length === 0) data.ambient_pressure = text;
  else if (isPart && isData(part) && rest.length === 1) setField(part, rest[0] ?? "", text, sensors);
  else refuseKey(key);
}

function isData(value: unknown): value is Data {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

function channelsIn(data: Data): readonly Data[] {
  return Array.isArray(data.channels) ? data.channels.filter(isData) : [];
}

function correctRole(
  data: Data,
  role: RoleId,
  field: string | undefined,
  text: string,
  sensors: ReadonlyMap<string, Calibration>,
): void {
  const channels = channelsIn(data);
  const own = channels.find((one) => one.role === role);
  if (field === undefined && text === "none") data.channels = channels.filter((one) => one !== own);
  else if (field === undefined || field === "column") giveColumn(data, role, text);
  else if (own === undefined) refuseRole(role);
  else setField(own, field, text, sensors);
}

/** Gives a role to a column, named or numbered from 1. The column that had the role is kept as another quantity. */
function giveColumn(data: Data, role: RoleId, text: string): void {
  const number = /^\d+$/.test(text) ? Number(text) : 0;
  const isMeant = ({ column }: Data): boolean =>
    isData(column) && (number > 0 ? column.index === number : column.name === text);
  const channels = channelsIn(data).map((one) =>
    one.role === role && !isMeant(one) ? { ...one, role: "other", because: undefined } : one,
  );
  const meant = channels.find(isMeant);
  const column = { name: number > 0 ? "" : text, index: number };
  const given = meant === undefined ? { role, column, sign: 1 } : { ...meant, role };
  data.channels = [
    ...channels.filter((one) => one !== meant),
    { ...given, because: "said so on the command line" },
  ];
}

/** Sets one field, the text turned into what the field holds. */
function setField(part: Data, field: string, text: string, sensors: ReadonlyMap<string, Calibration>): void {
  if (field === "calibration" && text !== "none") part[field] = sensors.get(text) ?? text;
  else part[field] = isColumn(field) ? { name: text, index: 0 } : fieldValue(field, text);
}

const isColumn = (field: string): boolean => field === "column" || field === "date_column";

function fieldValue(field: string, text: string): unknown {
  if (text === "none") return undefined;
  if (["sign", "header_line", "wraps_at", "zero_at"].includes(field)) return Number(text);
  if (field === "missing") return text.split(",").map(Number);
  if (field === "gauge" && (text === "true" || text === "false")) return text === "true";
  if (field === "scale") return text.split(",").map(scalePoint);
  return text;
}

function scalePoint(text: string): unknown {
  const [, reading = "", value = ""] = /^\s*([^:]+):\s*(.+?)\s*$/.exec(text) ?? [];
  return { reading: Number(reading), value };
}

function refuseRole(role: RoleId): never {
  return refuse(
    "map-role",
    `no column is ${role} yet`,
    "The parts of a channel can be corrected once it has a column.",
    `Name the column first: --map ${role}=<column>`,
  );
}

function refuseForm(correction: string): never {
  return refuse(
    "map-form",
    `"${correction}" is no correction of the mapping`,
    "A correction names a part of the mapping and its value.",
    "Write it as key=value, for example --map time.unit=ms or --map angle.sign=-1",
  );
}

function refuseKey(key: string): never {
  const first = key.split(".")[0] ?? "";
  return refuse(
    "map-key",
    `"${key}" names no part of a mapping`,
    `A key begins with time, dialect, source, ambient_pressure, or a role: ${roleIds.join(", ")}.`,
    "Write, for example, --map time.unit=ms, --map angle.sign=-1 or --map motor_current=I_mot",
    nearName(first, ["time", "dialect", "source", "ambient_pressure", ...roleIds]),
  );
}
