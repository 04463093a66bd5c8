/**
 * The register of hazards beside the present checks: rows to be made, rows whose check has changed, rows
 * that somebody edited, and what of it is open. A row changes only with its reason: the seal of a row
 * holds short hashes of its texts and of its history, by which an edit without a new line is found.
 */
import type {
  HazardCut,
  HazardFile,
  HazardRow,
  HazardText,
  NewHazardRow,
  ValueEdit,
} from "../dossier/index.js";
import { hazardTexts, hazardWording } from "../dossier/index.js";
import type { Fault } from "../fault/index.js";
import type { Answer } from "./answer.js";
import type { Check } from "./check.js";
import { limitWords, listWords, needWords, valueWords } from "./words.js";

/** Questions whose checks speak of hazards: those about tests and the stand speak of evidence. */
const lastQuestion = 10;
/** Letters of a hash that a seal keeps: enough to tell texts apart, short enough to read over. */
const sealLength = 8;

/** One hazard as it stands. */
export interface Hazard {
  /** Id of its check; undefined for a row of somebody's own. */
  readonly check: string | undefined;
  readonly name: string;
  readonly texts: Readonly<Record<HazardText, string>>;
  /** What the check says now; "" without one. */
  readonly reads: string;
  /** What is open: a check that does not hold, nobody who verifies, a row that is stale. */
  readonly open: readonly string[];
  readonly isNew: boolean;
  readonly isStale: boolean;
}

/** A register held against the present checks. */
export interface Register {
  readonly hazards: readonly Hazard[];
  readonly edits: readonly ValueEdit[];
  readonly added: readonly NewHazardRow[];
  /** Keys of all rows that then stand in the file or stood there, for `made`. */
  readonly made: string;
  /** Edits without a reason, and histories that cannot be. */
  readonly faults: readonly Fault[];
}

/** Short hash of a text, the same for the same text. */
export type Digest = (text: string) => string;

/** The register of a dossier, with what it is held against the checks with. */
export interface HazardEvidence {
  readonly file: HazardFile;
  readonly digest: Digest;
}

/** Checks that a row is made from. */
function hazardChecks(answers: readonly Answer[]): readonly Check[] {
  const judged = answers
    .filter(({ number }) => number <= lastQuestion)
    .flatMap(({ checks }) => checks.filter(({ standing }) => standing === "judged"));
  return judged.filter(
    ({ id, name }, n) => judged.findIndex((one) => one.id === id && one.name === name) === n,
  );
}

/** What a check says without the band, which moves with the number of samples: "0.2 s, at most 0.8 s". */
function reading(check: Check): string {
  if (check.kind === "unknown") return `not known: needs ${listWords(needWords(check))}`;
  if (check.kind === "failed") return check.finding;
  const { value, dimension, unit, limit } = check;
  return `${valueWords(value, undefined, dimension, unit)}, ${limitWords(limit, dimension, unit)}`;
}

/**
 * Holds a register against the checks of the present answers.
 *
 * @param file     as read; undefined where there is none yet
 * @param answers  to the questions before the twelfth at least
 * @param day      of today, written into new rows, ISO 8601
 */
export function registerOf(
  file: HazardFile | undefined,
  answers: readonly Answer[],
  day: string,
  digest: Digest,
): Register {
  const checks = hazardChecks(answers);
  const rows = file?.rows ?? [];
  const kept = rows.map((row, j) => keptRow(row, `rows[${j}]`, checks, { file, day, digest }));
  const isThere = (key: string) => rows.some((row) => keyOf(row, digest) === key);
  const cuts = (file?.cut ?? []).filter((cut) => !isThere(keyOf(cut, digest)));
  const isCut = (key: string) => cuts.some((cut) => keyOf(cut, digest) === key);
  const keyed = checks.map((check) => ({ check, key: keyOf({ check: check.id, name: check.name }, digest) }));
  const fresh = keyed.filter(({ key }) => !isThere(key) && !isCut(key));
  const stood = (file?.made ?? "").split(" ").filter((key) => key !== "");
  const gone = stood.filter((key) => !isThere(key) && !isCut(key));
  const keys = [...stood, ...rows.map((row) => keyOf(row, digest)), ...fresh.map(({ key }) => key)];
  const made = [...new Set(keys)].join(" ");
  const edits = kept.flatMap((one) => one.edits);
  const newOnes = fresh.map(({ check, key }): Hazard => {
    const hazard = newHazard(check);
    return gone.includes(key) ? { ...hazard, open: [...hazard.open, cutWithoutWord] } : hazard;
  });
  return {
    hazards: [...kept.map(({ hazard }) => hazard), ...newOnes, ...cuts.map((cut) => cutHazard(cut, checks))],
    edits: file === undefined || file.made === made ? edits : [...edits, { path: "made", value: made }],
    added: fresh.map(({ check }) => newRow(check, day, digest)),
    made,
    faults: [
      ...kept.flatMap((one) => one.faults),
      ...(file === undefined ? [] : gone.map((key) => goneFault(file, key, keyed))),
      ...(file === undefined ? [] : cuts.flatMap((cut) => cutFaults(file, cut, day))),
    ],
  };
}

