/** Findings about the places that the line names: each exists, and once. */
import { nearName } from "../fault/index.js";
import type { Finding } from "./finding.js";
import type { ValveFile } from "./schema.js";

/** Branches and components behind no pipe; stations at no pipe and no component, and beyond the end of their pipe. */
export function lineRule({ line }: ValveFile): readonly Finding[] {
  const { pipes = [], components = [], stations = [] } = line ?? {};
  const named = [...pipes, ...components].flatMap(({ name }) => (name === undefined ? [] : [name]));
  const shared = repeatedNames(line ?? {});
  if (shared.length > 0) return shared;
  // With a pipe or a component that has no name yet, the name may be of what is still to come.
  if (named.length < pipes.length + components.length) return [];
  const pipeNames = named.slice(0, pipes.length);
  const behind = [
    ...pipes.map(({ branches_after }, j) => [`line.pipes[${j}].branches_after`, branches_after] as const),
    ...components.map(({ after }, j) => [`line.components[${j}].after`, after] as const),
  ];
  return [
    ...behind.flatMap(([path, name]) =>
      name === undefined || pipeNames.length === 0 || pipeNames.includes(name)
        ? []
        : [unknownPlace(path, name, pipeNames, "is no pipe of the line", "pipes")],
    ),
    ...stationFindings(stations, pipes, named),
  ];
}

type Line = NonNullable<ValveFile["line"]>;

/** Pipes and components are told by their names; one that two share tells neither, and what names it is not known. */
function repeatedNames({ pipes = [], components = [], stations = [] }: Line): readonly Finding[] {
  const places = [
    ...pipes.map(({ name }, j) => [`line.pipes[${j}].name`, name] as const),
    ...components.map(({ name }, j) => [`line.components[${j}].name`, name] as const),
  ];
  const references = [
    ...pipes.map(({ branches_after }, j) => [`line.pipes[${j}].branches_after`, branches_after] as const),
    ...components.map(({ after }, j) => [`line.components[${j}].after`, after] as const),
    ...stations.map(({ of }, j) => [`line.stations[${j}].of`, of] as const),
  ];
  return places.flatMap(([path, name], k): readonly Finding[] =>
    name === undefined || places.findIndex(([, other]) => other === name) === k
      ? []
      : [
          {
            kind: "fault",
            code: "line-name-repeated",
            path,
            notKnown: [path, ...references.flatMap(([at, of]) => (of === name ? [at] : []))],
            found: `a second place of the line is called ${name}`,
            allowed: "Branches, components and stations tell the places of the line by their names.",
            mend: "Give each pipe and each component a name of its own",
          },
        ],
  );
}

function stationFindings(
  stations: NonNullable<Line["stations"]>,
  pipes: NonNullable<Line["pipes"]>,
  named: readonly string[],
): readonly Finding[] {
  return stations.flatMap(({ of, distance }, j): readonly Finding[] => {
    if (of === undefined) return [];
    if (!named.includes(of))
      return [unknownPlace(`line.stations[${j}].of`, of, named, "is no pipe and no component of the line")];
    if (distance === undefined) return [];
    const pipe = pipes.find(({ name }) => name === of);
    const length = pipe?.length;
    if (pipe !== undefined && (length === undefined || distance.value <= length.value)) return [];
    const path = `line.stations[${j}].distance`;
    return [
      {
        kind: "fault",
        code: "line-place-unknown",
        path,
        notKnown: [`line.stations[${j}].of`, path],
        found:
          length === undefined
            ? `${of} is a component, and has no length`
            : `${distance.text} is beyond the end of ${of}, which is ${length.text} long`,
        allowed: "A station lies along a pipe.",
        mend: "Write a distance up to the length of the pipe, or leave it out for the end",
      },
    ];
  });
}

function unknownPlace(
  path: string,
  name: string,
  names: readonly string[],
  what: string,
  kind?: string,
): Finding {
  const near = nearName(name, names);
  return {
    kind: "fault",
    code: "line-place-unknown",
    path,
    notKnown: [path],
    found: `${name} ${what}`,
    allowed: `The line has ${kind === undefined ? "" : `the ${kind} `}${names.join(", ")}.`,
    mend: "Write one of these names",
    ...(near === undefined ? {} : { near }),
  };
}
