import { describe, expect, it } from "vitest";
import { Refusal } from "../../src/fault/index.js";
import { columns, matters, nominalOf, planFor } from "../../src/predict/index.js";
import { dossierOf, having, petrel } from "./valveFile.js";

/** Every leaf of nested data, as a path. */
function leaves(item: unknown, path = ""): readonly string[] {
  if (typeof item !== "object" || item === null) return [path];
  return Object.entries(item).flatMap(([name, below]) =>
    leaves(below, Array.isArray(item) ? `${path}[${name}]` : path === "" ? name : `${path}.${name}`),
  );
}

/** Without the correlation: it names two of the inputs, and a file that drops one of them must drop it too. */
const whole = having(petrel(), { correlations: undefined });
const definition = "command-to-90-flow";
const complete = nominalOf(planFor(dossierOf(whole), "duty"), definition);

/** What no figure of the duty rests on: words, names, other cases, limits, ratings. */
const unneeded =
  /^(coldturn|name|description)$|^cases|\.(origin|because|name|material|collar_material)$|^duty\.(capacity_margin|largest_bore_velocity|probability|margin_rule|margin_phase|close_within\.no_faster_than)|^duty\.throttle\.step|winding_limit|rated_torque|momentary_torque|undervoltage/;

/** Without these there is another file altogether: what materials fill, cases of half a line. */
const kept = /^(coldturn|cases)|material$|^duty\.(margin_phase|close_within)/;

/** Figures that may change or go where a part of the file is missing; by default all that build on it. */
const flow = /^(mass-flow|valve-drop|capacity-margin|bore-velocity|choke-ratio|cavitation-ratio|flow-step)$/;
const reach: readonly (readonly [fields: RegExp, figures: RegExp])[] = [
  [/^duty\.mass_flow$/, /^(capacity-margin|choke-ratio|cavitation-ratio|flow-step)$/],
  [/^duty\.largest_valve_drop$/, /^capacity-margin$/],
  [/^duty\.throttle\.lowest$/, /^(choke-ratio|cavitation-ratio|flow-step)$/],
  [/^duty\.open_within/, /^(running-margin|torque-margin|motorisation-margin)$/],
  [/^duty\.close_within/, /^(torque-margin|motorisation-margin)$/],
  [/^duty\.cycles|heat_capacity|winding_to_case|case_to_ambient/, /^winding-temperature$/],
  [/backlash|resolution/, /^flow-step$/],
  [
    /^drive|^valve\.inertia|^duty\.(motor|gearbox)_temperature/,
    /^(?!mass-flow|valve-drop|capacity-margin|bore-velocity|choke-ratio|cavitation-ratio|breakaway-torque|running-torque)/,
  ],
  [
    /^valve\.(seat|packing|stem|ice_torque|support)|^duty\.(valve_temperature|dwell|ambient_pressure)/,
    /^(?!mass-flow|valve-drop|capacity-margin|bore-velocity)/,
  ],
  [/./, /./],
];

function figuresReachedBy(path: string): RegExp {
  return reach.find(([fields]) => fields.test(path))?.[1] ?? /./;
}

/** A value with limits or an origin goes as a whole: half of it is a fault of its own. */
function wholeValue(path: string): string {
  return path.replace(/\.(value|nominal|low|high|from|to|origin|because)$/, "");
}

describe("the Petrel valve without one of its inputs", () => {
  const all = [...new Set(leaves(whole))];
  const paths = [...new Set(all.filter((path) => !unneeded.test(path)).map(wholeValue))];

  it.each(paths)("%s: only what needs it is not known", (path) => {
    let nominal: ReturnType<typeof nominalOf>;
    let plan: ReturnType<typeof planFor>;
    try {
      plan = planFor(dossierOf(having(whole, { [path]: undefined })), "duty");
      nominal = nominalOf(plan, definition);
    } catch (error) {
      // A refusal in words is an answer too; here none is called for.
      expect(error).toBeInstanceOf(Refusal);
      throw error;
    }
    const may = figuresReachedBy(path);
    columns.forEach(({ id }, j) => {
      const before = complete.row[j] ?? Number.NaN;
      const after = nominal.row[j] ?? Number.NaN;
      if (!may.test(id)) expect(after, id).toBe(before);
    });
    for (const matter of matters) {
      if (matter === "profile") continue;
      const lacks = plan.missing[matter];
      const answered = {
        flow: nominal.flow,
        torque: nominal.torque,
        drive: 1,
        motion: nominal.opening,
        heat: 1,
      }[matter];
      expect(answered === undefined, matter).toBe(
        lacks.length > 0 && matter !== "drive" && matter !== "heat",
      );
    }
  });

  const idle = all.filter((path) => unneeded.test(path) && !kept.test(path));
  const words = idle.filter((path) => /\.(origin|because|name)$/.test(path));

  it("origins, reasons and names, all of them at once: nothing changes", () => {
    expect(words.length).toBeGreaterThan(100);
    const data = having(whole, Object.fromEntries(words.map((path) => [path, undefined])));
    expect(nominalOf(planFor(dossierOf(data), "duty"), definition).row).toEqual(complete.row);
  });

  const others = idle.filter((path) => !words.includes(path));
  it.each([...new Set(others.map((path) => path.replace(/\.value$/, "")))])("%s: nothing changes", (path) => {
    const data = having(whole, { [path]: undefined });
    expect(nominalOf(planFor(dossierOf(data), "duty"), definition).row).toEqual(complete.row);
  });

  it("names the field that is missing, under every matter that needs it", () => {
    const missing = (path: string) =>
      planFor(dossierOf(having(whole, { [path]: undefined })), "duty").missing;
    expect(missing("valve.seat.preload")).toMatchObject({
      flow: [],
      torque: ["valve.seat.preload"],
      drive: [],
      motion: ["valve.seat.preload"],
      heat: ["valve.seat.preload"],
    });
    expect(missing("drive.motor.resistance")).toMatchObject({
      flow: [],
      torque: [],
      drive: ["drive.motor.resistance"],
      motion: ["drive.motor.resistance"],
    });
    expect(missing("duty.cycles.count")).toMatchObject({ motion: [], heat: ["duty.cycles.count"] });
    expect(missing("line.upstream.drop").flow).toEqual(["line.upstream.drop"]);
    expect(missing("duty.fluid").flow).toContain("duty.fluid");
  });

  it("has every figure of the row when nothing is missing but a stall", () => {
    const absent = columns.filter((_, j) => Number.isNaN(complete.row[j] ?? Number.NaN)).map(({ id }) => id);
    expect(absent).toEqual(["stall-angle", "lacking-torque"]);
    expect(columns.filter(({ id }) => flow.test(id))).toHaveLength(7);
  });
});
