/** Which caveats of a prediction belong to which question. */
import type { Notice } from "../fault/index.js";
import type { Context } from "./context.js";

/** Notices about these fields belong to turning or opening; all others to the flow. */
const turningFields = ["valve_temperature"];
const openingFields = ["motor_temperature", "gearbox_temperature"];

/** The caveats that belong to one question. */
export function noticesFor(context: Context, id: "flow" | "turning" | "opening"): readonly Notice[] {
  const { notices } = context.prediction;
  const isAbout = ({ field = "" }: Notice, fields: readonly string[]) =>
    fields.some((name) => field.split(".").includes(name));
  switch (id) {
    case "turning":
      return notices.filter((notice) => isAbout(notice, turningFields));
    case "opening":
      return [...notices.filter((notice) => isAbout(notice, openingFields)), ...impossibleSamples(context)];
    case "flow":
      return notices.filter((notice) => !isAbout(notice, [...turningFields, ...openingFields]));
  }
}

/** Samples that describe no valve count neither for nor against a limit. */
function impossibleSamples({ prediction }: Context): readonly Notice[] {
  const { band } = prediction;
  if (band === undefined || band.impossible === 0) return [];
  return [
    {
      code: "samples-impossible",
      text: `${band.impossible} of ${band.samples} samples describe no valve that could be built, as a bore wider than its ball; they are left out of band and probabilities`,
    },
  ];
}
