/** A dossier: what one person declared about one valve, and where in the file each value stands. */
import { type Fault, type Notice, nearName, type Place, Refusal } from "../fault/index.js";
import { type Declared, type Pressure, parseDeclared, standardAtmosphere } from "../quantity/index.js";
import { contradictionsOf } from "./contradiction.js";
import type { ParsedFile, SourceFile } from "./document.js";
import { faultyPaths } from "./faulty.js";
import { asCurrent, olderNotices, valveForm } from "./formatVersion.js";
import { isSolidFile, readSolids } from "./ownSolid.js";
import { fillFromParts, readParts } from "./part.js";
import { withItem } from "./path.js";
import { type FieldsRead, readFields } from "./read.js";
import { type Conditions, type ValveFile, valveFile } from "./schema.js";

/** What a valve file says. */
export interface Dossier {
  /** Name of the valve file, as shown in faults. */
  readonly path: string;
  /** Declared values and those of named parts; a field that is undefined is not known. */
  readonly valve: ValveFile;
  /** Place of each field that the file names, by path; a fault found later can still show its line. */
  readonly places: ReadonlyMap<string, Place>;
  /** Paths of fields entered with a fault; ask `isFaulty`. They are not known, and nothing takes their place. */
  readonly faulty: ReadonlySet<string>;
}

/** A dossier with everything that was found in reading it. */
export interface DossierRead {
  readonly dossier: Dossier;
  /** In the order of the file. A field with a fault is not known in the dossier. */
  readonly faults: readonly Fault[];
  readonly notices: readonly Notice[];
}

/**
 * Reads a dossier from the text of its files. Throws for nothing that a person may have written.
 *
 * @param files.valve  the valve file; of an older format version, with its steps done (formatVersion.ts)
 * @param files.parts  the team's own parts and solids, one file each
 * @returns            the dossier, every fault and every notice
 */
export function readDossier(files: {
  readonly valve: SourceFile;
  readonly parts?: readonly SourceFile[];
}): DossierRead {
  const current = asCurrent(valveForm, files.valve);
  const read = readWithAmbient(current.parsed);
  const own = files.parts ?? [];
  const parts = readParts(own.filter((file) => !isSolidFile(file)));
  const solids = readSolids(own);
  const given = solids.solids.length === 0 ? read.value : { ...read.value, solids: solids.solids };
  const filled = fillFromParts(given, read.places, parts.parts);
  const { faults, notices, notKnown } = contradictionsOf(filled, read.places);
  const valve = notKnown.reduce((kept, path) => withItem(kept, path, undefined), filled.valve);
  const entered = faultyPaths(valveFile.fields, valve, read.places, [...read.faults, ...faults]);
  const dossier: Dossier = {
    path: files.valve.path,
    valve,
    places: read.places,
    faulty: new Set([...entered, ...notKnown, ...filled.faulty]),
  };
  return {
    dossier,
    faults: [...inFileOrder([...read.faults, ...faults]), ...parts.faults, ...solids.faults],
    notices: [...olderNotices(valveForm, current), ...read.notices, ...notices],
  };
}

type ValveRead = FieldsRead<(typeof valveFile)["fields"]> & { readonly notices: readonly Notice[] };

const ambientPath = "duty.ambient_pressure";

/** Reads the valve file; gauge pressures count from the atmosphere that it declares itself. */
function readWithAmbient(parsed: ParsedFile): ValveRead {
  const gauges: string[] = [];
  const read = readFields(valveFile, parsed, (raw, { dimension, bounds }, path) => {
    if (dimension === "pressure" && countsFromAtmosphere(raw)) gauges.push(path);
    return parseDeclared(raw, dimension, bounds);
  });
  if (gauges.length === 0) return { ...read, notices: [] };
  if (!read.places.has(ambientPath)) return { ...read, notices: gauges.map(standardAtmosphereNotice) };
  const ambient = read.value.duty?.ambient_pressure;
  if (ambient !== undefined && !gauges.includes(ambientPath)) {
    const ambientPressure = ambient.value as Pressure;
    const own = readFields(valveFile, parsed, (raw, { dimension, bounds }) =>
      parseDeclared(raw, dimension, bounds, { ambientPressure }),
    );
    return { ...own, notices: [] };
  }
  return {
    ...read,
    value: gauges.reduce((value, path) => withItem(value, path, undefined), read.value),
    faults: ambient === undefined ? read.faults : [...read.faults, selfReferringFault(ambient, read.places)],
    notices: gauges.filter((path) => path !== ambientPath).map(noAtmosphereNotice),
  };
}

/** Whether a pressure reads differently under different atmospheres. */
function countsFromAtmosphere(raw: unknown): boolean {
  const under = (atmospheres: number) =>
    parseDeclared(
      raw,
      "pressure",
      {},
      { ambientPressure: (atmospheres * standardAtmosphere.value) as Pressure },
    ).value;
  try {
    return under(2) !== under(3);
  } catch (thrown) {
    // What is no pressure is reported when it is read for good.
    if (thrown instanceof Refusal) return false;
    throw thrown;
  }
}

function selfReferringFault(ambient: Declared, places: ReadonlyMap<string, Place>): Fault {
  return {
    code: "ambient-gauge",
    where: places.get(ambientPath) ?? {},
    found: `the atmosphere itself, ${ambient.text}, counts from the atmosphere`,
    allowed: "Gauge pressures count from this value, so it must count from vacuum.",
    mend: "Write it as an absolute pressure, for example 1.013 bar(a)",
  };
}

function standardAtmosphereNotice(field: string): Notice {
  return {
    code: "gauge-from-standard-atmosphere",
    field,
    text: `counts from the standard atmosphere, ${standardAtmosphere.value / 1e5} bar(a), because ${ambientPath} is not given`,
  };
}

function noAtmosphereNotice(field: string): Notice {
  return {
    code: "gauge-without-atmosphere",
    field,
    text: `is not known: it counts from ${ambientPath}, which has a fault`,
  };
}

/** Faults by line and column; those without a place come first. */
function inFileOrder(faults: readonly Fault[]): readonly Fault[] {
  return [...faults].sort(
    (a, b) => (a.where.line ?? 0) - (b.where.line ?? 0) || (a.where.column ?? 0) - (b.where.column ?? 0),
  );
}

/** Ids of the conditions that a dossier describes: the duty, then its cases. */
export function caseIds(dossier: Dossier): readonly string[] {
  return ["duty", ...(dossier.valve.cases ?? []).flatMap(({ id }) => (id === undefined ? [] : [id]))];
}

/**
 * Conditions of a stroke.
 *
 * @param caseId  `duty`, or the id of one of the cases
 * Refuses        an id that the dossier does not have
 */
export function conditionsOf(dossier: Dossier, caseId: string): Conditions {
  if (caseId === "duty") return dossier.valve.duty ?? {};
  const found = dossier.valve.cases?.find(({ id }) => id === caseId);
  if (found !== undefined) return found;
  const ids = caseIds(dossier);
  const near = nearName(caseId, ids);
  throw new Refusal([
    {
      code: "case-unknown",
      where: { file: dossier.path, field: "cases" },
      found: `${caseId} is no case of this valve`,
      allowed: `Its cases are ${ids.join(", ")}.`,
      mend: "Name one of them, or describe the case in the valve file",
      ...(near === undefined ? {} : { near }),
    },
  ]);
}
