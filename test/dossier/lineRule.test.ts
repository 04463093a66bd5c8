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

it("two places of one name: the second has none, and what names it is not known", () => {
  const more =
    "    - { name: tap, side: upstream, length: 0.2 m, branches_after: feed }\n  components: [{ name: feed, after: feed }]\n  stations: [{ of: tap }]\n";
  const { dossier, faults } = line(more);
  expect(faults).toMatchObject([{ code: "line-name-repeated", where: { field: "line.components[0].name" } }]);
  for (const path of ["line.components[0].name", "line.components[0].after", "line.pipes[1].branches_after"])
    expect(isFaulty(dossier, path)).toBe(true);
  expect(isFaulty(dossier, "line.stations[0].of")).toBe(false);
});

it("a gas ahead that is a liquid where it stands is a fault: at the back pressure, with an engine at the ambient one", () => {
  // Propane boils at 231 K at one atmosphere and at about 325 K at 18 bar [nist-webbook, from memory].
  const read = (temperature: string, engine = "") =>
    readDossier({
      valve: {
        path: "valve.yaml",
        text: `duty: { fluid: ethanol, back_pressure: 18 bar(a), ambient_pressure: 1.013 bar(a) }\n${engine}line:\n${priming("propane", temperature)}`,
      },
    }).faults.map(({ code, where }) => [code, where.field]);
  const fault = [["priming-gas-liquid", "line.priming.gas"]];
  expect(read("195 K")).toEqual(fault);
  expect(read("290 K")).toEqual(fault);
  expect(read("290 K", "engine: { side: fuel }\n")).toEqual([]);
  expect(read("195 K", "engine: { side: fuel }\n")).toEqual(fault);
  expect(read("360 K")).toEqual([]);
});

const engine = (lines: string) =>
  readDossier({ valve: { path: "valve.yaml", text: `engine:\n  velocity_source: a code\n${lines}` } });

it("mixture ratios that do not ascend are a fault at their row, and the table is not known", () => {
  const { dossier, faults } = engine(
    "  box: { least: 1, most: 3 }\n  characteristic_velocity: [{ mixture_ratio: 2, velocity: 1700 m/s }, { mixture_ratio: 1, velocity: 1500 m/s }]\n",
  );
  expect(faults).toMatchObject([
    { code: "table-not-ascending", where: { field: "engine.characteristic_velocity[1].mixture_ratio" } },
  ]);
  expect(isFaulty(dossier, "engine.characteristic_velocity")).toBe(true);
});

it("a volume unlike the pipes behind the valve is told, by more than a twentieth", () => {
  // 0.5 m of 40 mm hold 0.628 L.
  const codes = (volume: string) =>
    engine(
      `  own: { volume: ${volume} }\nline:\n  pipes: [{ name: manifold, side: downstream, length: 0.5 m, bore: 40 mm }, { name: tap, side: downstream, branches_after: manifold, length: 9 m, bore: 40 mm }]\n`,
    ).notices.map(({ code, field }) => [code, field]);
  expect(codes("0.65 L")).toEqual([]);
  expect(codes("0.68 L")).toEqual([["volume-unlike-pipes", "engine.own.volume"]]);
});

it("a table of characteristic velocities without its source is told", () => {
  const table = "engine:\n  characteristic_velocity: [{ mixture_ratio: 2, velocity: 1700 m/s }]\n";
  const codes = (text: string) =>
    readDossier({ valve: { path: "valve.yaml", text } }).notices.map(({ code }) => code);
  expect(codes(table)).toEqual(["velocity-source-missing"]);
  expect(codes(`${table}  velocity_source: a code\n`)).toEqual([]);
});
