/** The files of an import: each opened, given a mapping, held against it and read. */
import { basename, join } from "node:path";
import {
  type Calibration,
  type ChannelMapping,
  type Inspection,
  judgedSense,
  type Mapping,
  type SensedMapping,
  sentinelNotice,
  sourceDifferences,
  sourceOf,
  sourceWords,
} from "../evidence/index.js";
import { type Fault, type Notice, Refusal } from "../fault/index.js";
import {
  type DossierFiles,
  hashFile,
  type OpenLog,
  openLog,
  originalName,
  type ReadLog,
  readRunRecord,
  readSensor,
  runIds,
  storedLogName,
} from "../host/index.js";
import { correctionsFor, mapKey, sensorsNamed, withCorrections } from "./mapOption.js";

/** One log of a test, read. */
export interface ImportedFile {
  readonly path: string;
  /** Its name in the run: its own, or with its number where two files have one name. */
  readonly name: string;
  readonly original: { readonly file: string; readonly sha256: string; readonly bytes: number };
  readonly inspection: Inspection;
  readonly mapping: Mapping;
  /** The earlier run whose mapping it is. */
  readonly from: string | undefined;
  readonly read: ReadLog;
  /** Of decoding, proposal, sense and reading. */
  readonly notices: readonly Notice[];
}

export interface ImportRequest {
  readonly files: DossierFiles;
  readonly paths: readonly string[];
  readonly corrections: readonly string[];
  /** Propose anew, whatever earlier runs had. */
  readonly isAnew: boolean;
  /** Folder that gets the stored logs;  scratch for what is needed on the way. */
  readonly staging: { readonly folder: string; readonly scratch: string };
  readonly signal: AbortSignal;
  /** Texts up to this size are read in memory [byte]; as `openLog` has it unless given. */
  readonly smallText?: number;
}

/** Opens and reads the files, in order. Refuses what cannot be read and what a mapping leaves open. */
export async function importedFiles(request: ImportRequest): Promise<readonly ImportedFile[]> {
  const { files, paths, corrections } = request;
  const names = paths.map((path) => basename(path));
  const own = names.map((name, i) => originalName(names.indexOf(name) === i ? name : `${i + 1}-${name}`));
  const sensors = new Map<string, Calibration>();
  for (const id of sensorsNamed(corrections)) sensors.set(id, await readSensor(files.folder, id));
  const read: ImportedFile[] = [];
  for (const [index, path] of paths.entries()) {
    request.signal.throwIfAborted();
    const mine = correctionsFor(corrections, names, index);
    read.push(await importedFile(request, { path, name: own[index] ?? "", index, mine, sensors }));
  }
  return read;
}

interface One {
  readonly path: string;
  readonly name: string;
  readonly index: number;
  readonly mine: readonly string[];
  readonly sensors: ReadonlyMap<string, Calibration>;
}

async function importedFile(
  { files, isAnew, staging, smallText }: ImportRequest,
  { path, name, index, mine, sensors }: One,
): Promise<ImportedFile> {
  // The hash is taken while the database reads on its own threads.
  const hashed = hashFile(path);
  hashed.catch(() => undefined);
  const log = await openLog(path, staging.scratch, smallText === undefined ? {} : { smallText });
  const proposal = await proposedMapping(files, log, isAnew);
  const proposed = withCorrections(proposal.mapping, mine, sensors);
  const isGiven = mine.some((one) => givesSense(one, proposed));
  const ahead = isGiven ? undefined : log.doubted?.(proposed);
  const sense = ahead === undefined ? [] : senseNotices(path, proposed, ahead, proposal.from);
  const into = join(staging.folder, storedLogName(index));
  const first = await readBy(log, proposed, staging.scratch, into);
  const { mapping: sifted, sentinels } = byAll(proposed, first.missing, mine, proposal.from);
  const second = sifted === proposed ? first : await readBy(log, sifted, staging.scratch, into);
  const isDraft = proposal.from === undefined && !mine.some((one) => isOfAngle(one, proposed));
  const draft = isDraft ? log.inspection.draft : undefined;
  const judged = isGiven ? undefined : await senseByAll(path, sifted, second, draft, proposal.from);
  const mapping = judged?.mapping ?? sifted;
  const isAnother = judged?.isOther ?? false;
  const read = isAnother ? await readBy(log, mapping, staging.scratch, into) : second;
  const said = [
    ...proposal.notices.filter(({ code }) => !(code === "log-sentinel" && sentinels !== undefined)),
    ...(sentinels ?? []),
  ].filter(({ code }) => !(code === "log-angle-reversed" && isDraft && judged !== undefined));
  return {
    path,
    name,
    original: { file: name, ...(await hashed) },
    inspection: log.inspection,
    mapping,
    from: proposal.from,
    read,
    notices: [
      ...log.notices,
      ...said,
      ...sense,
      ...(judged?.notices ?? []),
      ...read.doubts,
      ...read.head.notices,
    ],
  };
}

