/**
 * What a person of a team may do with the dossiers that a database holds for it. Each role has the
 * rights of those before it. The database enforces the same rules (src/host/team/structure.ts): they
 * are told here so that a command can say beforehand what is missing.
 */

/** From the least to the most. */
export const roles = ["read", "work", "seal", "decide"] as const;
export type Role = (typeof roles)[number];

/** What each role adds to those before it. */
export const roleWords: Readonly<Record<Role, string>> = {
  read: "lists, exports and reads the history",
  work: "changes the files of a dossier and brings in new ones",
  seal: "adds sealed predictions",
  decide:
    "changes the register of hazards, stand.yaml and the sheets, decides upon a sheet, and says who has which role",
};

/** Files that are written once and never changed, as a regular expression that PostgreSQL reads alike. */
export const sealedForm = "^predictions/[^/]+\\.json$";
/** Files that record a decision. */
export const decisionForm = "^(hazards\\.yaml|stand\\.yaml|sheets/.+)$";
/** What can be decided upon a sheet, as two persons type it. */
export const decisionWords = ["go", "no-go", "go with waivers"] as const;
export type DecisionWord = (typeof decisionWords)[number];

/** Files that a sheet rests on. */
export const sheetBasisForm =
  "^((valve|hazards|stand)\\.yaml|(parts|sensors|predictions|next|plan|runs)/.+)$";
/**
 * Paths that a dossier can have: parts joined by strokes, none hidden. Hidden files are what programs
 * leave for themselves.
 */
const part = "[^./\\\\[:cntrl:]][^/\\\\[:cntrl:]]*";
export const pathForm = `^${part}(/${part})*$`;

const inScript = (form: string): RegExp =>
  new RegExp(form.replaceAll("[:cntrl:]", "\\u0000-\\u001f\\u007f"), "u");
const sealed = inScript(sealedForm);
const fit = inScript(pathForm);

/** Whether a file is a sealed prediction. @param path from the folder of the dossier, parts joined by strokes */
export function isSealedPath(path: string): boolean {
  return sealed.test(path);
}

/** Whether a dossier can have a file of this name. */
export function isFitPath(path: string): boolean {
  return fit.test(path);
}

export function isRole(text: string): text is Role {
  return roles.some((role) => role === text);
}
