/** `coldturn team`: dossiers that a PostgreSQL database holds for a team, with roles and history. */
import { join, relative } from "node:path";
import { type DecisionWord, decisionWords, isRole, type Role, roles, roleWords } from "../dossier/index.js";
import { nearName, refuse } from "../fault/index.js";
import {
  changesOf,
  commitFolder,
  decideOn,
  dossiersOf,
  elapsedSeconds,
  exportDossier,
  importFolder,
  makeStore,
  onStore,
  peopleOf,
  readOrigin,
  setPerson,
  takeDecisions,
  updateFolder,
} from "../host/index.js";
import type { Command, Desk, Input, Outcome } from "./command.js";
import { addressIn, textOption, textsOption, wholeOption } from "./options.js";
import { paragraph, shellWord, typed } from "./page.js";
import { changeLines, committedLines, decisionLines, dossierLines, peopleLines } from "./teamText.js";

type Act = (input: Input, desk: Desk) => Promise<Outcome>;

export const teamCommand: Command = {
  name: "team",
  summary: "keep dossiers for a team on PostgreSQL, with roles and history",
  details: [
    "The plain folder stays what everything else works on. The database keeps its files for a team: who may do what, and every change with who, when and why. A sealed prediction is changed by nobody.",
    "What to do: `init` makes the store, its caller decides; `person <login>` gives a role or takes it, without a login it lists the people; `import <folder>` brings a folder in; `export <dossier> <folder>` writes one; `list`; `history <dossier>`; `commit <folder>` sends what was changed in a copy; `update <folder>` takes over what others have sent; `decide <folder> <sheet>` records what you decide upon a committed sheet.",
    `Roles, each with the rights of those before it: ${roles.map((role) => `${role} ${roleWords[role]}`).join("; ")}.`,
    "Of files that two have changed nobody's change is lost: the second is refused, with both values. Whoever has seen them puts the own file over theirs by --over, or takes theirs by --theirs.",
  ],
  arguments: [
    { flags: "<act>", description: "init, person, import, export, list, history, commit, update or decide" },
    { flags: "[what...]", description: "what it acts on: a login, a folder, a dossier, a sheet" },
  ],
  options: [
    {
      flags: "--on <address>",
      description:
        "the database, postgres://login@host:port/name; commit and update know it. The password stands there, in PGPASSWORD or in ~/.pgpass",
    },
    { flags: "--why <text>", description: "the reason, kept with the change" },
    { flags: "--as <dossier>", description: "import: name in the store (default: that of the folder)" },
    { flags: "--role <role>", description: `person: ${roles.join(", ")}, or none to take it` },
    { flags: "--name <text>", description: "init, person: how the person is called" },
    {
      flags: "--word <decision>",
      description: `decide: ${decisionWords.join(", ")}; two persons, each on a login of their own, make a decision`,
    },
    { flags: "--at <n>", description: "export: as it was after change n (default: the newest)" },
    { flags: "--file <path>", description: "history: of this file alone" },
    {
      flags: "--over <path@n>",
      description: "commit: put this file over change n of somebody else, having seen it; may be repeated",
      isRepeated: true,
    },
    {
      flags: "--theirs <path>",
      description: "update: take this file as the others have it; may be repeated",
      isRepeated: true,
    },
  ],
  examples: [
    {
      command: "coldturn team export petrel-oxygen-main oxygen-main --on postgres://ann@db.example/valves",
      says: "A copy to work on:",
    },
    {
      command: 'coldturn team commit oxygen-main --why "stem measured again"',
      says: "What was changed in it, back to the team:",
    },
    {
      command:
        'coldturn team decide oxygen-main sheets/cold-flow.html --word "go with waivers" --why "all open items are known"',
      says: "One of the two persons who decide upon a sheet:",
    },
  ],
  act: async (input, desk) => {
    const [word = ""] = input.arguments;
    const act = acts.get(word);
    if (act !== undefined) return await act(input, desk);
    const names = [...acts.keys()];
    return refuse(
      "team-act",
      `"${word}" is nothing that can be done with a team's dossiers`,
      `It is one of ${names.join(", ")}.`,
      "`coldturn team --help` says what each does",
      nearName(word, names),
    );
  },
};