/** The sense that all of a log shows, where its mapping was proposed from a sample. */
interface JudgedSense extends SensedMapping {
  /** True where the values that were read have another sense. */
  readonly isOther: boolean;
}

/**
 * Sense of the angle by all of a log that was read by a mapping; undefined where it was told ahead.
 * @param draft  the proposal before its sense was looked at, where that sense is still a proposal
 * Refuses       as `senseNotices`
 */
async function senseByAll(
  path: string,
  mapping: Mapping,
  { sense }: ReadLog,
  draft: Mapping | undefined,
  from: string | undefined,
): Promise<JudgedSense | undefined> {
  if (sense === undefined) return undefined;
  const open = draft === undefined ? mapping : withAngleOf(mapping, draft);
  const [now, own] = [angleIn(mapping), angleIn(open)];
  if (now?.sign === own?.sign && !sense.canFall) return { mapping: open, notices: [], isOther: false };
  const moves = await sense.moves();
  const found = draft === undefined ? { mapping, notices: [] } : judgedSense(open, moves);
  const turned = found.notices.filter(({ code }) => code === "log-angle-reversed");
  const angle = angleIn(found.mapping);
  const isOther = angle?.sign !== now?.sign || angle?.zero !== now?.zero;
  const left = senseNotices(path, found.mapping, judgedSense(found.mapping, moves), from);
  return { mapping: found.mapping, notices: [...turned, ...left], isOther };
}

const angleIn = ({ channels }: Mapping): ChannelMapping | undefined =>
  channels.find(({ role }) => role === "angle");

/** A mapping whose angle has the sense, the zero and the reason of another mapping of the same columns. */
function withAngleOf(mapping: Mapping, other: Mapping): Mapping {
  const angle = angleIn(other);
  if (angle === undefined) return mapping;
  return {
    ...mapping,
    channels: mapping.channels.map((channel) => {
      if (channel.role !== "angle") return channel;
      const { missing } = channel;
      const { missing: _, ...own } = angle;
      return missing === undefined ? own : { ...own, missing };
    }),
  };
}

/**
 * A mapping with the numbers for no value that all of a log shows, where it was proposed from a sample.
 * What an earlier run or the command line says of them stays.
 */
function byAll(
  mapping: Mapping,
  missing: ReadLog["missing"],
  corrections: readonly string[],
  from: string | undefined,
): { readonly mapping: Mapping; readonly sentinels?: readonly Notice[] } {
  if (missing === undefined || from !== undefined) return { mapping };
  const given = corrections.map((one) => mapKey(`mapping.${one.split("=")[0]?.trim() ?? ""}`, mapping));
  const isGiven = (i: number) => given.includes(mapKey(`mapping.channels[${i}].missing`, mapping));
  const found = mapping.channels.map(({ missing: now = [] }, i) => (isGiven(i) ? now : (missing[i] ?? now)));
  const isSame = mapping.channels.every(({ missing: now = [] }, i) => now.join() === (found[i] ?? []).join());
  if (isSame) return { mapping };
  return {
    mapping: {
      ...mapping,
      channels: mapping.channels.map(({ missing: _, ...channel }, i) => {
        const own = found[i] ?? [];
        return own.length === 0 ? channel : { ...channel, missing: own };
      }),
    },
    sentinels: mapping.channels.flatMap(({ column }, i) => {
      const own = found[i] ?? [];
      return own.length === 0 || isGiven(i) ? [] : [sentinelNotice(column.name, own, i)];
    }),
  };
}

interface Proposal {
  readonly mapping: Mapping;
  readonly from: string | undefined;
  readonly notices: readonly Notice[];
}

/**
 * The mapping of the newest run with a file that has all its columns and comes from the same source; else
 * a new proposal, which tells of a run with these columns that is of another source.
 */
async function proposedMapping(
  files: DossierFiles,
  { inspection }: OpenLog,
  isAnew: boolean,
): Promise<Proposal> {
  const names = new Set(inspection.columns.map(({ name }) => name));
  const { dialect, metadata } = inspection;
  const source = sourceOf(metadata, dialect);
  const others: Notice[] = [];
  const ids = isAnew ? [] : [...(await runIds(files.folder))].reverse();
  for (const id of ids) {
    const { record } = await readRunRecord(files.folder, id);
    const mappings = [record.mapping, ...(record.furtherFiles ?? []).map(({ mapping }) => mapping)];
    const fitting = mappings.filter((one) => fits(one, names));
    const mapping = fitting.find((one) => sourceDifferences(one.source ?? {}, source).length === 0);
    if (mapping !== undefined)
      return {
        mapping: { ...mapping, dialect, source },
        from: id,
        notices: mapping.source === undefined ? [byColumnsNotice(id)] : [],
      };
    others.push(...fitting.slice(0, 1).map((one) => otherSourceNotice(id, one, source)));
  }
  const { mapping, notices, proposed } = inspection;
  return {
    mapping: { ...{ dialect, source }, ...mapping },
    from: undefined,
    notices: [
      ...others.slice(0, 1),
      ...notices.filter(({ code }) => code === "log-angle-reversed"),
      ...proposed,
    ],
  };
}

