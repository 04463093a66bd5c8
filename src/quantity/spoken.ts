/** The forms in which a person types a value with its spread in one line of text. */
import { refuse } from "../fault/index.js";
import type { Dimension } from "./dimension.js";
import { plainSigns } from "./grammar.js";
import type { Law } from "./law.js";
import { formatInUnit } from "./printing.js";
import { finiteSi, isBelievable, readQuantity, type Split, splitQuantity } from "./reading.js";
import {
  formatSpread,
  fromSi,
  type ReadingOptions,
  resolveSpreadUnit,
  resolveUnit,
  spreadToSi,
  type Unit,
} from "./unit.js";

/** What a text amounts to, before the bounds of its field are known. Numbers are SI. */
export interface Spoken {
  readonly value: number;
  readonly law: Law;
  readonly unit: Unit;
  /** How the program read it, in words. */
  readonly readAs: string;
}

/**
 * Reads a value with or without a spread:
 *
 *   28 bar(a)                      no spread
 *   0.08 +/- 0.02, 0.08 ± 0.02     standard uncertainty, normal law
 *   0.08 +/- 0.04 (k=2)            expanded uncertainty, divided by k
 *   5 N m +/- 10 %                 of the value; of 78 %, +/- 3 % are points
 *   32 mm tol 0.05                 limits, each value between them equally likely
 *   32 mm tol +0.1 -0              unequal limits
 *   from 300 N to 700 N            limits, nominal midway
 *
 * A unit typed once serves both numbers.
 */
export function readSpoken(text: string, dimension: Dimension, options: ReadingOptions): Spoken {
  const tidy = plainSigns(text);
  const range = /^from (.+?) to (.+)$/i.exec(tidy);
  if (range?.[1] !== undefined && range[2] !== undefined) {
    return spokenRange(range[1], range[2], text, dimension, options);
  }
  const { body, coverage } = splitCoverage(tidy, text);
  const spread = /^(.+?) ?(?:±|\+ ?\/ ?- ?|\+-) ?(.+)$/.exec(openParentheses(body));
  const tolerance = /^(.+?) tol(?:erance)? ?(.+)$/i.exec(body);
  if (tolerance?.[1] !== undefined && tolerance[2] !== undefined) {
    if (coverage !== undefined) refuseCoverage(text);
    return spokenTolerance(tolerance[1], tolerance[2], text, dimension, options);
  }
  if (spread?.[1] !== undefined && spread[2] !== undefined) {
    return spokenSpread(spread[1], spread[2], coverage ?? 1, text, dimension, options);
  }
  if (coverage !== undefined) refuseCoverage(text);
  refuseLooseRange(tidy, text);
  const { si, unit } = readQuantity(text, dimension, options);
  return {
    value: si,
    law: { kind: "exact" },
    unit,
    readAs: `${formatInUnit(si, unit, { digits: 12 })}${noted(unit)}, no spread declared`,
  };
}

const number = "([+-]?\\d+\\.?\\d*(?:[eE][+-]?\\d+)?)";
/** 300-700 N, 300 to 700 N, 0.1..0.2 */
const looseRange = new RegExp(`^${number}() ?(?:-|to|\\.\\.+|…|~) ?${number}(?![\\d.]) ?(.*)$`);
/** 300 N - 700 N, 300 N to 700 N; the spaces tell the hyphen from that of s-1. */
const looseRangeWithUnit = new RegExp(`^${number} ?(\\D+?) (?:-|to|\\.\\.+|…|~) ${number} ?(.*)$`);

/** "300-700 N" could be a range or a slip of the sign; the mend shows the range. */
function refuseLooseRange(tidy: string, text: string): void {
  const found = looseRange.exec(tidy) ?? looseRangeWithUnit.exec(tidy);
  if (found === null) return;
  const [, low = "", lowUnit = "", high = "", highUnit = ""] = found;
  const from = `${low} ${lowUnit || highUnit}`.trim();
  const to = `${high} ${highUnit || lowUnit}`.trim();
  refuse(
    "value-unreadable",
    `"${text.trim()}" looks like a range`,
    "A range says from and to, so that a hyphen cannot be taken for a minus sign.",
    `Write "from ${from} to ${to}".`,
  );
}

/** "(0.08 +/- 0.02) N m" says its unit once, behind parentheses. */
function openParentheses(body: string): string {
  const found = /^\((.+)\) ?(.*)$/.exec(body);
  return found?.[1] === undefined ? body : `${found[1]} ${found[2] ?? ""}`.trim();
}