const init: Act = async (input) => {
  const address = addressIn(input, "the team's dossiers");
  await makeStore(address, textOption(input, "name"));
  const { people } = await onStore(address, peopleOf);
  return {
    status: 0,
    result: { people },
    text: (page) =>
      [
        ...paragraph(page, "The store is there. Its people:"),
        ...peopleLines(page, people),
        "",
        ...paragraph(page, "Each further person needs a login of the database, and then a role:"),
        typed('coldturn team person <login> --role work --name "A. Person" --why "joined" --on <address>'),
      ].join("\n"),
  };
};

const person: Act = async (input) => {
  const login = input.arguments[1];
  const role = login === undefined ? undefined : roleIn(input);
  return await onStore(addressIn(input, "the team's dossiers"), async (store) => {
    if (login !== undefined)
      await setPerson(store, {
        login,
        name: textOption(input, "name"),
        role,
        why: whyIn(input),
      });
    const { people, changes } = await peopleOf(store);
    return {
      status: 0,
      result: { people, changes },
      text: (page) => [...paragraph(page, "People of the team:"), ...peopleLines(page, people)].join("\n"),
    };
  });
};

const importing: Act = async (input, desk) => {
  const folder = neededIn(input, 1, "a folder");
  const id = textOption(input, "as") ?? folder.replace(/\/+$/, "").split("/").at(-1) ?? "";
  const why = whyIn(input);
  const committed = await onStore(addressIn(input, "the team's dossiers"), (store) =>
    importFolder(store, folder, id, why, transferAt(desk, "sending")),
  );
  return { status: 0, result: committed, text: (page) => committedLines(page, committed).join("\n") };
};

const exporting: Act = async (input, desk) => {
  const id = neededIn(input, 1, "a dossier");
  const folder = neededIn(input, 2, "a folder to write");
  const at = wholeOption(input, "at");
  const done = await onStore(addressIn(input, "the team's dossiers"), async (store) => {
    const exported = await exportDossier(store, id, folder, at, transferAt(desk, "fetching"));
    await takeDecisions(store, folder);
    return exported;
  });
  return {
    status: 0,
    result: { dossier: id, folder, ...done },
    text: (page) =>
      [
        ...paragraph(
          page,
          `${id} as of change ${String(done.revision)}: ${String(done.files)} files, ${String(done.bytes)} bytes, in`,
        ),
        `  ${folder}`,
        "",
        ...paragraph(page, "After your changes:"),
        typed(`coldturn team commit ${shellWord(folder)} --why "..."`),
      ].join("\n"),
  };
};

const list: Act = async (input) => {
  const dossiers = await onStore(addressIn(input, "the team's dossiers"), dossiersOf);
  return {
    status: 0,
    result: { dossiers },
    text: (page) =>
      (dossiers.length === 0
        ? paragraph(page, "The team has no dossier yet; `coldturn team import` brings one in.")
        : dossierLines(page, dossiers)
      ).join("\n"),
  };
};

const history: Act = async (input) => {
  const id = neededIn(input, 1, "a dossier");
  const changes = await onStore(addressIn(input, "the team's dossiers"), (store) =>
    changesOf(store, id, textOption(input, "file")),
  );
  return {
    status: 0,
    result: { dossier: id, changes },
    text: (page) =>
      [...paragraph(page, `Changes of ${id}, newest first:`), ...changeLines(page, changes)].join("\n"),
  };
};

const commit: Act = async (input, desk) => {
  const folder = neededIn(input, 1, "a folder");
  const why = whyIn(input);
  const over = new Map(textsOption(input, "over").map(seenVersion));
  const address = await addressFor(input, folder);
  const committed = await onStore(address, (store) =>
    commitFolder(store, folder, why, over, transferAt(desk, "sending")),
  );
  return {
    status: 0,
    result: committed ?? null,
    text: (page) =>
      (committed === undefined
        ? paragraph(page, "Nothing was changed in this copy.")
        : committedLines(page, committed)
      ).join("\n"),
  };
};

