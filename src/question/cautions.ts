/**
 * What can hurt people, question by question. Short, and no instruction: local codes and licensed
 * practice decide. A caution about a hazard is left out only where every fluid is given and none has it:
 * what nobody gave counts as dangerous.
 */
import { type InletLiquid, inletLiquid, inletNames } from "../substance/index.js";

/** What the fluids and temperatures of a valve bring with them. */
type Hazard = "oxidiser" | "fuel" | "cold";

interface HazardCaution {
  readonly of: Hazard;
  readonly words: string;
}

/** Below this, frost and cold burns are at hand; common practice, no source [K]. */
const coldBelow = 233;

/** The cautions that belong to a question. @param id of the question */
export function cautionsOf(id: string, hazards: ReadonlySet<Hazard>): readonly string[] {
  return (cautions[id] ?? []).flatMap((caution) => {
    if (typeof caution === "string") return [caution];
    return hazards.has(caution.of) ? [caution.words] : [];
  });
}

/** The part of some conditions that hazards follow from. */
interface Given {
  readonly fluid?: string | undefined;
  readonly fluid_temperature?: { readonly value: number } | undefined;
  readonly valve_temperature?: { readonly value: number } | undefined;
}

/** Hazards of several conditions together, as the duty and a case: a part tested in nitrogen will see oxygen later. */
export function hazardsOf(...given: readonly Given[]): ReadonlySet<Hazard> {
  const reactions = given.map(({ fluid: name }) => reactionOf(name));
  const temperatures = given.flatMap(({ fluid_temperature, valve_temperature }) =>
    [fluid_temperature, valve_temperature].flatMap((one) => (one === undefined ? [] : [one.value])),
  );
  const isOpen = reactions.includes(undefined);
  const found: Hazard[] = [];
  if (isOpen || reactions.includes("oxidiser")) found.push("oxidiser");
  if (isOpen || reactions.includes("fuel")) found.push("fuel");
  if (temperatures.length === 0 || temperatures.some((value) => value < coldBelow)) found.push("cold");
  return new Set(found);
}

/** Part of a fluid in a fire; undefined where nobody gave it. */
function reactionOf(name: string | undefined): InletLiquid["reaction"] | undefined {
  if (name === "none") return "inert";
  return name !== undefined && inletNames.includes(name) ? inletLiquid(name).reaction : undefined;
}

/** Cautions by the id of a question. */
const cautions: Readonly<Record<string, readonly (string | HazardCaution)[]>> = {
  flow: [
    "A line that has carried liquid can hold pressure and liquid after the flow has stopped: isolate, vent and prove it empty before anything is opened.",
  ],
  turning: [
    "A motor-driven ball shears what reaches into its port, and stem and coupling catch fingers and sleeves: cut the supply and lock it out before hands come near.",
    "Ice and frost raise the torque without warning; a valve that sticks may let go all at once.",
  ],
  opening: [
    "Keep people out of reach of stem, coupling and line while the drive is powered, also when the valve is believed stuck.",
    "A valve that does not open or close on command needs a second way to reach a stopped stand.",
  ],
  throttling: ["A part opening that is held by a motor is lost with its supply."],
  impact: ["A stop hit at speed can throw parts: stand behind a barrier for the first powered strokes."],
  cold: [
    "Purge gas, nitrogen above all, and boil-off displace the air: measure oxygen where people are.",
    {
      of: "cold",
      words: "Cryogenic liquid and cold metal burn skin and eyes: wear face and hand protection.",
    },
    {
      of: "cold",
      words: "Cold surfaces below the boiling point of air collect liquid that is rich in oxygen.",
    },
    {
      of: "cold",
      words:
        "A cool-down lets out far more liquid and vapour than it needs. They burn skin with cold, choke, and may feed a fire: lead them to where nobody is and nothing can catch fire.",
    },
  ],
  trapped: [
    "Liquid shut in between two closed elements bursts them as it warms: every such volume needs a relief device laid out by licensed people under local law.",
    "A cavity or a segment can hold pressure when the line shows none: open nothing before each volume is vented and warm.",
    {
      of: "cold",
      words:
        "A vent hole and a relief device throw cold liquid and gas: lead them to where they reach nobody, and where an oxidiser or a fuel may go.",
    },
  ],
  oxygen: [
    "This page clears nothing: specialists in ignition and the local codes decide, and nothing here stands in their place.",
    "A test with nitrogen, helium or water shows nothing of ignition.",
    {
      of: "oxidiser",
      words:
        "Systems with an oxidiser ignite from particles, compression, friction and grease: materials, lubricants and cleanliness are for an oxygen specialist to accept, under local codes.",
    },
    {
      of: "oxidiser",
      words: "Clean, inspect and record before an oxidiser is admitted.",
    },
    {
      of: "fuel",
      words:
        "A fuel that leaks or is vented burns or explodes with air: purge with inert gas before and after, watch for leaks, keep people and sources of ignition away.",
    },
  ],
  line: ["A fast closing sends a pressure wave through the line: rate the line and its supports for it."],
  start: ["An engine start is remote business: nobody within the stand's exclusion distance."],
  test: [
    "A test under pressure stores energy, with gas far more than with liquid: pressurise remotely and keep the distance that local codes ask for.",
  ],
  stand: [
    "This is the say of a model. The go for a test belongs to the responsible people on the stand, under local codes and licensed practice.",
  ],
};
