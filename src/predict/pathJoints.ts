/** The joints through which the torque passes: what each bears by pressure on its faces and by shear. */
import { isFaulty, keywayField } from "../dossier/index.js";
import {
  type JointResistance,
  keyJoint,
  pinJoint,
  setScrewTorque,
  shearYield,
  splineJoint,
  squareJoint,
  tongueJoint,
  twoFlatsJoint,
} from "../physics/strength/index.js";
import type { Force, Length, Stress } from "../quantity/index.js";
import type { Solid } from "../substance/index.js";
import {
  type JointFields,
  type OfValues,
  once,
  type PathGatherer,
  type PathValues,
  type Strength,
} from "./pathGatherer.js";
import type { PathFactors } from "./pathSections.js";

/** A joint as gathered; what it has none of is undefined. */
export interface PathJoint {
  readonly path: string;
  readonly name: string;
  readonly kind: JointFields["kind"];
  readonly materials: readonly { readonly part: string; readonly material: Solid }[];
  readonly justification: string | undefined;
  readonly temperature: OfValues;
  /** Torque that its faces bear, and what stands across or holds by friction, with the factor against yield [N m]. */
  readonly bearing: OfValues | undefined;
  readonly shear: OfValues | undefined;
}

/** Ids of the matters of a joint. */
export const bearingId = (j: number) => `bearing of joint ${j}`;
export const shearId = (j: number) => `shear of joint ${j}`;

type Size =
  | "diameter"
  | "width"
  | "height"
  | "thickness"
  | "flat_depth"
  | "length"
  | "pin_diameter"
  | "hub_diameter"
  | "count"
  | "sharing";

interface Kind {
  readonly of: readonly Size[];
  /** @param depth of a key in its shaft, where it is known [m] */
  readonly resistance: (of: Readonly<Record<Size, number>>, depth: number | undefined) => JointResistance;
  /** Whether faces press on each other, and a key or pin is sheared or teeth are. */
  readonly sheared: "none" | "third part" | "shaft";
}

const m = (value: number) => value as Length;

/** What each kind is made of; a set screw holds by force and is apart. */
const kinds: Readonly<Record<Exclude<NonNullable<JointFields["kind"]>, "set screw">, Kind>> = {
  tongue: {
    of: ["width", "length"],
    resistance: ({ width, length }) => tongueJoint(m(width), m(length)),
    sheared: "none",
  },
  square: {
    of: ["width", "length"],
    resistance: ({ width, length }) => squareJoint(m(width), m(length)),
    sheared: "none",
  },
  "two flats": {
    of: ["diameter", "flat_depth", "length"],
    resistance: ({ diameter, flat_depth, length }) => twoFlatsJoint(m(diameter), m(flat_depth), m(length)),
    sheared: "none",
  },
  key: {
    of: ["diameter", "width", "height", "length", "count"],
    resistance: ({ diameter, width, height, length, count }, depth) =>
      keyJoint({
        shaftDiameter: m(diameter),
        width: m(width),
        height: m(height),
        length: m(length),
        count,
        ...(depth === undefined ? {} : { depth: m(depth) }),
      }),
    sheared: "third part",
  },
  pin: {
    of: ["pin_diameter", "diameter", "hub_diameter"],
    resistance: ({ pin_diameter, diameter, hub_diameter }) =>
      pinJoint(m(pin_diameter), m(diameter), m(hub_diameter)),
    sheared: "third part",
  },
  spline: {
    of: ["diameter", "count", "height", "thickness", "length", "sharing"],
    resistance: ({ diameter, count, height, thickness, length, sharing }) =>
      splineJoint({
        pitchDiameter: m(diameter),
        teeth: count,
        height: m(height),
        thickness: m(thickness),
        length: m(length),
        sharing,
      }),
    sheared: "shaft",
  },
};

