/**
 * The space of candidates: every combination of a valve, a motor, a chain of gear stages, a battery and a
 * command that the dossier allows to be tried. A candidate is a number; what it is follows from the
 * number alone, so that a block of them is a range.
 */
import type { CommandChoice, Dossier, Part, PartKind, PartsInPlace } from "../dossier/index.js";
import { nearName, refuse } from "../fault/index.js";

/** One way to fill a place: as declared, or by a part. */
export interface PartOption {
  readonly name: string;
  /** Undefined: as declared. */
  readonly part: Part | undefined;
}

export interface CommandOption {
  readonly name: string;
  /** Undefined: as declared. */
  readonly command: CommandChoice | undefined;
}

/** What may be combined; of each at least one. */
export interface SeekSpace {
  readonly valves: readonly PartOption[];
  readonly motors: readonly PartOption[];
  readonly batteries: readonly PartOption[];
  readonly commands: readonly CommandOption[];
  /** Stages that chains are made of. */
  readonly stages: readonly Part[];
  /** Whether the declared chain is one of the chains, the first. */
  readonly hasDeclaredChain: boolean;
  /** Stages of the declared chain, 0 where none is declared. */
  readonly declaredLength: number;
  readonly leastStages: number;
  readonly mostStages: number;
  /** Number of chains. */
  readonly chains: number;
  /** Number of candidates. */
  readonly count: number;
}

/** What a candidate is made of: places in the lists of the space. */
export interface Choice {
  readonly valve: number;
  readonly motor: number;
  /** Places in `stages`; undefined for the declared chain. */
  readonly stages: readonly number[] | undefined;
  readonly battery: number;
  readonly command: number;
}

/** More candidates than this are a slip of the pen rather than a wish: half an hour and more on one machine. */
const mostCandidates = 500_000;
const asDeclared = "as declared";

/** The space that a dossier asks for. Refuses one in which nothing is to be tried, and names that no part has. */
export function spaceOf({ valve: file }: Dossier, library: readonly Part[]): SeekSpace {
  const { seek, valve, drive } = file;
  const tried = (kind: PartKind) => triedParts(kind, seek?.try ?? [], library);
  const options = (kind: PartKind, declared: { readonly part?: string | undefined } | undefined) => {
    const parts = tried(kind).filter(({ name }) => name !== declared?.part);
    const first: readonly PartOption[] =
      declared === undefined && parts.length > 0 ? [] : [{ name: asDeclared, part: undefined }];
    return [...first, ...parts.map((part): PartOption => ({ name: part.name, part }))];
  };
  const commands = [
    { name: asDeclared, command: undefined },
    ...(seek?.commands ?? []).flatMap(({ kind, ...fields }): readonly CommandOption[] => {
      if (kind === undefined) return [];
      const { duration, current_limit } = fields;
      const words = [kind, duration?.text, current_limit?.text].filter((word) => word !== undefined);
      const values = Object.entries(fields).flatMap(([name, declared]) =>
        declared === undefined
          ? []
          : [
              [
                name === "current_limit" ? "drive.driver.current_limit" : `drive.command.${name}`,
                declared,
              ] as const,
            ],
      );
      return [{ name: words.join(", "), command: { kind, values: Object.fromEntries(values) } }];
    }),
  ];
  const stages = tried("stage");
  const declaredLength = drive?.stages?.length ?? 0;
  const hasDeclaredChain = drive?.stages !== undefined || stages.length === 0;
  const leastStages = seek?.stages?.least ?? 1;
  const mostStages = Math.max(leastStages, seek?.stages?.most ?? 3);
  const chains =
    Number(hasDeclaredChain) + (stages.length === 0 ? 0 : chainsFrom(stages.length, leastStages, mostStages));
  const space = {
    valves: options("valve", valve),
    motors: options("motor", drive?.motor),
    batteries: options("battery", drive?.supply),
    commands,
  };
  const count = space.valves.length * space.motors.length * space.batteries.length * commands.length * chains;
  if (count < 2)
    refuse(
      "seek-nothing-to-try",
      "the dossier names nothing that may be tried",
      "A search puts other parts in the place of the declared ones, as far as `seek.try` and `seek.commands` allow.",
      "Write, for example, `seek: { try: [{ kind: motor }, { kind: stage, class: planetary }] }` into valve.yaml",
    );
  if (count > mostCandidates)
    refuse(
      "seek-too-many",
      `${count} candidates are to be tried`,
      `A search takes ${mostCandidates} at most.`,
      "Name classes or parts in `seek.try`, or fewer stages in `seek.stages.most`",
    );
  return { ...space, stages, hasDeclaredChain, declaredLength, leastStages, mostStages, chains, count };
}