const cutWithoutWord = "its row was cut out without a reason";

/** Tells rows apart: the id of the check, or `own`, and a short hash of its name. */
function keyOf({ check, name = "" }: Pick<HazardRow, "check" | "name">, digest: Digest): string {
  return `${check ?? "own"}/${digest(name).slice(0, sealLength)}`;
}

/** A row that was cut out with its reason: who reads the register later still sees it. */
function cutHazard(cut: HazardCut, checks: readonly Check[]): Hazard {
  const check = checks.find(({ id, name }) => id === cut.check && name === cut.name);
  const { who = "", date = "", why = "" } = cut;
  const texts = {
    cause: "",
    effect: "",
    control: `cut out by ${who} on ${date}: ${why}`,
    evidence: "",
    who_verifies: who,
  };
  return {
    check: cut.check,
    name: cut.name ?? "a hazard without a name",
    texts,
    reads: check === undefined ? "" : reading(check),
    open: openWords(check, texts),
    isNew: false,
    isStale: false,
  };
}

function goneFault(
  file: HazardFile,
  key: string,
  keyed: readonly { readonly check: Check; readonly key: string }[],
): Fault {
  const check = keyed.find((one) => one.key === key)?.check;
  const [id = ""] = key.split("/");
  const words =
    check === undefined
      ? `a row of ${id === "own" ? "somebody's own" : id}`
      : `the row of ${id}, ${check.name},`;
  return {
    code: "hazard-edit-without-reason",
    where: file.placeOf("rows"),
    found: `${words} was cut out or renamed, and \`cut\` does not say why`,
    allowed: "Who reads the register later must see who cut it out, and why.",
    mend: `Put the row back, or add a line below \`cut\` of the file: { ${id === "own" ? "" : `check: ${id}, `}name: ${check?.name ?? "..."}, date: ..., who: ..., why: ... }`,
  };
}

function cutFaults(file: HazardFile, cut: HazardCut, day: string): readonly Fault[] {
  const missing = (["name", "date", "who", "why"] as const).filter((key) => (cut[key] ?? "").trim() === "");
  const date = dateFault(cut.date, day);
  if (missing.length === 0 && date === undefined) return [];
  const found = missing.length > 0 ? `this cut does not say ${missing.join(", ")}` : (date ?? "");
  return [historyFault(file, `cut[${file.cut.indexOf(cut)}]`, found)];
}

/** What is wrong with the date of a change; one that is still to come cannot have been made. */
function dateFault(date: string | undefined, day: string): string | undefined {
  if (date === undefined) return undefined;
  if (!/^\d{4}-\d{2}-\d{2}$/.test(date)) return `"${date}" is no date`;
  return day !== "" && date > day ? `${date} is still to come` : undefined;
}

interface Around {
  readonly file: HazardFile | undefined;
  readonly day: string;
  readonly digest: Digest;
}

function keptRow(
  row: HazardRow,
  path: string,
  checks: readonly Check[],
  { file, day, digest }: Around,
): { readonly hazard: Hazard; readonly edits: readonly ValueEdit[]; readonly faults: readonly Fault[] } {
  const faults = file === undefined ? [] : faultsOf(row, path, { file, day, digest });
  const check = checks.find(({ id, name }) => id === row.check && name === row.name);
  const now = check === undefined ? "the check is not asked any more" : reading(check);
  const differs =
    row.check !== undefined && (check === undefined || now !== row.reads || check.equation !== row.equation);
  const { sealed } = sealOf(row);
  const isJudgedAnew = (row.history?.length ?? 0) > sealed && faults.length === 0;
  const isStale = differs && !isJudgedAnew;
  const stale = isStale ? staleWords(row, now, day) : "no";
  const edit = (
    field: keyof HazardRow & string,
    value: string,
    was: string | undefined,
  ): readonly ValueEdit[] => (value === (was ?? "") ? [] : [{ path: `${path}.${field}`, value }]);
  const edits = [
    ...(row.check === undefined ? [] : edit("stale", stale, row.stale)),
    ...(differs && isJudgedAnew && check !== undefined
      ? [...edit("reads", now, row.reads), ...edit("equation", check.equation, row.equation)]
      : []),
    ...(faults.length > 0 ? [] : edit("seal", sealText(row, digest), row.seal)),
  ];
  return {
    hazard: {
      check: row.check,
      name: row.name ?? "a hazard without a name",
      texts: textsOf(row),
      reads: row.check === undefined ? "" : now,
      open: [
        ...openWords(check, textsOf(row)),
        ...(isJudged(row) ? [] : [unjudged]),
        ...(isStale ? ["stale: the check has changed since the row was judged"] : []),
        ...faults.map(({ found }) => found),
      ],
      isNew: false,
      isStale,
    },
    edits,
    faults,
  };
}

/** Who stands in the history of a row that the program made. */
const maker = "coldturn hazards";
const unjudged = "nobody has judged it yet";

function isJudged({ history = [] }: HazardRow): boolean {
  return history.some(({ who }) => who !== undefined && who !== maker);
}