/** Gathers one joint. */
export function gatherJoint(
  collected: PathGatherer,
  fields: JointFields,
  j: number,
  factors: PathFactors,
): PathJoint {
  const path = `valve.stem.joints[${j}]`;
  const name = fields.name ?? `joint ${j + 1}`;
  const both = [bearingId(j), shearId(j)];
  const temperature = once(collected.temperature(both, path, fields));
  const frame = { path, name, kind: fields.kind, justification: fields.justification, temperature };
  if (factors.yield === undefined) collected.lack(both, "valve.strength.yield_factor");
  const factor = factors.yield ?? Number.NaN;
  if (fields.kind === undefined) {
    collected.lack(both, `${path}.kind`);
    return { ...frame, materials: [], bearing: () => Number.NaN, shear: undefined };
  }
  if (fields.kind === "set screw") return screwed(collected, fields, j, frame, factor);
  const { of, resistance, sheared } = kinds[fields.kind];
  const sizes = of.map((size) => [size, collected.need(both, `${path}.${size}`, fields[size])] as const);
  const depth = fields.kind === "key" ? keywayDepth(collected, j, path, both) : undefined;
  const resistanceAt = (values: PathValues) =>
    resistance(
      { ...unsized, ...Object.fromEntries(sizes.map(([size, at]) => [size, at(values)])) },
      depth?.(values),
    );
  const part = (
    field: "shaft_material" | "hub_material" | "material",
    certificate: "shaft_yield" | "hub_yield" | "yield_strength",
    matters: readonly string[],
  ) => {
    const at = `${path}.${field}`;
    const material =
      field === "shaft_material"
        ? collected.ownOrStem(matters, at, fields[field])
        : collected.solid(matters, at, fields[field]);
    const strength = collected.strength(matters, material, "yield_strength", {
      path: `${path}.${certificate}`,
      declared: fields[certificate],
    });
    return { material, strength };
  };
  const shaft = part("shaft_material", "shaft_yield", sheared === "shaft" ? both : [bearingId(j)]);
  const hub = part("hub_material", "hub_yield", [bearingId(j)]);
  const third = sheared === "third part" ? part("material", "yield_strength", both) : undefined;
  /** Faces press on the weaker of the two that meet: a key or pin on the shaft and on the hub, or these on each other. */
  const pressed = (values: PathValues) => {
    const T = temperature(values);
    const [inShaft, inHub] = [shaft.strength(values, T), hub.strength(values, T)];
    const against = third?.strength(values, T);
    return against === undefined
      ? { shaft: Math.min(inShaft, inHub), hub: Math.min(inShaft, inHub) }
      : { shaft: Math.min(inShaft, against), hub: Math.min(inHub, against) };
  };
  const sheares: Strength | undefined = sheared === "none" ? undefined : (third ?? shaft).strength;
  return {
    ...frame,
    materials: [
      ["shaft", shaft.material],
      ["hub", hub.material],
      [fields.kind, third?.material],
    ].flatMap(([of_, material]) =>
      typeof of_ === "string" && typeof material === "object" ? [{ part: of_, material }] : [],
    ),
    bearing: (values) => {
      const strength = pressed(values);
      const of = resistanceAt(values);
      return Math.min(strength.shaft * of.shaft, strength.hub * of.hub) / factor;
    },
    shear:
      sheares === undefined
        ? undefined
        : (values) =>
            (shearYield(sheares(values, temperature(values)) as Stress) / factor) *
            resistanceAt(values).shear,
  };
}

/** How deep a key sits in its shaft; undefined where nothing says it, and half of its height is taken. */
function keywayDepth(collected: PathGatherer, j: number, path: string, matters: readonly string[]) {
  const own = `${path}.keyway_depth`;
  const { dossier } = collected;
  const field = keywayField(dossier.valve.valve?.stem ?? {}, j);
  return isFaulty(dossier, own)
    ? collected.may(matters, own, undefined)
    : collected.may(matters, field.path, field.declared);
}

const unsized: Readonly<Record<Size, number>> = {
  diameter: Number.NaN,
  width: Number.NaN,
  height: Number.NaN,
  thickness: Number.NaN,
  flat_depth: Number.NaN,
  length: Number.NaN,
  pin_diameter: Number.NaN,
  hub_diameter: Number.NaN,
  count: Number.NaN,
  sharing: Number.NaN,
};

function screwed(
  collected: PathGatherer,
  fields: JointFields,
  j: number,
  frame: Omit<PathJoint, "materials" | "bearing" | "shear">,
  factor: number,
): PathJoint {
  const matters = [shearId(j)];
  const count = collected.need(matters, `${frame.path}.count`, fields.count);
  const force = collected.need(matters, `${frame.path}.holding_force`, fields.holding_force);
  const diameter = collected.need(matters, `${frame.path}.diameter`, fields.diameter);
  return {
    ...frame,
    materials: [],
    bearing: undefined,
    shear: (values) => setScrewTorque(count(values), force(values) as Force, m(diameter(values))) / factor,
  };
}
