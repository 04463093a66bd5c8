/** A valve in oxygen of which everything is declared, and question 8 of it with a few values changed. */
import { expect } from "vitest";
import { parseDocument } from "yaml";
import { applyDefaults, readDossier } from "../../src/dossier/index.js";
import type { Prediction } from "../../src/predict/index.js";
import { answerTo } from "../../src/question/answers.js";
import { contextOf } from "../../src/question/context.js";
import type { Answer } from "../../src/question/index.js";
import { oxygen } from "../../src/question/oxygen.js";
import { textOf } from "../project/files.js";
import { answerNumbered, answersTo, type Edits, predictionOf } from "./answering.js";

const who = "who: design, when: 2031-03-02";
export const text = `${textOf("test/question/hand.yaml")
  .replace("fluid: water", "fluid: oxygen")
  .replaceAll("fluid_temperature: 20 degC", "fluid_temperature: 91 K")
  .replaceAll("valve_temperature: 20 degC", "valve_temperature: 92 K")
  .replace("  seat:\n", "  cold: { contact_width: 1 mm }\n  seat:\n")}
oxygen:
  parts:
    - { name: ball, kind: metal, material: bronze, ${who}, exposed: stream, impinged: "yes", struck: "no", rubs: seats, contact: ball on seat, mass: 0.4 kg, thickness: 8 mm }
    - { name: stem, kind: metal, material: a286, ${who}, exposed: cavity, impinged: "no", struck: "no", rubs: bush, contact: stem in bush, contact_pressure: 3 MPa, rubbing_radius: 7 mm, mass: 0.1 kg, thickness: 7 mm, depth: 16 mm, mouth: 15 mm }
    - { name: bush, kind: metal, material: bronze, ${who}, exposed: cavity, impinged: "no", struck: "no", mass: 30 g, thickness: 2 mm, depth: 16 mm, mouth: 15 mm }
    - { name: seats, kind: polymer, material: ptfe, ${who}, exposed: stream, impinged: "no", struck: "no", beside: ball, mass: 24 g }
    - { name: grease, kind: lubricant, material: pfpe-grease, ${who}, exposed: sealed, impinged: "no", struck: "no", rubs: nothing, beside: stem, mass: 0.2 g, batch: PG-7, tested: report L-12, temperature: 250 K }
  configuration:
    burrs: { answer: "no", ${who} }
    drilled_intersections: { answer: "no", ${who} }
    dead_ends: { answer: "no", ${who} }
    fast_upstream: { answer: "no", ${who} }
    gas_at_start: { answer: "no", ${who} }
    particle_filter: { answer: "yes", rating: 40 um, ${who} }
    lubricated: { answer: "yes", ${who} }
  compression: { initial_pressure: 1 bar(a), initial_temperature: 20 degC }
  ignition_margin: 100 K
  start_gas: { temperature: 20 degC }
  cleanliness: { largest_particle: 300 um, residue: 100 mg/m2 }
  cleaning: { procedure: "C-4, 2", method: "ultrasonic", largest_particle: 180 um, residue: 15 mg/m2, inspection: "ultraviolet light", packaging: "two bags, seal 7", who: clean room, inspector: quality, when: 2031-03-02, expires: 2031-09-01 }
  continuity: { ball_to_body: 0.9 ohm, stem_to_body: 0.4 ohm, ${who} }
  drive_space: { purged: "yes", packing: 21.5 %, gearbox: 20.9 %, ${who} }
  consequence: { people: negligible, equipment: critical, test: critical, because: remote, ${who} }
  specialist: { who: oxygen panel, when: 2031-03-20, finding: accepted, document: minutes O-3 }
`;
export const day = "2031-04-01";
/** Everything anew: where an edit moves the strokes. */
export const askOn = (on: string | undefined, edits: Edits, asked = text): Promise<readonly Answer[]> =>
  answersTo(
    { text: asked, edits, samples: 0 },
    { reconciliations: [], ...(on === undefined ? {} : { day: on }) },
  );
let strokes: Promise<Prediction> | undefined;
/** The strokes of the text with question 8 of an edited section. */
async function askOfSection(edits: Edits): Promise<readonly Answer[]> {
  strokes ??= predictionOf({ text, samples: 60 });
  const document = parseDocument(text);
  for (const [path, value] of Object.entries(edits)) {
    const steps = path
      .replace(/\[(\d+)\]/g, ".$1")
      .split(".")
      .map((step) => (/^\d+$/.test(step) ? Number(step) : step));
    if (value === undefined) document.deleteIn(steps);
    else document.setIn(steps, value);
  }
  const { dossier, faults } = readDossier({ valve: { path: "valve.yaml", text: String(document) } });
  expect(faults).toEqual([]);
  const prediction = { ...(await strokes), dossier: applyDefaults(dossier, "duty").dossier };
  return [answerTo(oxygen, contextOf(prediction, { reconciliations: [], day }), [])];
}
export const ask = (edits: Edits = {}) =>
  Object.keys(edits).every((path) => path.startsWith("oxygen")) ? askOfSection(edits) : askOn(day, edits);
export const answerOf = async (edits: Edits = {}) => answerNumbered(await ask(edits), 8);
export const at = (j: number) => `oxygen.parts[${j}]`;
export const configuration = "oxygen.configuration";
