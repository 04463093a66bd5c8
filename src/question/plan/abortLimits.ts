/**
 * Limits at which a run is proposed to be stopped, each the limit of a named check. Where no check gives one, the
 * line says so: not known is no limit at all. The program stops nothing; the responsible people set redlines.
 */
import { capacityFigure, ownBand, type PathElement, type StrengthAnswer } from "../../predict/index.js";
import type { Dimension } from "../../quantity/index.js";
import type { Check, KnownCheck } from "../check.js";
import type { Context } from "../context.js";
import { windowOf } from "../strengthWindow.js";
import { listWords, needWords } from "../words.js";
import { warmUnit } from "./expected.js";
import { checksNamed, type PlacedCheck, type RunCase } from "./runCase.js";
import type { RunPlace } from "./stages.js";

/** A limit of a run; numbers are SI of `dimension`. */
export interface AbortLimit {
  /** What it is a limit of, stable: "winding-temperature". */
  readonly id: string;
  readonly quantity: string;
  readonly dimension: Dimension;
  readonly unit: string;
  readonly stopWhen: "above" | "below";
  /** Undefined where it is not known. */
  readonly limit: number | undefined;
  /** Name of the check that it is the limit of, and its question. */
  readonly check: string;
  readonly question: number;
  /** What the limit is, or what it needs to be known. */
  readonly because: string;
}

type Head = Pick<AbortLimit, "id" | "quantity" | "dimension" | "stopWhen">;

/** The limits of a run, in the order in which they come near in a stroke. */
export function abortLimits({ kind, stage }: RunPlace, of: RunCase): readonly AbortLimit[] {
  if (!of.known) return [];
  const ofDrive = [...currentLimit(of), ...fromCheck(of, "motor-thermal", winding), ...supply(of)];
  switch (kind) {
    case "motor alone":
      return ofDrive;
    case "gearbox alone":
      return ofDrive;
    case "stem locked":
      return [...stemTorque(of.context), ...ofDrive, ...stallHold(of)];
    case "leak":
      // Gas is shut in, and no liquid that could expand.
      return pressures(of).filter(({ id }) => id === "line-pressure");
    case "stroke":
      return [
        ...fromCheck(of, "opening-time", openingTime),
        ...fromCheck(of, "closing-time", closingTime),
        ...stallHold(of),
        ...stemTorque(of.context),
        ...ofDrive,
        ...(stage === "dry" ? [] : pressures(of)),
        ...fromCheck(of, "gearbox-temperature", gearbox),
        ...fromCheck(of, "motor-temperature", motor),
        ...fromCheck(of, "cool-down-time", coolDown),
        ...fromCheck(of, "cool-down-propellant", coolant),
        ...fromCheck(of, "oxygen-at-drive", oxygen),
      ];
  }
}

const head = (
  id: string,
  quantity: string,
  dimension: Dimension,
  stopWhen: AbortLimit["stopWhen"] = "above",
): Head => ({ id, quantity, dimension, stopWhen });

const winding = head("winding-temperature", "winding temperature", "temperature");
const openingTime = head("opening-time", "time since the command to open, not yet there", "time");
const closingTime = head("closing-time", "time since the command to close, not yet there", "time");
const gearbox = head("gearbox-temperature", "gearbox temperature", "temperature", "below");
const motor = head("motor-temperature", "motor temperature before the stroke", "temperature", "below");
const coolDown = head("cool-down-time", "time of chilling in", "time");
const coolant = head("cool-down-propellant", "liquid let through for chilling in", "mass");
const oxygen = head("oxygen-at-drive", "oxygen at packing and gearbox", "ratio");

/** The tightest limit among the checks of an id; what they need where none has one; nothing where none is asked. */
function fromCheck(of: RunCase, id: string, of_: Head): readonly AbortLimit[] {
  const found = checksNamed(of, id);
  const known = found.flatMap(({ question, check }) => {
    const limit = sideOf(check, of_.stopWhen);
    return limit === undefined || check.kind === "unknown" ? [] : [{ question, check, limit }];
  });
  const sign = of_.stopWhen === "above" ? 1 : -1;
  const [tightest] = known.sort((a, b) => sign * (a.limit - b.limit));
  if (tightest !== undefined) {
    const { question, check, limit } = tightest;
    return [
      {
        ...of_,
        unit: unitFor(of_.dimension, check.unit, limit),
        limit,
        check: check.name,
        question,
        because: check.limit?.words ?? "",
      },
    ];
  }
  const [open] = found;
  return open === undefined ? [] : [notKnown(of_, open)];
}

function sideOf(check: Check, stopWhen: AbortLimit["stopWhen"]): number | undefined {
  if (check.kind === "unknown") return undefined;
  return stopWhen === "above" ? check.limit?.most : check.limit?.least;
}

function unitFor(dimension: Dimension, unit: string, limit: number): string {
  return dimension === "temperature" ? warmUnit(limit) : unit;
}

function notKnown(of: Head, { question, check }: PlacedCheck): AbortLimit {
  const because =
    check.kind === "unknown"
      ? `needs ${listWords(needWords(check))}`
      : "the check gives no limit in this case";
  return { ...of, unit: "", limit: undefined, check: check.name, question, because };
}

function supply(of: RunCase): readonly AbortLimit[] {
  return fromCheck(of, "supply-sag", head("supply-voltage", "voltage at the driver", "voltage", "below"));
}