/** Chains of so many stages to so many, of n parts: the sum of n^k. */
function chainsFrom(parts: number, least: number, most: number): number {
  let sum = 0;
  for (let length = least; length <= most; length++) sum += parts ** length;
  return sum;
}

function triedParts(
  kind: PartKind,
  rows: readonly {
    readonly kind?: string | undefined;
    readonly class?: string | undefined;
    readonly part?: string | undefined;
  }[],
  library: readonly Part[],
): readonly Part[] {
  const own = library.filter((part) => part.kind === kind);
  const wanted = rows
    .filter((row) => row.kind === kind)
    .map((row) => {
      const found = own.filter(
        (part) =>
          (row.class === undefined || part.class === row.class) &&
          (row.part === undefined || part.name === row.part),
      );
      if (found.length === 0) refuseUnknown(kind, row, own);
      return found;
    });
  return own.filter((part) => wanted.some((found) => found.includes(part)));
}

function refuseUnknown(
  kind: PartKind,
  row: { readonly class?: string | undefined; readonly part?: string | undefined },
  own: readonly Part[],
): never {
  const classes = [...new Set(own.flatMap((part) => (part.class === undefined ? [] : [part.class])))];
  const allowed = row.part === undefined ? classes : own.map(({ name }) => name);
  const said = row.part ?? row.class ?? kind;
  const near = nearName(said, allowed);
  return refuse(
    "seek-part-unknown",
    `seek.try asks for the ${kind} ${said}, and no part on file is one`,
    `On file are ${allowed.length === 0 ? `no parts of the kind ${kind}` : allowed.join("; ")}.`,
    near === undefined ? "`coldturn parts` lists all of them" : `Write ${near}`,
  );
}

/** What a candidate is. @param index from 0, below `count` */
export function choiceAt(space: SeekSpace, index: number): Choice {
  let rest = index;
  const take = (size: number) => {
    const digit = rest % size;
    rest = Math.floor(rest / size);
    return digit;
  };
  const chain = take(space.chains);
  const battery = take(space.batteries.length);
  const motor = take(space.motors.length);
  const command = take(space.commands.length);
  return { valve: rest, motor, stages: chainAt(space, chain), battery, command };
}

/** Stages of a chain by its number: the declared one first, then the shorter ones, each in the order of its parts. */
function chainAt(space: SeekSpace, chain: number): readonly number[] | undefined {
  if (space.hasDeclaredChain && chain === 0) return undefined;
  let rest = chain - Number(space.hasDeclaredChain);
  const parts = space.stages.length;
  let length = space.leastStages;
  while (rest >= parts ** length) {
    rest -= parts ** length;
    length++;
  }
  const places: number[] = [];
  for (let j = 0; j < length; j++) {
    places.unshift(rest % parts);
    rest = Math.floor(rest / parts);
  }
  return places;
}

/** The parts of a choice, to be put in place. */
export function partsOf(space: SeekSpace, choice: Choice): PartsInPlace {
  const valve = space.valves[choice.valve]?.part;
  const motor = space.motors[choice.motor]?.part;
  const battery = space.batteries[choice.battery]?.part;
  const command = space.commands[choice.command]?.command;
  const stages = choice.stages?.flatMap((place) => space.stages[place] ?? []);
  return {
    ...(valve === undefined ? {} : { valve }),
    ...(motor === undefined ? {} : { motor }),
    ...(stages === undefined ? {} : { stages }),
    ...(battery === undefined ? {} : { battery }),
    ...(command === undefined ? {} : { command }),
  };
}

/** What a choice is called, place by place. */
export interface ChoiceNames {
  readonly valve: string;
  readonly motor: string;
  readonly stages: readonly string[];
  readonly battery: string;
  readonly command: string;
}

export function namesOf(space: SeekSpace, choice: Choice): ChoiceNames {
  return {
    valve: space.valves[choice.valve]?.name ?? asDeclared,
    motor: space.motors[choice.motor]?.name ?? asDeclared,
    stages: choice.stages?.flatMap((place) => space.stages[place]?.name ?? []) ?? [asDeclared],
    battery: space.batteries[choice.battery]?.name ?? asDeclared,
    command: space.commands[choice.command]?.name ?? asDeclared,
  };
}
