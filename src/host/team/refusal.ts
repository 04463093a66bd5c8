/** What the team store refuses, in words. */
import { decisionWords, roleWords } from "../../dossier/index.js";
import { type Fault, nearName, Refusal } from "../../fault/index.js";
import { databaseCode, refuseDatabase } from "../postgres/connect.js";
import { storeCodes } from "./structure.js";

type Detail = Readonly<Record<string, unknown>>;

/** The facts that a function of the store gave with its refusal. */
export function detailOf(error: unknown): unknown {
  const text = error instanceof Error && "detail" in error ? error.detail : undefined;
  return typeof text === "string" && /^[[{]/.test(text) ? JSON.parse(text) : undefined;
}

/** Whether a function of the store refused with this code. */
export function isRefused(error: unknown, which: keyof typeof storeCodes): boolean {
  return databaseCode(error) === storeCodes[which];
}

/** Turns what the store refused into a refusal. @param address  of the database, as it may be shown */
export function refuseStore(error: unknown, address: string): never {
  const found: unknown = detailOf(error);
  const detail: Detail = typeof found === "object" && found !== null ? { ...found } : {};
  const fault = faultOf(error, detail);
  if (fault === undefined) return refuseDatabase(error, address);
  throw new Refusal([{ ...fault, where: { file: address } }]);
}

function faultOf(error: unknown, detail: Detail): Omit<Fault, "where"> | undefined {
  if (isRefused(error, "role")) return roleFault(detail);
  if (isRefused(error, "exists"))
    return {
      code: "team-dossier-exists",
      found: `there is a dossier ${String(detail.dossier)} already`,
      allowed: "A dossier is brought in once; later changes are committed to it.",
      mend: "Choose another name with --as, or export it and commit to it",
    };
  if (isRefused(error, "sealed"))
    return {
      code: "team-sealed",
      found: detail.path === undefined ? "what is written stays" : `${String(detail.path)} is sealed`,
      allowed: "A sealed prediction is written once and changed by nobody, whatever the role.",
      mend: "Take the file back as it was, and seal another prediction",
    };
  if (isRefused(error, "login"))
    return {
      code: "team-login-unknown",
      found: `the database has no login ${String(detail.login)}`,
      allowed: "A person of the team has a login of the database, with a password of their own.",
      mend: "Let who runs the database make it: CREATE ROLE name LOGIN PASSWORD '...'",
    };
  if (isRefused(error, "last"))
    return {
      code: "team-last-decider",
      found: `without ${String(detail.login)} nobody would be left who decides`,
      allowed: "Somebody must be able to say who has which role.",
      mend: "Give another person the role decide first",
    };
  if (isRefused(error, "decided")) return decidedFault(detail);
  if (isRefused(error, "outdated"))
    return {
      code: "team-sheet-outdated",
      found: `${String(detail.sheet)} is out of date: ${listed(detail.files)} in the store ${Array.isArray(detail.files) && detail.files.length === 1 ? "is" : "are"} not as it says`,
      allowed: "A decision is made upon what is so now, with sheet and files in the team's store.",
      mend: "Update the copy, print the sheet anew, commit it, and decide upon that one",
    };
  if (isRefused(error, "word"))
    return {
      code: "team-decision-word",
      found: `"${String(detail.word)}" is no decision`,
      allowed: `A decision is ${decisionWords.join(", ")}.`,
      mend: 'Write, for example, --word "go with waivers"',
    };
  if (isRefused(error, "why"))
    return {
      code: "team-why",
      found: "the reason is missing",
      allowed: "Every change is kept with who made it, when, and why.",
      mend: 'Say it in a sentence: --why "stem measured again"',
    };
  return undefined;
}

function decidedFault({ login, sheet, many }: Detail): Omit<Fault, "where"> {
  const who = many === true ? "two persons have" : `${String(login)} has`;
  return {
    code: "team-decided",
    found: `${who} decided upon ${String(sheet)} already`,
    allowed: "A decision is of two persons, each once, each on a login of their own; it is not taken back.",
    mend: "Let the other person decide, or print a new sheet and decide upon that one",
  };
}

function listed(files: unknown): string {
  return Array.isArray(files) ? files.map(String).join(", ") : "a file";
}

function roleFault({ login, role, needed, what }: Detail): Omit<Fault, "where"> {
  if (role === null)
    return {
      code: "team-stranger",
      found: `${String(login)} is no person of this team`,
      allowed: "The dossiers of a team are for its people alone.",
      mend: "Ask somebody with the role decide to add you with `coldturn team person`",
    };
  const words = Object.entries(roleWords).find(([name]) => name === needed)?.[1] ?? "";
  return {
    code: "team-role",
    found: `${String(login)} has the role ${String(role)}; ${String(what)} needs the role ${String(needed)}`,
    allowed: `The role ${String(needed)} ${words}.`,
    mend: "Ask somebody with the role decide for it, or let a person who has it do this",
  };
}

/** Refuses a dossier that the store does not have. */
export function refuseUnknown(address: string, id: string, ids: readonly string[]): never {
  const near = nearName(id, ids);
  throw new Refusal([
    {
      code: "team-dossier-unknown",
      where: { file: address },
      found: `the team has no dossier ${id}`,
      allowed: ids.length === 0 ? "It has none yet." : `It has ${ids.join(", ")}.`,
      mend: "`coldturn team list` shows them; `coldturn team import` brings one in",
      ...(near === undefined ? {} : { near }),
    },
  ]);
}
