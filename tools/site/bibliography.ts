/** The bibliography as a page. */
import { anchorOf } from "./anchor.js";

/** Path of the page among the others; it is made from data/references.json alone. */
export const bibliographyPage = "docs/references.md";

type Work = Readonly<Record<string, string | number>>;

/** @param works  the content of data/references.json */
export function bibliographyOf(works: Readonly<Record<string, Work>>): string {
  const lines = Object.entries(works).flatMap(([key, { authors, title, year, where, ...more }]) => [
    `### ${key}`,
    "",
    [authors, title, where, year, ...Object.values(more)]
      .filter((part) => part !== undefined && part !== "")
      .map((part) => String(part).replace(/([\\`*_[\]<>])/g, "\\$1"))
      .join(". "),
    "",
  ]);
  return ["# Sources", "", "Every work that code, data and pages cite, by its key.", "", ...lines].join("\n");
}

/** Address of a work on the page, from the folder of the site. */
export function workAnchor(key: string): string {
  return anchorOf(key);
}
