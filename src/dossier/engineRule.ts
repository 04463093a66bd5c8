/**
 * Findings about the engine: limits that leave nothing, a box that the table of characteristic velocities does not cover, and
 * an injector that loses more than the way it is a part of.
 */
import type { Declared } from "../quantity/index.js";
import type { Finding } from "./finding.js";
import { nominalText } from "./provenance.js";
import type { ValveFile } from "./schema.js";

export function engineRule({ engine, line }: ValveFile): readonly Finding[] {
  if (engine === undefined) return [];
  const { box, lead, characteristic_velocity: table } = engine;
  const unordered = ratioOrder(table ?? []);
  return [
    ...unordered,
    ...(unordered.length > 0
      ? []
      : uncovered(box?.least, box?.most, table?.[0]?.mixture_ratio, table?.at(-1)?.mixture_ratio)),
    ...sourceless(engine),
    ...unlikePipes(engine.own?.volume, line?.pipes ?? []),
    ...empty("engine.box", box?.least, box?.most),
    ...empty("engine.lead", lead?.least, lead?.most),
    ...partAboveWhole(
      ["engine.own.injector_drop", engine.own?.injector_drop],
      ["line.downstream.drop", line?.downstream?.drop],
    ),
    ...partAboveWhole(
      ["engine.partner.injector_drop", engine.partner?.injector_drop],
      ["engine.partner.downstream_drop", engine.partner?.downstream_drop],
    ),
  ];
}

type Engine = NonNullable<ValveFile["engine"]>;

function ratioOrder(rows: NonNullable<Engine["characteristic_velocity"]>): readonly Finding[] {
  return rows.flatMap(({ mixture_ratio: ratio }, j): readonly Finding[] => {
    const before = rows[j - 1]?.mixture_ratio;
    if (ratio === undefined || before === undefined || ratio.value > before.value) return [];
    return [
      {
        kind: "fault",
        code: "table-not-ascending",
        path: `engine.characteristic_velocity[${j}].mixture_ratio`,
        notKnown: ["engine.characteristic_velocity"],
        found: `${nominalText(ratio)} does not lie above ${nominalText(before)} in the row before`,
        allowed: "The table goes from the least mixture ratio to the greatest, each once.",
        mend: "Sort the rows by mixture ratio, and give each ratio one row",
      },
    ];
  });
}

function sourceless({ characteristic_velocity: table = [], velocity_source: source }: Engine) {
  return table.length === 0 || source !== undefined
    ? []
    : [
        {
          kind: "notice",
          code: "velocity-source-missing",
          path: "engine.characteristic_velocity",
          text: "comes from nowhere that is named: engine.velocity_source says which equilibrium code or test it is from, and at which pressure",
        } as const,
      ];
}

/** The two volumes may differ by so much before it is said [-]. */
const alike = 0.05;

/** What fills in question 10, and the pipes that fill in question 9. */
function unlikePipes(
  volume: Declared | undefined,
  pipes: NonNullable<NonNullable<ValveFile["line"]>["pipes"]>,
): readonly Finding[] {
  const own = pipes.filter(
    ({ side, branches_after }) => side === "downstream" && branches_after === undefined,
  );
  const sum = own.reduce(
    (all, { length, bore }) =>
      all + 0.25 * Math.PI * (bore?.value ?? Number.NaN) ** 2 * (length?.value ?? Number.NaN),
    0,
  );
  if (volume === undefined || !(sum > 0) || Math.abs(volume.value / sum - 1) <= alike) return [];
  return [
    {
      kind: "notice",
      code: "volume-unlike-pipes",
      path: "engine.own.volume",
      text: `${nominalText(volume)} fill behind the valve in question 10, and the pipes declared there hold ${(1e3 * sum).toPrecision(3)} L, which fill in question 9: what of the volume is no pipe fills in one of the two alone`,
    },
  ];
}

type Named = readonly [path: string, value: Declared | undefined];

/** Both drops are at one flow, and the injector's is in that of the whole way behind the valve. */
function partAboveWhole([path, part]: Named, [wholePath, whole]: Named): readonly Finding[] {
  if (part === undefined || whole === undefined || part.value <= whole.value) return [];
  return [
    {
      kind: "fault",
      code: "injector-above-drop",
      path,
      notKnown: [path],
      found: `the injector takes ${nominalText(part)} of a drop of ${nominalText(whole)}, ${wholePath}`,
      allowed: "The drop of the injector is part of that from the valve to the chamber, at the same flow.",
      mend: `Give the drop of the injector at the flow of ${wholePath}, or add it to ${wholePath}`,
    },
  ];
}

function empty(path: string, least: Declared | undefined, most: Declared | undefined): readonly Finding[] {
  if (least === undefined || most === undefined || least.value < most.value) return [];
  return [
    {
      kind: "fault",
      code: "engine-limits-empty",
      path: `${path}.least`,
      notKnown: [`${path}.least`, `${path}.most`],
      found: `nothing lies between ${nominalText(least)} and ${nominalText(most)}`,
      allowed: "The least value lies below the greatest.",
      mend: "Correct one of the two",
    },
  ];
}

/** Beyond its ends the table is held, so that a ratio there would burn as at the end. */
function uncovered(
  least: Declared | undefined,
  most: Declared | undefined,
  first: Declared | undefined,
  last: Declared | undefined,
): readonly Finding[] {
  const beyond = (end: "least" | "most", ratio: Declared, of: Declared): Finding => ({
    kind: "fault",
    code: "box-beyond-table",
    path: `engine.box.${end}`,
    notKnown: [`engine.box.${end}`, "engine.characteristic_velocity"],
    found: `a mixture ratio of ${nominalText(ratio)} is allowed, and the table of characteristic velocities ends at ${nominalText(of)}`,
    allowed: "The table covers the box: what burns inside the box has a characteristic velocity of its own.",
    mend: "Add rows to the table, or narrow the box",
  });
  return [
    ...(least !== undefined && first !== undefined && least.value < first.value
      ? [beyond("least", least, first)]
      : []),
    ...(most !== undefined && last !== undefined && most.value > last.value
      ? [beyond("most", most, last)]
      : []),
  ];
}
