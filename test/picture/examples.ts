/**
 * One example of each figure and mark, with made-up numbers. Their pictures are kept in
 * test/figures/ and shown in docs/pictures.md.
 */
import type { Figure } from "../../src/picture/index.js";

const times = Array.from({ length: 141 }, (_, index) => index / 2);

/** A smooth rise from 0 to 90 between two times. */
function rise(time: number, start: number, end: number): number {
  const share = Math.max(0, Math.min(1, (time - start) / (end - start)));
  return 90 * share * share * (3 - 2 * share);
}

// A small disturbance without randomness, as a recorded channel has.
const ripple = (index: number): number => 0.6 * Math.sin(index * 1.7) + 0.4 * Math.sin(index * 0.61);

const angles = Array.from({ length: 91 }, (_, index) => index);
const torqueNeeded = (angle: number): number =>
  14 + 9 * Math.exp(-angle / 6) + 5 * Math.sin((angle * Math.PI) / 180) ** 2;

const recordLength = 20_000;
const record = Array.from({ length: recordLength }, (_, index) => index / 100);
const recorded = record.map(
  (time, index) =>
    5.2 + 0.4 * Math.sin(time / 9) + 0.12 * Math.sin(index * 2.399) + (index === 12_345 ? 3.1 : 0),
);

