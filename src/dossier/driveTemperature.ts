/**
 * Temperatures of gearbox and motor from the extension, where a case leaves them open. Their spread is that
 * of the declared values to first order, each moved by one standard deviation by itself [gum-2008, 5.1].
 */
import { lawDeviation } from "../quantity/index.js";
import { heatInputs, nominalHeatState } from "./heatInputs.js";
import type { Conditions, ValveFile } from "./schema.js";

/** One derived temperature. */
export interface DriveTemperature {
  readonly path: string;
  /** [K], with its standard deviation. */
  readonly value: number;
  readonly deviation: number;
  readonly coldFor: number | undefined;
}

/** Derives those that are left out; none where anything for them is missing. */
export function driveTemperatures(
  file: ValveFile,
  conditions: Conditions,
  isFaulty: (path: string) => boolean,
): readonly DriveTemperature[] {
  if (file.valve?.cold?.extension === undefined) return [];
  const at = pathOf(file, conditions);
  const open = (["gearbox", "motor"] as const).filter(
    (body) => conditions[`${body}_temperature`] === undefined && !isFaulty(`${at}.${body}_temperature`),
  );
  if (open.length === 0) return [];
  const inputs = heatInputs(file, conditions, at, isFaulty);
  const nominal = nominalHeatState(inputs, isFaulty);
  if (nominal === undefined) return [];
  const spreads = new Map(
    inputs.values.flatMap(({ path, declared }) => {
      const deviation = declared === undefined ? 0 : lawDeviation(declared.law);
      return declared === undefined || deviation === 0 ? [] : [[path, declared.value + deviation] as const];
    }),
  );
  const moves = [...spreads].map(([path, value]) => {
    const moved = nominalHeatState(inputs, isFaulty, new Map([[path, value]]))?.atStroke;
    return {
      gearbox: (moved?.gearbox ?? Number.NaN) - nominal.atStroke.gearbox,
      motor: (moved?.motor ?? Number.NaN) - nominal.atStroke.motor,
    };
  });
  return open.flatMap((body) => {
    const deviation = Math.sqrt(moves.reduce((sum, move) => sum + move[body] ** 2, 0));
    if (Number.isNaN(deviation)) return [];
    const value = nominal.atStroke[body];
    return [{ path: `${at}.${body}_temperature`, value, deviation, coldFor: nominal.coldFor }];
  });
}

function pathOf({ cases = [] }: ValveFile, conditions: Conditions): string {
  const id = "id" in conditions ? conditions.id : undefined;
  const index = cases.findIndex((one) => one.id !== undefined && one.id === id);
  return index < 0 ? "duty" : `cases[${index}]`;
}
