/** How people, dossiers and changes of a team read. */
import { roleWords } from "../dossier/index.js";
import type { Committed, DossierChange, ListedDossier, Person } from "../host/index.js";
import type { Decision } from "../question/index.js";
import { type Page, paragraph, strong } from "./page.js";
import { tableLines } from "./table.js";

/** Time as the database gave it, to the second: "2031-04-14 09:30:12 UTC". */
function stamp(iso: string): string {
  return `${iso.slice(0, 19).replace("T", " ")} UTC`;
}

export function peopleLines(page: Page, people: readonly Person[]): readonly string[] {
  const rows = people.map(({ login, name, role }) => [login, name, role, roleWords[role]]);
  return tableLines(page, ["login", "name", "role", "which, with those before it,"], rows);
}

export function dossierLines(page: Page, dossiers: readonly ListedDossier[]): readonly string[] {
  const rows = dossiers.map(({ id, revision, files, bytes, at, name, why }) => [
    ...[id, String(revision), String(files), size(bytes), stamp(at), name, why],
  ]);
  return tableLines(page, ["dossier", "changes", "files", "size", "last change", "by", "why"], rows);
}

export function changeLines(page: Page, changes: readonly DossierChange[]): readonly string[] {
  return changes.flatMap(({ revision, at, name, who, why, files }) => [
    "",
    ...paragraph(page, `${strong(page, String(revision))}  ${stamp(at)}  ${name} (${who}): ${why}`),
    ...files.map(
      ({ path, removed, bytes }) => `   ${removed ? "removed" : size(bytes).padStart(7)}  ${path}`,
    ),
  ]);
}

export function committedLines(page: Page, { dossier, revision, at, files }: Committed): readonly string[] {
  return [
    ...paragraph(page, `Change ${String(revision)} of ${dossier}, ${stamp(at)}:`),
    ...files.map(
      ({ path, removed, bytes }) => `   ${removed ? "removed" : size(bytes).padStart(7)}  ${path}`,
    ),
  ];
}

export function decisionLines(page: Page, decisions: readonly Decision[]): readonly string[] {
  const rows = decisions.map(({ sheet, word, name, login, at, why, standing }) => [
    ...[sheet, word, `${name} (${login})`, stamp(at), why, standing],
  ]);
  return tableLines(page, ["sheet", "decision", "by", "when", "why", "standing"], rows);
}

function size(bytes: number): string {
  if (bytes < 10_000) return `${String(bytes)} B`;
  return bytes < 10_000_000
    ? `${String(Math.round(bytes / 1000))} kB`
    : `${String(Math.round(bytes / 1e6))} MB`;
}