/** A run of before the source was kept. */
function byColumnsNotice(id: string): Notice {
  return {
    code: "mapping-by-columns",
    text: `run ${id} does not say from which source its log came: its mapping is used because the columns have the same names. If another logger wrote this log, propose it again with --anew`,
  };
}

function otherSourceNotice(id: string, { source: kept = {} }: Mapping, source: Mapping["source"]): Notice {
  const differing = sourceDifferences(kept, source ?? {});
  const keys = differing.map((fact) => `${fact}: any`).join(", ");
  return {
    code: "mapping-of-other-source",
    text: `run ${id} has the same columns from another source (${sourceWords(kept, differing)}; this log: ${sourceWords(source ?? {}, differing)}): its mapping is not used, one is proposed anew. If it serves this log too, write ${keys} under mapping.source in its run.yaml`,
  };
}

function fits({ time, channels }: Mapping, names: ReadonlySet<string>): boolean {
  const columns = [time.column, ...channels.map(({ column }) => column)];
  const named = columns.filter((column) => column !== undefined);
  return named.length > 0 && named.every(({ name }) => name !== "" && names.has(name));
}

/**
 * What the log says against the sense of its angle, where nobody gave that sense for this very log.
 * Refuses an angle that an earlier mapping, or a column named on the command line, would turn the wrong
 * way: an opening would be judged as a closing.
 */
function senseNotices(
  path: string,
  mapping: Mapping,
  { mapping: other, notices }: SensedMapping,
  from: string | undefined,
): readonly Notice[] {
  const reversed = notices.find(({ code }) => code === "log-angle-reversed");
  const angle = other.channels.find(({ role }) => role === "angle");
  const now = mapping.channels.find(({ role }) => role === "angle");
  if (reversed === undefined || angle === undefined || now === undefined) return notices;
  const turned = [
    `--map angle.sign=${angle.sign}`,
    ...(angle.zero === undefined ? [] : [`--map "angle.zero=${angle.zero}"`]),
  ];
  const source = from === undefined ? "" : `, read as in run ${from},`;
  const which = from === undefined ? `the sign ${now.sign}, which nobody gave` : `its sign ${now.sign}`;
  throw new Refusal([
    {
      code: "log-angle-doubted",
      where: { file: path, field: "angle.sign" },
      found: `the angle${source} speaks against ${which}: ${reversed.text.replace(/: an opening ball[\s\S]*$|\. If the valve opened[\s\S]*$/, "")}`,
      allowed:
        "An opening ball turns to larger angles; read the other way, an opening would be judged as a closing.",
      mend: `If the valve opened, write ${turned.join(" ")}; if it closed, write --map angle.sign=${now.sign}${from === undefined ? "" : "; or let the mapping be proposed again with --anew"}`,
    },
  ]);
}

/** True for a correction that says which way the angle counts. */
function givesSense(correction: string, mapping: Mapping): boolean {
  return /^angle\.(sign|scale|calibration)$/.test(keyOf(correction, mapping));
}

/** True for a correction that says how the angle is read, or where it stands. */
function isOfAngle(correction: string, mapping: Mapping): boolean {
  return /^angle(\.(?!missing$)|$)/.test(keyOf(correction, mapping));
}

/** The key of a correction in the words of --map. */
function keyOf(correction: string, mapping: Mapping): string {
  const [typed = ""] = correction.split("=");
  const key = typed.trim().replace(/^mapping\./, "");
  return mapKey(`mapping.${key}`, mapping) ?? key;
}

/** Reads the log; what the mapping leaves open is asked for in the words of --map. */
async function readBy(log: OpenLog, mapping: Mapping, scratch: string, into: string): Promise<ReadLog> {
  try {
    return await log.read(mapping, scratch, into);
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    throw new Refusal(thrown.faults.map((fault) => inMapWords(fault, mapping)));
  }
}

/** A fault of the mapping with the option that mends it: `--map motor_current.unit=...`. */
function inMapWords(fault: Fault, mapping: Mapping): Fault {
  const { field } = fault.where;
  const key = field === undefined ? undefined : mapKey(field, mapping);
  if (key === undefined) return fault;
  const mend = `${fault.mend.replace(/\.$/, "")}; here: --map ${key}=...`;
  return { ...fault, where: { ...fault.where, field: key }, mend };
}
