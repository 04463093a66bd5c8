/** Says where a temperature of the drive comes from when nobody declared it. */
import type { Conditions } from "../dossier/index.js";
import type { Notice } from "../fault/index.js";

const bodies = [
  { name: "gearbox_temperature", follows: "the gears' no-load torques" },
  { name: "motor_temperature", follows: "winding resistance and torque constant" },
] as const;

/** One notice for each temperature that follows from the extension. @param at path of the conditions */
export function driveTemperatureNotices(conditions: Conditions, at: string): readonly Notice[] {
  return bodies.flatMap(({ name, follows }) => {
    const declared = conditions[name];
    if (declared?.origin !== "default") return [];
    return [
      {
        code: "drive-temperature-derived",
        field: `${at}.${name}`,
        text: `follows from valve.cold.extension, ${declared.text}: ${follows} are those at this temperature`,
      },
    ];
  });
}