/** Every kept example, by the name of its file. */
export const examples: Readonly<Record<string, Figure>> = {
  "angle-against-time": {
    kind: "plot",
    id: "angle-against-time",
    title: "Opening angle after the command",
    words:
      "The predicted angle reaches 90° at 52 ms, with a 95 % band from 47 ms to 58 ms. The test reached it at 61 ms, outside the band and past the limit of 60 ms.",
    x: { label: "Time since command", unit: "ms" },
    y: { label: "Angle at the stem", unit: "°" },
    marks: [
      {
        kind: "band",
        role: "prediction",
        label: "95 % band",
        x: times,
        low: times.map((time) => rise(time, 7, 58)),
        high: times.map((time) => rise(time, 3, 47)),
      },
      {
        kind: "line",
        role: "prediction",
        label: "prediction",
        x: times,
        y: times.map((time) => rise(time, 5, 52)),
      },
      {
        kind: "line",
        role: "measurement",
        label: "test 2, in nitrogen",
        x: times,
        y: times.map((time, index) => rise(time, 9, 61) + ripple(index)),
      },
      { kind: "event", role: "measurement", x: 9.1, low: 8.2, high: 10, label: "first motion 9.1 ± 0.9 ms" },
      { kind: "event", role: "measurement", x: 60.8, low: 60, high: 61.6, label: "travel end 60.8 ± 0.8 ms" },
      { kind: "limit", axis: "x", value: 60, forbidden: "above", label: "at most 60 ms" },
    ],
  },
  "torque-against-angle": {
    kind: "plot",
    id: "torque-against-angle",
    title: "Torque needed and torque available",
    words:
      "The torque needed is greatest at the seat, 23 N*m, and stays below the 38 N*m the drive can give at every angle. The margin is least at 0°.",
    x: { label: "Opening angle", unit: "°", range: [0, 90] },
    y: { label: "Torque at the stem", unit: "N*m", range: [0, 50] },
    marks: [
      { kind: "region", role: "neutral", label: "sealed part of the travel", x: [0, 8] },
      {
        kind: "band",
        role: "demand",
        label: "95 % band",
        x: angles,
        low: angles.map((angle) => 0.8 * torqueNeeded(angle)),
        high: angles.map((angle) => 1.25 * torqueNeeded(angle)),
      },
      {
        kind: "line",
        role: "demand",
        label: "needed",
        x: angles,
        y: angles.map(torqueNeeded),
      },
      {
        kind: "line",
        role: "available",
        label: "available at the motor's speed",
        x: angles,
        y: angles.map((angle) => 38 - 4 * Math.sin((angle * Math.PI) / 90)),
      },
      {
        kind: "points",
        role: "measurement",
        label: "bench test",
        x: [0, 15, 30, 45, 60, 75, 90],
        y: [25.1, 15.9, 16.3, 17.1, 18.6, 19.4, 20.2],
        low: [23.6, 15.1, 15.4, 16.2, 17.8, 18.5, 19.1],
        high: [26.6, 16.7, 17.2, 18, 19.4, 20.3, 21.3],
      },
      { kind: "limit", axis: "y", value: 45, forbidden: "above", label: "stem yields" },
      { kind: "note", x: 0, y: 23, text: "leaving the seat" },
    ],
  },
  "motor-current": {
    kind: "plot",
    id: "motor-current",
    title: "Motor current, the whole record",
    words: "Over 200 s the current stays between 4.6 A and 5.8 A but for one sample of 8.6 A at 123.5 s.",
    x: { label: "Time", unit: "s" },
    y: { label: "Motor current", unit: "A" },
    marks: [
      { kind: "step", role: "neutral", label: "command", x: [0, 40, 160, 200], y: [0, 6.5, 0, 0] },
      { kind: "line", role: "measurement", label: "current, 20 000 samples", x: record, y: recorded },
      { kind: "limit", axis: "y", value: 8, forbidden: "above", label: "current limit 8 A" },
      { kind: "note", x: 123.45, y: 8.6, text: "one sample", role: "worse" },
    ],
  },
  "crowded-events": {
    kind: "plot",
    id: "crowded-events",
    title: "Events of one opening, close together",
    words: "Seven events within 30 ms; every label stands clear of the others and of their lines.",
    x: { label: "Time since command", unit: "ms", range: [0, 70] },
    y: { label: "Angle at the stem", unit: "°" },
    marks: [
      {
        kind: "line",
        role: "prediction",
        label: "prediction",
        x: times,
        y: times.map((time) => rise(time, 5, 52)),
      },
      { kind: "event", role: "neutral", x: 0, label: "command" },
      { kind: "event", role: "prediction", x: 5, label: "breakaway" },
      { kind: "event", role: "measurement", x: 6.5, low: 5.5, high: 7.5, label: "first motion" },
      { kind: "event", role: "prediction", x: 14, label: "10 % open" },
      { kind: "event", role: "prediction", x: 43, label: "90 % open" },
      { kind: "event", role: "prediction", x: 52, label: "travel end" },
      { kind: "event", role: "measurement", x: 61, label: "travel end, measured" },
      { kind: "limit", axis: "x", value: 65, forbidden: "above", label: "at most 65 ms" },
    ],
  },
  "opening-times": {
    kind: "histogram",
    id: "opening-times",
    title: "Opening time over the declared uncertainties",
    words:
      "Of 4096 runs 97.0 % opened; half of these within 52 ms, 95 % within 58 ms, 98.2 % within the limit of 60 ms.",
    value: { label: "Opening time", unit: "ms" },
    height: { label: "Share of the runs that opened", unit: "%" },
    edges: [40, 42, 44, 46, 48, 50, 52, 54, 56, 58, 61, 64, 66],
    heights: [0.4, 1.4, 4.6, 9.9, 16.2, 19.8, 18.1, 13.6, 8.1, 4.8, 2, 1.1],
    limit: { value: 60, label: "at most 60 ms", forbidden: "above" },
    markers: [{ value: 52, label: "median 52 ms" }],
    apart: "did not open: 3.0 % of 4096 runs",
  },
  "time-ledger": {
    kind: "waterfall",
    id: "time-ledger",
    title: "From the predicted to the measured opening time",
    words:
      "Predicted 52 ms, measured 61 ms. Seat friction in the cold accounts for 6.3 ms, the sagging supply for 2.9 ms, a lighter ball for −0.9 ms; 0.7 ms stay unexplained.",
    value: { label: "Opening time", unit: "ms" },
    start: { label: "prediction before the test", value: 52, low: 47, high: 58, role: "prediction" },
    contributions: [
      { label: "seat friction at 90 K", value: 6.3, low: 4.8, high: 7.9 },
      { label: "supply voltage under load", value: 2.9, low: 1.6, high: 4.1 },
      { label: "inertia of ball and stem", value: -0.9, low: -1.6, high: -0.2 },
    ],
    end: { label: "measured, test 2", value: 61, low: 60.2, high: 61.8, role: "measurement" },
    increase: "worse",
  },
  "energy-streams": {
    kind: "streams",
    id: "energy-streams",
    title: "Where the energy of one opening goes",
    words:
      "Of 60 J given by the battery and 4 J by the flow, 30 J heat the winding, 14 J are lost in the gears, 19 J turn the ball; 1 J is not accounted for.",
    value: { label: "Energy", unit: "J" },
    from: { label: "given by the battery", value: 60, role: "available" },
    to: [
      { label: "heat in the winding", value: 30, role: "worse" },
      { label: "lost in the gears", value: 14 },
      { label: "friction of the seats", value: 19, role: "demand" },
      { label: "help of the flow", value: -4, role: "better" },
    ],
    restLabel: "not accounted for",
  },
  "input-effects": {
    kind: "tornado",
    id: "input-effects",
    title: "What moves the opening time",
    words:
      "Seat friction alone makes 46 % of the variance and takes part in 58 %. The other inputs follow far behind.",
    value: { label: "Share of the variance of the opening time", unit: "%" },
    effects: [
      {
        label: "gear efficiency",
        first: { value: 11, low: 8, high: 14 },
        total: { value: 16, low: 13, high: 20 },
      },
      {
        label: "friction coefficient of the seat at operating temperature",
        first: { value: 46, low: 41, high: 51 },
        total: { value: 58, low: 52, high: 64 },
      },
      {
        label: "supply voltage",
        first: { value: 14, low: 10, high: 18 },
        total: { value: 21, low: 17, high: 26 },
      },
      {
        label: "winding resistance",
        first: { value: 1, low: -1, high: 3 },
        total: { value: 2.5, low: 0.8, high: 4.4 },
      },
    ],
  },
  checks: {
    kind: "interval",
    id: "checks",
    title: "Checks against their limits",
    words:
      "Two checks hold, one is thin, one fails, one is not known. The opening time fails by 1.7 % of its limit.",
    checks: [
      {
        kind: "known",
        label: "Torque margin at breakaway",
        unit: "",
        value: 1.65,
        low: 1.3,
        high: 2.1,
        limit: 1,
        allowed: "at least",
        verdict: "holds",
        role: "better",
      },
      {
        kind: "known",
        label: "Opening time",
        unit: "ms",
        value: 61,
        low: 56,
        high: 67,
        limit: 60,
        allowed: "at most",
        verdict: "fails",
        role: "worse",
      },
      {
        kind: "known",
        label: "Winding temperature after one opening",
        unit: "K",
        value: 341,
        low: 318,
        high: 392,
        limit: 380,
        allowed: "at most",
        verdict: "thin",
        role: "doubtful",
      },
      {
        kind: "known",
        label: "Flow capacity Kv",
        unit: "m3/h",
        value: 480,
        low: 440,
        high: 520,
        limit: 120,
        allowed: "at least",
        verdict: "holds",
        role: "better",
      },
      {
        kind: "unknown",
        label: "Cavitation index",
        verdict: "not known",
        reason: "the vapour pressure at the inlet was not given",
      },
    ],
  },
  "choices-on-parallel-axes": {
    kind: "parallel",
    id: "choices-on-parallel-axes",
    title: "Choices that no other beats",
    words:
      "Three choices meet every limit, a fourth would with more current. The chosen one is the lightest and has the least torque margin.",
    axes: [
      {
        label: "torque margin, low end of its band",
        unit: "",
        better: "more",
        limit: 0,
        detail: "at least 0",
      },
      {
        label: "peak current, high end of its band",
        unit: "A",
        better: "less",
        limit: 16,
        detail: "at most 16 A",
      },
      { label: "mass, nominal", unit: "kg", better: "less", limit: 9, detail: "at most 9 kg" },
      { label: "price, nominal", unit: "", better: "less" },
    ],
    items: [
      {
        label: "choice 12",
        group: "would come in if one limit were relaxed",
        role: "neutral",
        values: [1.9, 17.5, 2.1, 760],
      },
      { label: "choice 3", group: "no other beats it", role: "prediction", values: [0.4, 12, 2.6, 520] },
      { label: "choice 8", group: "no other beats it", role: "prediction", values: [1.4, 15.2, 3.1, 610] },
      {
        label: "choice 5",
        group: "chosen: choice 5",
        role: "available",
        values: [0.25, 13.4, 1.8, Number.NaN],
        low: [0.25, 12.1, 1.7, Number.NaN],
        high: [0.61, 13.4, 1.9, Number.NaN],
        isChosen: true,
      },
    ],
  },
};
