/** What the file system refuses, in words a person can act on. */
import { type Fault, Refusal } from "../fault/index.js";

/** What was tried. */
export type Act = "read" | "write";

interface Words {
  readonly code: string;
  readonly found: (act: Act) => string;
  readonly allowed: string;
  readonly mend: (act: Act) => string;
}

const noPermission: Words = {
  code: "file-no-permission",
  found: (act) => `the system does not let you ${act} here`,
  allowed: "Coldturn reads and writes with the rights of the person who calls it.",
  mend: (act) => `Give yourself the right to ${act} there, or use a copy in a folder of your own`,
};

const words: Readonly<Record<string, Words>> = {
  EACCES: noPermission,
  EPERM: noPermission,
  EROFS: {
    code: "file-read-only",
    found: () => "the disk is mounted read-only",
    allowed: "A result can only be written where the disk takes it.",
    mend: () => "Copy the dossier to a disk that can be written, and work there",
  },
  ENOENT: {
    code: "file-missing",
    found: () => "there is no such file or folder",
    allowed: "",
    mend: () => "Look for a misspelt name, or for another folder to start from",
  },
  ENOTDIR: {
    code: "folder-is-file",
    found: () => "a part of this path is a file, where a folder is needed",
    allowed: "",
    mend: () => "Look for a misspelt name",
  },
  EISDIR: {
    code: "file-is-folder",
    found: () => "this is a folder, where a file is needed",
    allowed: "",
    mend: () => "Name the file itself",
  },
  EEXIST: {
    code: "file-exists",
    found: () => "there is something of this name already",
    allowed: "Nothing is overwritten unless you ask for it.",
    mend: () => "Choose another name, or move the old one away",
  },
  ENOSPC: {
    code: "disk-full",
    found: () => "the disk is full",
    allowed: "The file that stood there before is whole; nothing was half written.",
    mend: () => "Free some space, then give the same command again",
  },
  EFBIG: {
    code: "disk-full",
    found: () => "the disk is full, or takes no file of this size",
    allowed: "The file that stood there before is whole; nothing was half written.",
    mend: () => "Free some space or use another disk, then give the same command again",
  },
  EDQUOT: {
    code: "disk-full",
    found: () => "your share of the disk is used up",
    allowed: "The file that stood there before is whole; nothing was half written.",
    mend: () => "Free some space, then give the same command again",
  },
  ENAMETOOLONG: {
    code: "file-name-too-long",
    found: () => "the name is longer than the system takes",
    allowed: "",
    mend: () => "Choose a shorter name",
  },
  ELOOP: {
    code: "file-link-loop",
    found: () => "links point at each other in a circle",
    allowed: "",
    mend: () => "Name the file itself instead of the link",
  },
};

/** Whether an error is one of the file system, with this code or any. */
export function isSystemError(error: unknown, code?: string): error is NodeJS.ErrnoException {
  const found = error instanceof Error && "code" in error ? error.code : undefined;
  return typeof found === "string" && /^E[A-Z0-9]+$/.test(found) && (code === undefined || found === code);
}

/**
 * Turns what the file system refused into a refusal; anything else is thrown on as it is.
 *
 * @param path  as the user knows it
 */
export function refuseSystem(error: unknown, path: string, act: Act): never {
  if (!isSystemError(error)) throw error;
  const known = words[error.code ?? ""];
  throw new Refusal([
    {
      code: known?.code ?? "file-system",
      where: { file: path },
      found: known?.found(act) ?? `the system could not ${act} this (${error.message})`,
      allowed: known?.allowed ?? "",
      mend: known?.mend(act) ?? "Look whether the disk or the network it hangs on is in order",
    },
  ]);
}

/** Refuses one file or folder. */
export function refuseFile(path: string, fault: Omit<Fault, "where">): never {
  throw new Refusal([{ ...fault, where: { file: path } }]);
}
