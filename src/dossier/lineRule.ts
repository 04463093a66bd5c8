/** Findings about the stations of the line: each names a place that exists. */
import { nearName } from "../fault/index.js";
import type { Finding } from "./finding.js";
import type { ValveFile } from "./schema.js";

/** Stations at no pipe and no component, and beyond the end of their pipe. */
export function lineRule({ line }: ValveFile): readonly Finding[] {
  const { pipes = [], components = [], stations = [] } = line ?? {};
  const named = [...pipes, ...components].flatMap(({ name }) => (name === undefined ? [] : [name]));
  // With a pipe or a component that has no name yet, the name may be of what is still to come.
  if (named.length < pipes.length + components.length) return [];
  return stations.flatMap(({ of, distance }, j): readonly Finding[] => {
    if (of === undefined) return [];
    if (!named.includes(of)) return [unknownPlace(of, j, named)];
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

function unknownPlace(name: string, j: number, names: readonly string[]): Finding {
  const path = `line.stations[${j}].of`;
  const near = nearName(name, names);
  return {
    kind: "fault",
    code: "line-place-unknown",
    path,
    notKnown: [path],
    found: `${name} is no pipe and no component of the line`,
    allowed: `The line has ${names.join(", ")}.`,
    mend: "Write one of these names",
    ...(near === undefined ? {} : { near }),
  };
}
