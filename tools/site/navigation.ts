/** Which pages the site has, and under which heading each stands beside the others. */

/** Pages of one heading. */
export interface NavigationGroup {
  readonly title: string;
  /** Paths of Markdown files, in their order. */
  readonly pages: readonly string[];
}

interface GroupRule {
  readonly title: string;
  /** Pages named one by one, in this order. */
  readonly first: readonly string[];
  /** Further pages, by path. */
  readonly also?: RegExp;
}

/** The first rule that names a page, or that its path fits, takes it; what fits none is reference. */
const rules: readonly GroupRule[] = [
  { title: "Begin", first: ["README.md", "docs/tutorial.md", "docs/README.md"] },
  {
    title: "How to",
    // In the order of the questions.
    first: [
      ...["README", "flow", "turning", "opening", "throttling", "impact", "cold", "trapped", "oxygen"],
      ...["line", "start", "test", "stand", "other-parts"],
    ].map((name) => `docs/how-to/${name}.md`),
    also: /^docs\/how-to\//,
  },
  {
    title: "Project",
    first: [
      ...["CONTRIBUTING.md", "docs/architecture.md", "docs/words.md", "docs/pictures.md", "docs/releases.md"],
      ...["CHANGELOG.md", "SECURITY.md", "THIRD_PARTY.md"],
    ],
    also: /^docs\/decisions\//,
  },
  { title: "Theory", first: ["docs/references.md"], also: /^docs\/theory\// },
  {
    title: "Reference",
    first: [
      ...["docs/file-reference.md", "docs/command-line.md", "docs/checks.md", "docs/errors/README.md"],
      ...["docs/api.md", "docs/import.md", "docs/parts.md", "docs/sheet.md", "docs/hazards.md"],
    ],
    also: /./,
  },
];

/** Pages that are found from others and by search, and would bury the rest in a list. */
const unlisted = /^docs\/errors\/(?!README)/;

/** The groups in the order in which they are shown. */
const shown = ["Begin", "How to", "Reference", "Theory", "Project"];

/** The pages, each in its group. @param pages  paths of all Markdown files of the site */
export function navigationOf(pages: readonly string[]): readonly NavigationGroup[] {
  const left = new Set(pages.filter((page) => !unlisted.test(page)));
  const groups = rules.map(({ title, first, also }) => {
    const named = first.filter((page) => left.has(page));
    for (const page of named) left.delete(page);
    const others = also === undefined ? [] : [...left].filter((page) => also.test(page)).sort();
    for (const page of others) left.delete(page);
    return { title, pages: [...named, ...others] };
  });
  return shown.flatMap((title) => groups.filter((group) => group.title === title && group.pages.length > 0));
}
