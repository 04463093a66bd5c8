/** The places that the line names exist. */
import { expect, it } from "vitest";
import { isFaulty, readDossier } from "../../src/dossier/index.js";

const line = (more: string) =>
  readDossier({
    valve: {
      path: "valve.yaml",
      text: `line:\n  pipes:\n    - { name: feed, side: upstream, length: 0.7 m }\n${more}`,
    },
  });

it.each([
  [
    "line.pipes[1].branches_after",
    "    - { name: tap, side: upstream, length: 0.2 m, branches_after: fed }\n",
  ],
  ["line.components[0].after", "  components:\n    - { name: filter, after: fed, drop: 0.5 bar }\n"],
  ["line.components[0].after", "  components:\n    - { name: filter, after: filter, drop: 0.5 bar }\n"],
  ["line.stations[0].of", "  stations: [{ of: fed }]\n"],
])("%s that is not there is a fault at its place, and is not known", (path, more) => {
  const { dossier, faults } = line(more);
  expect(faults).toMatchObject([{ code: "line-place-unknown", where: { field: path } }]);
  if (!more.includes("after: filter")) expect(faults[0]?.near).toBe("feed");
  expect(isFaulty(dossier, path)).toBe(true);
});

it("places that are there are none, and a pipe without a name leaves all of them open", () => {
  const named =
    "    - { name: tap, side: upstream, length: 0.2 m, branches_after: feed }\n  components: [{ name: filter, after: feed, drop: 0.5 bar }]\n  stations: [{ of: filter }, { of: feed, distance: 0.7 m }]\n";
  expect(line(named).faults).toEqual([]);
  expect(line("    - { side: upstream, length: 0.2 m, branches_after: what comes }\n").faults).toEqual([]);
});

const priming = (gas: string, temperature: string) =>
  `  priming: { state: empty, gas: ${gas}, gas_temperature: ${temperature} }\n`;

it.each([
  ["fluid-unknown", "line.priming.gas", priming("nitrogn", "290 K")],
  ["fluid-below-triple-point", "line.priming.gas_temperature", priming("water", "195 K")],
])("a gas that is none there: %s at %s", (code, field, more) => {
  expect(line(more).faults).toMatchObject([{ code, where: { field } }]);
});

it.each([
  ["engine.partner.fluid", "{ fluid: propan, fluid_temperature: 288 K, supply_pressure: 28 bar(a) }"],
  [
    "engine.partner.fluid_temperature",
    "{ fluid: propane, fluid_temperature: 400 K, supply_pressure: 28 bar(a) }",
  ],
])("%s that does not enter the other valve as a liquid is a fault", (field, partner) => {
  const text = `engine:\n  partner: ${partner}\n`;
  expect(readDossier({ valve: { path: "valve.yaml", text } }).faults).toMatchObject([{ where: { field } }]);
});

it.each([
  [
    "engine.own.injector_drop",
    "line.downstream.drop",
    "line: { downstream: { drop: 8 bar, at: 4 kg/s } }\nengine: { own: { injector_drop: 9 bar } }\n",
  ],
  [
    "engine.partner.injector_drop",
    "engine.partner.downstream_drop",
    "engine: { partner: { downstream_drop: 8 bar, injector_drop: 9 bar } }\n",
  ],
])("%s above %s, whose part it is, is a fault and not known", (field, whole, text) => {
  const { dossier, faults } = readDossier({ valve: { path: "valve.yaml", text } });
  expect(faults).toMatchObject([{ code: "injector-above-drop", where: { field } }]);
  expect(faults[0]?.mend).toContain(whole);
  expect(isFaulty(dossier, field)).toBe(true);
  const equal = text.replace("9 bar", "8 bar");
  expect(readDossier({ valve: { path: "valve.yaml", text: equal } }).faults).toEqual([]);
});