/** Takes "(k=2)" off the end. */
function splitCoverage(tidy: string, text: string): { readonly body: string; readonly coverage?: number } {
  const found = /^(.+?),? ?\(? ?k ?= ?([^\s()]+) ?\)?$/.exec(tidy);
  if (found?.[1] === undefined || found[2] === undefined) return { body: tidy };
  const coverage = Number(found[2]);
  if (!(coverage > 0) || !Number.isFinite(coverage)) {
    refuse(
      "uncertainty-unreadable",
      `"${text.trim()}" has the coverage factor ${found[2]}`,
      "A coverage factor k says how many standard uncertainties were written; it is above zero.",
      'Write, for example, "0.08 +/- 0.04 (k=2)".',
    );
  }
  return { body: found[1], coverage };
}

function refuseCoverage(text: string): never {
  refuse(
    "uncertainty-unreadable",
    `"${text.trim()}" has a coverage factor but no +/-`,
    "A coverage factor k belongs to an expanded uncertainty.",
    'Write, for example, "0.08 +/- 0.04 (k=2)".',
  );
}

function spokenSpread(
  nominal: string,
  spread: string,
  coverage: number,
  text: string,
  dimension: Dimension,
  options: ReadingOptions,
): Spoken {
  const { value, unit, size, relative } = readPair(nominal, spread, text, dimension, options);
  const deviation = size / coverage;
  if (deviation === 0) return { value, law: { kind: "exact" }, unit, readAs: exactWords(value, unit) };
  const u = formatSpread(deviation, unit, value);
  const details = [
    relative === undefined ? "" : `${relative} of the value`,
    coverage === 1 ? "" : `${formatSpread(size, unit, value)} at k = ${coverage}`,
  ].filter((part) => part !== "");
  const detail = details.length === 0 ? "" : ` (${details.join(", ")})`;
  return {
    value,
    law: {
      kind: "normal",
      mean: value,
      deviation,
      low: Number.NEGATIVE_INFINITY,
      high: Number.POSITIVE_INFINITY,
    },
    unit,
    readAs: `${formatInUnit(value, unit, { digits: 12 })}${noted(unit)}, normal law with standard uncertainty ${u}${detail}`,
  };
}

function spokenTolerance(
  nominal: string,
  limits: string,
  text: string,
  dimension: Dimension,
  options: ReadingOptions,
): Spoken {
  const sizes = limits.replace(/^(?:±|\+ ?\/ ?-|\+-) ?/, "");
  const unequal = /^(\+[^+-]+?) ?\/? ?(-.+)$/.exec(sizes);
  const above = unequal?.[1] ?? sizes;
  const below = unequal?.[2] ?? above;
  const unitBehind = splitQuantity(below, dimension).rest;
  const aboveText = splitQuantity(above, dimension).rest === "" ? `${above} ${unitBehind}`.trim() : above;
  const upper = readPair(nominal, aboveText, text, dimension, options);
  const lower = readPair(nominal, below.replace(/^-/, ""), text, dimension, options);
  const { value, unit } = upper;
  const low = value - lower.size;
  const high = value + upper.size;
  if (low === high) return { value, law: { kind: "exact" }, unit, readAs: exactWords(value, unit) };
  return { value, law: { kind: "uniform", low, high }, unit, readAs: uniformWords(value, low, high, unit) };
}

function spokenRange(
  from: string,
  to: string,
  text: string,
  dimension: Dimension,
  options: ReadingOptions,
): Spoken {
  const first = splitQuantity(from, dimension).rest;
  const second = splitQuantity(to, dimension).rest;
  const low = readQuantity(first === "" ? `${from} ${second}`.trim() : from, dimension, options);
  const high = readQuantity(second === "" ? `${to} ${first}`.trim() : to, dimension, options);
  return rangeOf(low.si, high.si, low.unit, text.trim());
}

/**
 * Even law between two values, nominal midway.
 *
 * @param low   SI;  @param high  SI, not below `low` (of a reciprocal unit the two change places)
 * @param text  as typed, for the refusal of a range the wrong way round
 */
export function rangeOf(low: number, high: number, unit: Unit, text: string): Spoken {
  const [least, most] = unit.reciprocal ? [high, low] : [low, high];
  if (least > most) {
    const words = [most, least].map((si) => formatInUnit(si, unit, { digits: 12 }));
    refuse(
      "range-reversed",
      `"${text}" runs from the larger to the smaller value`,
      "The first value of a range is the smaller one.",
      `Write "from ${words[0]} to ${words[1]}".`,
    );
  }
  const value = (least + most) / 2;
  if (least === most) return { value: least, law: { kind: "exact" }, unit, readAs: exactWords(least, unit) };
  return {
    value,
    law: { kind: "uniform", low: least, high: most },
    unit,
    readAs: uniformWords(value, least, most, unit),
  };
}

