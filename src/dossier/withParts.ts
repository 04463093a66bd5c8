/**
 * A dossier with other parts in place: what a part describes takes the place of what the file declares of
 * the part before, everything else stays. A value of the old part that the new one does not give is not
 * known, for it belonged to the old one.
 *
 * Of the valve the seats stay as declared: material, friction, ratios. Two of their values depend on size
 * and follow it, as the same seats and the same packing on another ball and stem would have them:
 *
 *   preload         F' = F d_seat'/d_seat           the same force per length of contact circle
 *   packing torque  T' = T (d_stem'/d_stem)^2       the same height and stress, friction at the radius
 */
import type { Declared, Law } from "../quantity/index.js";
import type { Dossier } from "./dossier.js";
import type { Part } from "./part.js";
import { itemAt, withItem } from "./path.js";
import type { ValveFile } from "./schema.js";

/** How a drive is commanded, and the current at which its driver limits. */
export interface CommandChoice {
  readonly kind: "full" | "trapezoid" | "jerk-limited";
  /** Declared values by the path at which they stand in a valve file. */
  readonly values: Readonly<Record<string, Declared>>;
}

/** The parts that take the place of the declared ones; one left out stays. */
export interface PartsInPlace {
  readonly valve?: Part;
  readonly motor?: Part;
  /** From motor to stem, in place of all declared stages. */
  readonly stages?: readonly Part[];
  readonly battery?: Part;
  readonly command?: CommandChoice;
}

/** What of the section `valve` belongs to the valve that is taken out. */
export const ofTheValve = [
  "part",
  "build",
  "nominal_size",
  "support",
  "bore",
  "ball_diameter",
  "seat_contact_diameter",
  "flow_coefficient",
  "contraction",
  "characteristic",
  "recovery",
  "cavitation_onset",
  "equalising_angle",
  "stem.diameter",
  "stem.collar_outer_diameter",
  "stem.collar_inner_diameter",
  "stem.stiffness",
  "stem.sections",
  "stem.joints",
  "bearing.diameter",
  "inertia",
] as const;

/** What of the section `drive.supply` belongs to the battery; the cable stays. */
export const ofTheBattery = ["part", "build", "open_circuit_voltage", "resistance"] as const;

/** Puts parts in place of the declared ones. The dossier itself stays as it is. */
export function withParts(dossier: Dossier, parts: PartsInPlace): Dossier {
  let { valve } = dossier;
  const cleared: string[] = [];
  const clear = (path: string) => {
    if (itemAt(valve, path) !== undefined) valve = withItem(valve, path, undefined);
    cleared.push(path);
  };
  const put = (at: string, part: Part) => {
    for (const [inside, item] of part.values) valve = withItem(valve, `${at}.${inside}`, item);
    valve = withItem(valve, `${at}.part`, part.name);
  };
  if (parts.valve !== undefined) {
    const before = valve.valve;
    for (const name of ofTheValve) clear(`valve.${name}`);
    put("valve", parts.valve);
    valve = scaledSeats(valve, before);
  }
  if (parts.motor !== undefined) {
    clear("drive.motor");
    put("drive.motor", parts.motor);
  }
  if (parts.stages !== undefined) {
    cleared.push("drive.stages");
    valve = withItem(
      valve,
      "drive.stages",
      parts.stages.map(() => ({})),
    );
    parts.stages.forEach((stage, j) => {
      put(`drive.stages[${j}]`, stage);
      valve = withItem(valve, `drive.stages[${j}].name`, stage.name);
    });
  }
  if (parts.battery !== undefined) {
    for (const name of ofTheBattery) clear(`drive.supply.${name}`);
    put("drive.supply", parts.battery);
  }
  valve = withPossibleCorrelations(valve);
  if (parts.command !== undefined) valve = withCommand(valve, parts.command);
  return { ...dossier, valve, faulty: new Set([...left(dossier.faulty, cleared), ...faultsOf(parts)]) };
}

/** Dependences whose two values are still there and uncertain; the others have nothing to tie together. */
function withPossibleCorrelations(valve: ValveFile): ValveFile {
  const { correlations } = valve;
  if (correlations === undefined) return valve;
  const isUncertain = (path: string | undefined) => {
    const item = path === undefined ? undefined : itemAt(valve, path);
    return (
      typeof item === "object" && item !== null && "law" in item && Reflect.get(item, "value") !== undefined
    );
  };
  const kept = correlations.filter(({ first, second }) => isUncertain(first) && isUncertain(second));
  return kept.length === correlations.length ? valve : withItem(valve, "correlations", kept);
}

function withCommand(valve: ValveFile, { kind, values }: CommandChoice): ValveFile {
  let changed = withItem(valve, "drive.command.kind", kind);
  for (const [path, declared] of Object.entries(values)) changed = withItem(changed, path, declared);
  return changed;
}

/** Preload and packing torque of the declared seats and packing, on the new ball and stem. */
function scaledSeats(valve: ValveFile, before: ValveFile["valve"]): ValveFile {
  let changed = valve;
  const scale = (path: string, factor: number) => {
    // The reader puts nothing but a declared value at a quantity field.
    const declared = itemAt(changed, path) as Declared | undefined;
    if (declared !== undefined && Number.isFinite(factor) && factor !== 1)
      changed = withItem(changed, path, scaled(declared, factor));
  };
  const now = valve.valve;
  const ratio = (new_: Declared | undefined, old: Declared | undefined) =>
    (new_?.value ?? Number.NaN) / (old?.value ?? Number.NaN);
  scale("valve.seat.preload", ratio(now?.seat_contact_diameter, before?.seat_contact_diameter));
  scale("valve.packing.torque", ratio(now?.stem?.diameter, before?.stem?.diameter) ** 2);
  return changed;
}

/** A declared value times a factor, its law with it. */
function scaled(declared: Declared, factor: number): Declared {
  const words = `${declared.readAs}, times ${Number(factor.toPrecision(3))} for the size of the part`;
  return { ...declared, value: factor * declared.value, law: scaledLaw(declared.law, factor), readAs: words };
}

function scaledLaw(law: Law, factor: number): Law {
  switch (law.kind) {
    case "exact":
      return law;
    case "normal":
      return {
        ...law,
        mean: factor * law.mean,
        deviation: factor * law.deviation,
        low: factor * law.low,
        high: factor * law.high,
      };
    case "uniform":
      return { ...law, low: factor * law.low, high: factor * law.high };
    case "triangular":
      return { ...law, low: factor * law.low, mode: factor * law.mode, high: factor * law.high };
  }
}

/** Fields with a fault that are not of a part that was taken out. */
function left(faulty: ReadonlySet<string>, cleared: readonly string[]): readonly string[] {
  const isCleared = (path: string) =>
    cleared.some((at) => path === at || path.startsWith(`${at}.`) || path.startsWith(`${at}[`));
  return [...faulty].filter((path) => !isCleared(path));
}

/** Fields that the parts themselves give with a fault. */
function faultsOf({ valve, motor, stages, battery }: PartsInPlace): readonly string[] {
  const of = (at: string, part: Part | undefined) => (part?.faulty ?? []).map((inside) => `${at}.${inside}`);
  return [
    ...of("valve", valve),
    ...of("drive.motor", motor),
    ...(stages ?? []).flatMap((stage, j) => of(`drive.stages[${j}]`, stage)),
    ...of("drive.supply", battery),
  ];
}
