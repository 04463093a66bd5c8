/** Findings about the names of the parts that are cooled down: each once, and none that does not exist. */
import { nearName } from "../fault/index.js";
import type { Finding } from "./finding.js";
import type { ValveFile } from "./schema.js";

const path = "valve.cold.cool_down";

/** Names that two parts share, and names in links and fits that no part has. */
export function coolDownRule({ valve, duty, cases = [] }: ValveFile): readonly Finding[] {
  const { cool_down: coolDown, fits = [] } = valve?.cold ?? {};
  const parts = coolDown?.parts ?? [];
  const names = parts.flatMap(({ name }) => (name === undefined ? [] : [name]));
  const asked = [
    ...(coolDown?.links ?? []).flatMap(({ first, second }, j) => [
      [`${path}.links[${j}].first`, first] as const,
      [`${path}.links[${j}].second`, second] as const,
    ]),
    ...fits.flatMap(({ hole_follows, shaft_follows }, j) => [
      [`valve.cold.fits[${j}].hole_follows`, hole_follows] as const,
      [`valve.cold.fits[${j}].shaft_follows`, shaft_follows] as const,
    ]),
  ];
  const liquids = [duty, ...cases].flatMap((one) =>
    one?.fluid_temperature === undefined ? [] : [one.fluid_temperature.value],
  );
  return [
    ...nearEnough(coolDown?.near?.value, coolDown?.start?.value, Math.min(...liquids)),
    ...parts.flatMap(({ name }, j) =>
      parts.findIndex((part) => part.name === name) < j ? repeated(name, j) : [],
    ),
    ...(coolDown?.links ?? []).flatMap(({ first, second }, j) =>
      first !== undefined && first === second ? toItself(first, j) : [],
    ),
    // Without a list of parts, or with a part that has no name yet, the names may be of what is still to come.
    ...(coolDown?.parts === undefined || names.length < parts.length
      ? []
      : asked.flatMap(([at, name]) => unknownName(at, name, names))),
  ];
}

/** A part that has not cooled at all must not count as cold. */
function nearEnough(
  near: number | undefined,
  start: number | undefined,
  coldest: number,
): readonly Finding[] {
  if (near === undefined || start === undefined || !(coldest < start) || near < start - coldest) return [];
  const at = `${path}.near`;
  return [
    {
      kind: "fault",
      code: "cooled-from-the-start",
      path: at,
      notKnown: [at],
      found: `${near.toFixed(0)} K is no less than the ${(start - coldest).toFixed(0)} K from the coldest liquid to the start of the cool-down`,
      allowed: "A part that has not cooled yet would count as cold.",
      mend: "Write how near to the boiling coolant a part must come, some 10 to 30 K, or correct the start",
    },
  ];
}

function toItself(name: string, j: number): readonly Finding[] {
  const at = `${path}.links[${j}].second`;
  return [
    {
      kind: "fault",
      code: "cooled-part-repeated",
      path: at,
      notKnown: [at],
      found: `${name} is joined to itself`,
      allowed: "A link lets heat pass between two parts.",
      mend: "Name the other part",
    },
  ];
}

function repeated(name: string | undefined, j: number): readonly Finding[] {
  if (name === undefined) return [];
  const at = `${path}.parts[${j}].name`;
  return [
    {
      kind: "fault",
      code: "cooled-part-repeated",
      path: at,
      notKnown: [at],
      found: `a second part is called ${name}`,
      allowed: "Links and fits tell the parts by their names.",
      mend: "Give each part a name of its own",
    },
  ];
}

function unknownName(at: string, name: string | undefined, names: readonly string[]): readonly Finding[] {
  if (name === undefined || names.includes(name)) return [];
  const near = nearName(name, names);
  return [
    {
      kind: "fault",
      code: "cooled-part-unknown",
      path: at,
      notKnown: [at],
      found: `${name} is no part of the cool-down`,
      allowed: names.length === 0 ? "No part has a name." : `Its parts are ${names.join(", ")}.`,
      mend: "Write one of these names, or add the part to valve.cold.cool_down.parts",
      ...(near === undefined ? {} : { near }),
    },
  ];
}
