/** Pictures of the turning torque: what the valve asks for against what the drive gives, over the opening. */
import type { Figure, Mark } from "../picture/index.js";
import type { TorqueCurve } from "../predict/index.js";
import { bandFor, type Context } from "./context.js";
import { inUnit } from "./inUnit.js";
import { valueWords } from "./words.js";

/** The figures of question 2; none where the torque is not known. */
export function turningFigures(context: Context): readonly Figure[] {
  const torque = context.prediction.nominal.torque;
  if (torque === undefined) return [];
  return [torqueFigure(context, torque.opening), torqueFigure(context, torque.closing)];
}

function torqueFigure(context: Context, curve: TorqueCurve): Figure {
  const { drive } = context.prediction.nominal;
  const atSpeed = curve.sense === "opening" ? drive?.atWantedSpeed_Nm : drive?.atWantedClosingSpeed_Nm;
  const angle = inUnit(curve.angle_rad, "angle", "deg");
  const from = curve.sense === "opening" ? 0 : (angle.at(-1) ?? 0);
  const start = valueWords(curve.startTotal_Nm, undefined, "torque", "N m");
  const greatest = valueWords(Math.max(...curve.running_Nm), undefined, "torque", "N m");
  const gives =
    drive === undefined
      ? "what the drive gives is not known"
      : `the drive gives ${valueWords(drive.standstill_Nm, undefined, "torque", "N m")} at standstill${
          atSpeed === undefined
            ? ""
            : ` and ${valueWords(atSpeed, undefined, "torque", "N m")} at the speed wanted on ${curve.sense}`
        }`;
  return {
    kind: "plot",
    id: `turning-${curve.sense}`,
    title: `Torque at the stem, ${curve.sense}`,
    words: `Torque at the stem against opening, ${curve.sense}: ${start} at the start of motion, at most ${greatest} while it turns; ${gives}.`,
    x: { label: "Opening from closed", unit: "deg" },
    y: { label: "Torque at the stem", unit: "N m" },
    marks: [
      ...contributionLines(curve, angle),
      { kind: "line", role: "demand", label: "at rest", x: angle, y: curve.breakaway_Nm },
      { kind: "line", role: "demand", label: "turning", x: angle, y: curve.running_Nm },
      startPoint(context, curve, from),
      ...available(drive?.standstill_Nm, "drive at standstill", angle),
      ...available(atSpeed, "drive at the speed wanted", angle),
    ],
  };
}

/** Contributions that are there at all, largest first; they add up to the torque while turning. */
function contributionLines(curve: TorqueCurve, angle: readonly number[]): readonly Mark[] {
  const size = (values: readonly number[]) => Math.max(...values.map(Math.abs));
  return curve.lines
    .filter(({ torque_Nm }) => size(torque_Nm) > 0)
    .sort((a, b) => size(b.torque_Nm) - size(a.torque_Nm))
    .map(({ name, torque_Nm }) => ({ kind: "line", role: "neutral", label: name, x: angle, y: torque_Nm }));
}

/** Breakaway at the start of the stroke, dwell included, with its band on opening. */
function startPoint(context: Context, curve: TorqueCurve, from: number): Mark {
  const band = curve.sense === "opening" ? bandFor(context, "breakaway-torque") : undefined;
  return {
    kind: "points",
    role: "demand",
    label: "start of motion",
    x: [from],
    y: [curve.startTotal_Nm],
    ...(band === undefined ? {} : { low: [band.low], high: [band.high] }),
  };
}

function available(torque: number | undefined, label: string, angle: readonly number[]): readonly Mark[] {
  if (torque === undefined) return [];
  const ends = [angle[0] ?? 0, angle.at(-1) ?? 0];
  return [{ kind: "line", role: "available", label, x: ends, y: [torque, torque] }];
}