/** The day on which it became stale stays while the check says the same. */
function staleWords(row: HazardRow, now: string, day: string): string {
  const since = /^since (\d{4}-\d{2}-\d{2}): /.exec(row.stale ?? "");
  const words = row.stale?.slice(since?.[0].length ?? 0);
  return since !== null && words === now ? (row.stale ?? "") : `since ${day}: ${now}`;
}

function openWords(check: Check | undefined, { who_verifies }: Hazard["texts"]): readonly string[] {
  return [
    ...(check === undefined || check.verdict === "holds" ? [] : [`its check: ${check.verdict}`]),
    ...(who_verifies.trim() === "" ? ["nobody verifies it"] : []),
  ];
}

function textsOf(row: HazardRow): Hazard["texts"] {
  const { cause = "", effect = "", control = "", evidence = "", who_verifies = "" } = row;
  return { cause, effect, control, evidence, who_verifies };
}

function newHazard(check: Check): Hazard {
  const texts = firstTexts(check);
  return {
    check: check.id,
    name: check.name,
    texts,
    reads: reading(check),
    open: [...openWords(check, texts), unjudged],
    isNew: true,
    isStale: false,
  };
}

function firstTexts(check: Check): Hazard["texts"] {
  const wording = hazardWording(check.id);
  return {
    cause: wording?.cause ?? `${check.name}: the limit of the check is not kept.`,
    effect: wording?.effect ?? "not stated yet",
    control: wording?.control ?? "not stated yet",
    evidence: `check ${check.id}`,
    who_verifies: "",
  };
}

function newRow(check: Check, day: string, digest: Digest): NewHazardRow {
  const wording = hazardWording(check.id);
  const row = {
    check: check.id,
    name: check.name,
    reads: reading(check),
    equation: check.equation,
    stale: "no",
    ...firstTexts(check),
    history: [
      {
        date: day,
        who: maker,
        what: "the row",
        why: `made from the check; wording: ${wording?.reference ?? "none on file"}`,
      },
    ],
  };
  return { ...row, seal: sealText(row, digest) };
}

/** "2 1f3a9c04 ...": lines of the history, their hash, then that of each text. */
function sealText(row: HazardRow, digest: Digest): string {
  const { history = [] } = row;
  const texts = textsOf(row);
  const short = (text: string) => digest(text).slice(0, sealLength);
  return [
    `${history.length}`,
    short(historyText(history)),
    ...hazardTexts.map((key) => short(texts[key])),
  ].join(" ");
}

function historyText(history: NonNullable<HazardRow["history"]>): string {
  return JSON.stringify(history.map(({ date, who, what, why }) => [date, who, what, why]));
}

function sealOf({ seal = "" }: HazardRow): { readonly sealed: number; readonly hashes: readonly string[] } {
  const [lines = "", ...hashes] = seal.split(" ");
  return { sealed: /^\d+$/.test(lines) ? Number(lines) : 0, hashes };
}

function faultsOf(
  row: HazardRow,
  path: string,
  { file, day, digest }: Around & { readonly file: HazardFile },
): readonly Fault[] {
  const { history = [] } = row;
  const { sealed, hashes } = sealOf(row);
  const short = (text: string) => digest(text).slice(0, sealLength);
  const [past, ...sealedTexts] = hashes;
  const incomplete = history.flatMap((line, k) => {
    const at = `${path}.history[${k}]`;
    const missing = (["date", "who", "what", "why"] as const).filter(
      (key) => (line[key] ?? "").trim() === "",
    );
    const date = dateFault(line.date, day);
    if (missing.length === 0 && date === undefined) return [];
    return [
      historyFault(
        file,
        at,
        missing.length > 0 ? `this change does not say ${missing.join(", ")}` : (date ?? ""),
      ),
    ];
  });
  if (row.seal === undefined)
    return history.length > 0
      ? incomplete
      : [historyFault(file, `${path}.history`, "a row of somebody's own has no line in its history")];
  if (history.length < sealed || short(historyText(history.slice(0, sealed))) !== past)
    return [
      historyFault(file, `${path}.history`, "lines of the history that stood there are gone or changed"),
      ...incomplete,
    ];
  if (history.length > sealed) return incomplete;
  const texts = textsOf(row);
  return hazardTexts.flatMap((key, k): readonly Fault[] =>
    short(texts[key]) === sealedTexts[k]
      ? []
      : [
          {
            code: "hazard-edit-without-reason",
            where: file.placeOf(row[key] === undefined ? path : `${path}.${key}`),
            found: `${key} was changed, and the history has no new line`,
            allowed: "Who reads the register later must see who changed what, and why.",
            mend: "Add a line below `history` of this row: { date: ..., who: ..., what: ..., why: ... }",
          },
        ],
  );
}

function historyFault(file: HazardFile, path: string, found: string): Fault {
  return {
    code: "hazard-history",
    where: file.placeOf(path),
    found,
    allowed: "The history of a row is only added to; each line says date, who, what and why.",
    mend: "Put back what was there, and write the line whole: { date: 2026-04-02, who: ..., what: ..., why: ... }",
  };
}