const update: Act = async (input, desk) => {
  const folder = neededIn(input, 1, "a folder");
  const address = await addressFor(input, folder);
  const theirs = new Set(textsOption(input, "theirs"));
  const updated = await onStore(address, async (store) => {
    const done = await updateFolder(store, folder, theirs, { signal: desk.signal });
    await takeDecisions(store, folder);
    return done;
  });
  const { written, removed, dossier } = updated;
  return {
    status: 0,
    result: updated,
    text: (page) =>
      (written.length + removed.length === 0
        ? paragraph(page, `Nobody has changed ${dossier} since.`)
        : [
            ...paragraph(page, `Taken over from ${dossier}:`),
            ...written.map((path) => `  written  ${path}`),
            ...removed.map((path) => `  removed  ${path}`),
          ]
      ).join("\n"),
  };
};

const decide: Act = async (input) => {
  const folder = neededIn(input, 1, "a folder");
  const typedSheet = neededIn(input, 2, "a sheet, as sheets/a.html");
  const sheet = relative(folder, existsInside(folder, typedSheet)).replaceAll("\\", "/");
  const word = decisionIn(input);
  const why = whyIn(input);
  const address = await addressFor(input, folder);
  const decisions = await onStore(address, (store) => decideOn(store, folder, sheet, word, why));
  const { dossier } = await readOrigin(folder);
  return {
    status: 0,
    result: { dossier, decisions },
    text: (page) =>
      [...paragraph(page, `Decisions upon sheets of ${dossier}:`), ...decisionLines(page, decisions)].join(
        "\n",
      ),
  };
};

/** A sheet is named from where one stands, or from the folder of the dossier. */
function existsInside(folder: string, typedSheet: string): string {
  return /^\.?\/?sheets\//.test(typedSheet) ? join(folder, typedSheet) : typedSheet;
}

function decisionIn(input: Input): DecisionWord {
  const text = textOption(input, "word") ?? "";
  const word = decisionWords.find((one) => one === text);
  if (word !== undefined) return word;
  return refuse(
    "team-decision-word",
    `"${text}" is no decision`,
    `A decision is ${decisionWords.join(", ")}.`,
    'Write, for example, --word "go with waivers"',
    nearName(text, decisionWords),
  );
}

const acts: ReadonlyMap<string, Act> = new Map([
  ["init", init],
  ["person", person],
  ["import", importing],
  ["export", exporting],
  ["list", list],
  ["history", history],
  ["commit", commit],
  ["update", update],
  ["decide", decide],
]);

/** The database of a copy, unless another address of it is given: another login, another way to it. */
async function addressFor(input: Input, folder: string): Promise<string> {
  const { address } = await readOrigin(folder);
  return textOption(input, "on") ?? address;
}

function whyIn(input: Input): string {
  return textOption(input, "why") ?? "";
}

function roleIn(input: Input): Role | undefined {
  const text = textOption(input, "role") ?? "";
  if (text === "none") return undefined;
  if (isRole(text)) return text;
  return refuse(
    "team-unknown-role",
    `--role ${text}: this is no role`,
    `The roles are ${roles.join(", ")}, each with the rights of those before it; none takes the role.`,
    "Write, for example, --role work",
    nearName(text, [...roles, "none"]),
  );
}

function neededIn(input: Input, place: number, what: string): string {
  const [act = ""] = input.arguments;
  const word = input.arguments[place];
  if (word !== undefined) return word;
  return refuse(
    "command-line",
    `\`coldturn team ${act}\` needs ${what}`,
    "",
    "`coldturn team --help` says what each act takes",
  );
}

function seenVersion(text: string): readonly [string, number] {
  const [, path, revision] = /^(.+)@(\d{1,9})$/.exec(text) ?? [];
  if (path !== undefined && revision !== undefined) return [path, Number(revision)];
  return refuse(
    "team-over",
    `--over ${text}: it is not said over which change`,
    "A file is put over a change of somebody else that was seen, so that a still newer one is not lost.",
    "Write it as the conflict does, for example --over valve.yaml@7",
  );
}

function transferAt(desk: Desk, what: string) {
  const started = elapsedSeconds();
  return {
    signal: desk.signal,
    onBytes: (done: number, total: number): void => {
      const secondsLeft = ((elapsedSeconds() - started) * (total - done)) / Math.max(done, 1);
      desk.progress.tell(what, { done, total, secondsLeft });
    },
  };
}