/** A drive that pushes against a jam is cut after the time that its heat was counted with. */
function stallHold(of: RunCase): readonly AbortLimit[] {
  if (!of.known) return [];
  const hold = of.context.prediction.dossier.valve.duty?.cycles?.stall_hold;
  const [heat] = checksNamed(of, "motor-thermal");
  if (heat === undefined) return [];
  return [
    {
      ...head("stall-hold", "time at rest with current", "time"),
      unit: "s",
      limit: hold?.value,
      check: heat.check.name,
      question: heat.question,
      because:
        hold === undefined
          ? "needs duty.cycles.stall_hold"
          : "duty.cycles.stall_hold, in the heat of the duty",
    },
  ];
}

/** What the parts between gearbox and ball bear, by the lower end of its band. */
function stemTorque({ own, prediction }: Context): readonly AbortLimit[] {
  const { strength } = own;
  const last = (prediction.dossier.valve.drive?.stages?.length ?? 0) - 1;
  const isAtStem = ({ carries, kind }: PathElement) =>
    (carries === "valve.stem" && kind !== "stop") ||
    (carries === "drive.coupling" && kind === "coupling") ||
    (carries === `drive.stages[${last}]` && kind === "momentary");
  const parts = strength.elements.filter((part) => isAtStem(part) && !part.loads.includes("turning"));
  const of = head("stem-torque", "torque at the stem", "torque");
  const known = parts.flatMap((part) => {
    const value = borne(strength, part);
    return Number.isNaN(value) ? [] : [{ part, value }];
  });
  const open = parts.filter((part) => Number.isNaN(borne(strength, part)));
  const [weakest] = known.sort((a, b) => a.value - b.value);
  const missing = [...new Set(open.flatMap((part) => part.missing))];
  const lacking = missing.length === 0 ? "" : `not known of others: needs ${listWords(missing)}`;
  if (weakest === undefined)
    return [
      {
        ...of,
        unit: "N m",
        limit: undefined,
        check: "Stem torsion",
        question: 5,
        because: lacking === "" ? "needs valve.stem.sections, drive.coupling.momentary_torque" : lacking,
      },
    ];
  return [
    {
      ...of,
      unit: "N m",
      limit: weakest.value,
      check: checkOf(weakest.part),
      question: 5,
      because: `what ${weakest.part.name} bears with its factors, lower end of its band${lacking === "" ? "" : `; ${lacking}`}`,
    },
  ];
}

function borne({ figures }: StrengthAnswer, { id }: PathElement): number {
  const figure = capacityFigure(id);
  return (
    ownBand(figures.samples[figure] ?? new Float64Array(0))?.low ?? figures.nominal[figure] ?? Number.NaN
  );
}

function checkOf({ kind, name }: PathElement): string {
  if (kind === "section") return `Stem torsion, ${name}`;
  if (kind === "bearing") return `Bearing pressure, ${name}`;
  return kind === "momentary" ? `Gear peak torque, ${name}` : `Coupling, pins, keys, ${name}`;
}

/** The current that all parts bear; where the voltage allows no more, that of the driver. */
function currentLimit(of: RunCase): readonly AbortLimit[] {
  const [placed] = checksNamed(of, "current-limit");
  if (!of.known || placed === undefined) return [];
  const { strength } = of.context.own;
  const { most, part } = windowOf(strength);
  const isBorne = Number.isFinite(most);
  const limit = isBorne ? most : most === Number.POSITIVE_INFINITY ? strength.currentLimit_A : undefined;
  const at = head("motor-current", "motor current", "current");
  if (limit === undefined) return [notKnown(at, placed)];
  return [
    {
      ...at,
      unit: "A",
      limit,
      check: placed.check.name,
      question: placed.question,
      because: isBorne
        ? `more overloads ${part}`
        : "drive.driver.current_limit; all that the voltage allows is borne",
    },
  ];
}

/** Ratings of the line, its ends, and of every volume that can be shut in. */
function pressures(of: RunCase): readonly AbortLimit[] {
  if (!of.known) return [];
  const { own } = of.context;
  const line = [...checksNamed(of, "end-rating", "surge-close")];
  const ofLine = head("line-pressure", "pressure anywhere in the line", "pressure");
  const known = line.flatMap(({ question, check }) =>
    check.kind === "known" && check.limit.most !== undefined && check.dimension === "pressure"
      ? [{ question, check: check as KnownCheck, limit: check.limit.most }]
      : [],
  );
  const [tightest] = known.sort((a, b) => a.limit - b.limit);
  const [open] = line;
  const [segmentCheck] = checksNamed(of, "segment-relief");
  const [cavityCheck] = checksNamed(of, "cavity-pressure");
  const volumes = [own.trapped.cavity, ...own.trapped.segments].flatMap((volume) => volume ?? []);
  return [
    ...(tightest === undefined
      ? open === undefined
        ? []
        : [notKnown(ofLine, open)]
      : [
          {
            ...ofLine,
            unit: "bar(a)",
            limit: tightest.limit,
            check: tightest.check.name,
            question: tightest.question,
            because: tightest.check.limit.words,
          },
        ]),
    ...volumes.map(({ kind, name, rating, path }): AbortLimit => {
      const check = kind === "cavity" ? cavityCheck : segmentCheck;
      return {
        ...head(
          `${kind === "cavity" ? "cavity" : "trapped"}:${path}`,
          `pressure shut in: ${name}`,
          "pressure",
        ),
        unit: "bar(a)",
        limit: rating,
        check: check?.check.name.replace(/, .*/, "") ?? "Ball cavity overpressure",
        question: 7,
        because: rating === undefined ? `needs ${path}.rating` : `${path}.rating`,
      };
    }),
  ];
}
