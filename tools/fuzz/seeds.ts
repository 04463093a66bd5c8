/** Good files of the kinds that the demo has none of. */
import { deflateSync } from "node:zlib";
import { canonicalJson, scheduleTable, scheduleText } from "../../src/evidence/index.js";
import { sha256 } from "../../src/host/index.js";
import type { FollowedSchedule } from "../../src/predict/index.js";

export const partSeed = `name: our motor
kind: motor
class: brushless
description: Brushless motor of 100 W
reason: data sheet, revision C
reference: sheet 4711-C
values:
  resistance: { value: 0.8 ohm +/- 4 %, origin: catalogue, because: cold }
  torque_constant: 40 mN m/A +/- 5 %
  inertia: { from: 100 g cm2, to: 140 g cm2 }
  build: { mass: 0.31 kg, length: 44 mm }
`;

export const solidSeed = `format: solid/1
id: our-ptfe
name: Filled PTFE, our blank
kind: polymer
contraction:
  sources: [dilatometer run 3]
  from: measured
  form: table
  unit: "%"
  rows:
    - { T_K: 77, low: -1.62, high: -1.58 }
    - { T_K: 180, low: -1.1, high: -1.0 }
    - { T_K: 293, low: 0, high: 0 }
`;

const hash = "0123456789abcdef".repeat(4);

export const runSeed = `coldturn_run: 1
id: 2031-04-18-dry-01
case: dry-ambient
date: 2031-04-18T09:30:00Z
imported: 2031-04-18T10:00:00Z
original: { file: bench.csv, sha256: ${hash}, bytes: 120000 }
mapping:
  dialect: { delimiter: comma, decimal: point, header_line: 1 }
  time: { kind: elapsed, column: { name: t, index: 1 }, unit: s, declared_rate: 2 kHz, because: its name }
  channels:
    - { role: command, column: { name: cmd, index: 2 }, unit: V, sign: 1 }
    - role: angle
      column: { name: angle, index: 3 }
      sign: -1
      scale: [ { reading: 4, value: 0 deg }, { reading: 20, value: 90 deg } ]
      missing: [9999, -1]
    - { role: pressure_upstream, column: { name: p1, index: 4 }, unit: bar, sign: 1, gauge: true, standard_uncertainty: 0.1 bar }
  ambient_pressure: 1.013 bar(a)
further_files:
  - original: { file: stand.csv, sha256: ${hash}, bytes: 99 }
    mapping: { dialect: { delimiter: semicolon, decimal: comma }, time: { kind: sample number, rate: 1 kHz }, channels: [] }
    clock: { offset: 0.25 s, uncertainty: 2 ms, method: by hand, how: seen in the video, who: stand crew, why: no command in it }
moved_events:
  - { event: first-motion, time: 1.02 s, uncertainty: 1 ms, who: stand crew, why: noise before it }
conditions: { supply_pressure: 27.4 bar(a) +/- 0.1 bar }
notes: first of the day
`;

const stroke = {
  times_s: { "command-to-end": 0.2 },
  inputUncertainty_s: { "command-to-end": 0.004 },
  band_s: { "command-to-end": { low: 0.19, high: 0.22 } },
  notArriving: { estimate: 0, low: 0, high: 0.003 },
};
const content = {
  format: "coldturn-sealed/1",
  model: "0.2.0",
  valve: "Petrel oxygen main valve",
  case: "dry-ambient",
  made: "2031-04-18T08:00:00Z",
  seed: 1,
  samples: 1000,
  coverage: 0.95,
  definition: "command-to-end",
  files: [{ name: "valve.yaml", sha256: hash }],
  inputs: [
    {
      path: "valve.inertia",
      text: "2 kg cm2",
      readAs: "2 kg cm2",
      origin: "drawing",
      value: 2e-4,
      dimension: "moment of inertia",
    },
  ],
  opening: stroke,
  closing: { ...stroke, notArriving: null },
};
export const sealedSeed = `${JSON.stringify({ ...content, sha256: sha256(canonicalJson(content)) }, null, 1)}\n`;

/** A sheet as a page, and as a PDF with its record attached; what stands around the record is not read. */
export function sheetSeeds(): readonly Uint8Array[] {
  const record = {
    format: "coldturn-sheet/1",
    ...{ valve: "Petrel", case: "duty", model: "0.2.0", seed: 1, samples: 100, day: "2026-04-18" },
    files: [{ name: "valve.yaml", sha256: hash }],
    questions: [{ number: 1, words: "Does it pass the flow?", verdict: "holds" }],
    checks: [
      {
        question: 1,
        id: "choke",
        name: "Choking",
        verdict: "holds",
        value: "1",
        limit: "2",
        isWaived: false,
      },
    ],
    inputs: [{ path: "valve.bore", text: "32 mm" }],
  };
  const text = JSON.stringify(record);
  const page = `<!doctype html><html><body><template id="sheet-record">${text}</template></body></html>`;
  const stream = [
    Buffer.from("%PDF-1.7\n1 0 obj\nstream\n"),
    deflateSync(text),
    Buffer.from("\nendstream\nendobj\n"),
  ];
  return [Buffer.from(page), Buffer.concat(stream)];
}

/** A schedule in both of its forms. */
export function scheduleSeeds(): readonly string[] {
  // What the file is made of; the rest of a followed schedule enters no line of it.
  const followed = {
    schedule: {
      angle: Float64Array.from({ length: 12 }, (_, k) => (k * Math.PI) / 36),
      ...{ lead: 0.01, torqueTime: 0.005, jerkTime: 0.02, demand: { speed: 0.5, acceleration: 0.5 } },
    },
    step_s: 0.005,
    table: { angle: Float64Array.of(0, Math.PI / 2), flow: Float64Array.of(0, 4.8) },
    dutyFlow_kg_s: 4,
  } as unknown as FollowedSchedule;
  const head = { valve: "Petrel", case: "duty", valve_file_sha256: hash, model: "0.2.0" };
  const table = scheduleTable(followed, head);
  return (["csv", "c"] as const).map((form) => scheduleText(table, form, sha256));
}