interface Pair {
  readonly value: number;
  readonly unit: Unit;
  /** Size of the spread, SI, >= 0. */
  readonly size: number;
  /** "10 %" where the spread was written as a share of the value. */
  readonly relative?: string;
}

/** A nominal value and a spread, of which one may borrow the unit of the other. */
function readPair(
  nominal: string,
  spread: string,
  text: string,
  dimension: Dimension,
  options: ReadingOptions,
): Pair {
  const main = splitQuantity(nominal, dimension);
  const extra = splitQuantity(spread, dimension);
  if (extra.value < 0) {
    refuse(
      "uncertainty-unreadable",
      `"${text.trim()}" has the negative spread ${extra.value}`,
      "A spread is a size and is not negative.",
      `Write the size alone, ${-extra.value}.`,
    );
  }
  const isShare = /^(?:%|percent|per cent|pct)/.test(extra.rest);
  const isPoints = isShare && main.rest === extra.rest;
  if (isShare && !isPoints) return readShare(main, extra, text, dimension, options);
  const words = main.rest === "" ? extra.rest : main.rest;
  const spreadWords = extra.rest === "" ? main.rest : extra.rest;
  const unit = resolveUnit(words, dimension, main.typed, options);
  const spreadUnit = resolveSpreadUnit(spreadWords, dimension, extra.typed, options);
  const value = finiteSi(unit, main.value, text, dimension);
  if (unit.reciprocal !== spreadUnit.reciprocal) {
    refuse(
      "uncertainty-unreadable",
      `"${text.trim()}" gives its spread in the reciprocal unit of its value`,
      "A spread is written in the unit of its value or in per cent of it.",
      `Write both in ${unit.text}.`,
    );
  }
  const size = finiteSize(spreadToSi(spreadUnit, fromSi(spreadUnit, value), extra.value), text);
  return { value, unit, size };
}

function readShare(
  main: Split,
  extra: Split,
  text: string,
  dimension: Dimension,
  options: ReadingOptions,
): Pair {
  if (!/^(?:%|percent|per cent|pct)$/.test(extra.rest)) {
    refuse(
      "uncertainty-unreadable",
      `"${text.trim()}" has a unit behind the per cent of its spread`,
      "A spread in per cent is a share of the value and has no other unit.",
      `Write the unit behind the value: "${main.value} ${extra.rest.replace(/^\S+ ?/, "")} +/- ${extra.value} %".`,
    );
  }
  const unit = resolveUnit(main.rest, dimension, main.typed, options);
  if (unit.zero === "temperature scale") {
    refuse(
      "uncertainty-unreadable",
      `"${text.trim()}" gives a spread in per cent of a temperature on a scale`,
      "A share of a temperature depends on where the scale has its zero.",
      `Write the spread in K: "${main.value} ${unit.text} +/- 2 K".`,
    );
  }
  if (main.value === 0 && extra.value !== 0) {
    refuse(
      "uncertainty-unreadable",
      `"${text.trim()}" gives a spread in per cent of zero`,
      "A share of zero is zero.",
      `Write the spread in ${unit.text === "" ? "the unit of the value" : unit.text}.`,
    );
  }
  const value = finiteSi(unit, main.value, text, dimension);
  const size = finiteSize(spreadToSi(unit, main.value, (main.value * extra.value) / 100), text);
  return { value, unit, size, relative: `${extra.value} %` };
}

function finiteSize(size: number, text: string): number {
  if (isBelievable(size)) return size;
  return refuse(
    "uncertainty-unreadable",
    `"${text.trim()}" has a spread that is too large`,
    "A spread is a finite number of the size of its value.",
    'Write, for example, "0.08 +/- 0.02".',
  );
}

/** ", <how the unit was understood>" or nothing. */
function noted(unit: Unit): string {
  return unit.note === undefined ? "" : ` (${unit.note})`;
}

function exactWords(value: number, unit: Unit): string {
  return `${formatInUnit(value, unit, { digits: 12 })}${noted(unit)}, no spread`;
}

function uniformWords(value: number, low: number, high: number, unit: Unit): string {
  const [lowest, highest, nominal] = [low, high, value].map((si) => formatInUnit(si, unit, { digits: 12 }));
  return `${lowest} to ${highest}${noted(unit)}, each value equally likely, nominal ${nominal}`;
}
