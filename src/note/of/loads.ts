/** The part of the path of the torque that a check is of, and the worst torque in it. */
import { capacityFigure, type LoadId, type PathElement, useFigure } from "../../predict/index.js";
import type { Check } from "../../question/index.js";
import type { Steps } from "../steps.js";
import { nominal, present, type Workings } from "../workings.js";
import { gearLines, motorLines } from "./drive.js";

export type Kind = PathElement["kind"];

/** The part of the path that a check is of. */
export function elementOf(of: Workings, check: Check, kinds: readonly Kind[]): PathElement {
  const found = of.own.strength.elements.find(
    ({ kind, name }) => kinds.includes(kind) && (kind === "stop" || check.name.endsWith(`, ${name}`)),
  );
  return present(found, check.name);
}

/** The load that uses the part most, and its torque. */
export function worstLoad(steps: Steps, of: Workings, element: PathElement, isSymbolT = true): void {
  const { figures } = of.own.strength;
  const uses = element.loads.flatMap((load) => {
    const use = figures.nominal[useFigure(element.id, load)] ?? Number.NaN;
    return Number.isNaN(use) ? [] : [{ load, use }];
  });
  const worst = present(uses.toSorted((a, b) => b.use - a.use)[0], "load");
  const torque = worst.use * nominal(figures, capacityFigure(element.id));
  steps.part(`The worst torque: ${loadWords[worst.load]}`);
  if (worst.load === "locked rotor" && isSymbolT) lockedRotor(steps, of, element, torque);
  else steps.given("T", "greatest torque in the part", "torque", torque, loadOrigin[worst.load]);
}

const loadWords: Readonly<Record<LoadId, string>> = {
  "locked rotor": "locked rotor",
  jammed: "ball jammed in motion",
  opening: "opening",
  closing: "closing",
  turning: "greatest slow torque of a stroke",
};

export const compliant = "peak of the compliant train, integrated step by step (docs/theory/compliant.md)";

const loadOrigin: Readonly<Record<LoadId, string>> = {
  "locked rotor": "motor torque through the gears",
  jammed: compliant,
  opening: compliant,
  closing: compliant,
  turning: "running friction and flow, brought through the stages after it",
};

/** Torque of the locked rotor in a part: no friction helps it. */
function lockedRotor(steps: Steps, of: Workings, { carries }: PathElement, used: number): void {
  motorLines(steps, of);
  gearLines(steps, of, false);
  const isLimited = Number.isFinite(of.train.currentLimit);
  if (isLimited) steps.field("i_lim", "drive.driver.current_limit", "current limit of the driver");
  steps.step("i", "current of the locked rotor", "current", isLimited ? "min(V / R, i_lim)" : "V / R");
  const last = /^drive\.stages\[(\d+)\]$/.exec(carries)?.[1];
  const stages = of.sample.stages();
  const count = last === undefined ? stages.length : Number(last) + 1;
  const through = stages.slice(0, count).map((_, j) => `n_${j + 1} * eta_${j + 1}`);
  steps.step("T", "torque in the part", "torque", ["k * i", ...through].join(" * "), used);
}
