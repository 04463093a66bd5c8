/** Holding in question 4: without power, after a loss of power in motion, and how surely a flow can be set. */
import type { Figure } from "../picture/index.js";
import type { HoldingAnswer, HoldingFigure } from "../predict/index.js";
import type { Driver, Table } from "./answer.js";
import type { Check, CheckDefinition } from "./check.js";
import { type Context, faultsAmong } from "./context.js";
import { inUnit } from "./inUnit.js";
import { judgeOwn, spreadOf, waiting } from "./judgeOwn.js";
import type { Finding } from "./question.js";
import { rankOwnDrivers } from "./rankDrivers.js";
import { bandWords, percentWords, quantityWords, valueWords } from "./words.js";

const backDrivingDefinition: CheckDefinition = {
  id: "back-driving",
  designChecks: ["self-close-runaway", "power-loss"],
  failureModes: ["no-close"],
  name: "Back-driving by hydrodynamic torque",
  dimension: "ratio",
  equation:
    "|H| / (F + D_b / c_b) <= 1 where it must hold, >= 1 at every opening where it must close or open",
  source: "leonhard-2001, statics of gears in series; derived in docs/theory/hold.md",
  assumptions: [
    "Without power the motor gives no torque; what holds is friction of ball, stem, gears and motor.",
    "Where it must hold, friction counts as in motion: vibration takes away what rest adds, and may walk even gears that lock themselves.",
  ],
};

const powerLossDefinition: CheckDefinition = {
  id: "power-loss",
  designChecks: ["power-loss"],
  failureModes: ["no-close"],
  name: "Power-loss behaviour",
  dimension: "angle",
  equation:
    "I w' = -(b N w + D + c (F + H + B w)) without current, from any instant of a stroke; angle until w = 0",
  source: "leonhard-2001, work of the resisting torques; derived in docs/theory/hold.md",
  assumptions: [
    "The winding is open once power is lost: one that is shorted brakes, and the ball stops sooner.",
    "The drive is rigid; eight instants of an opening and of a closing are looked at.",
  ],
};

const accuracyDefinition: CheckDefinition = {
  id: "position-accuracy",
  designChecks: ["position-accuracy"],
  failureModes: ["position-error"],
  name: "Position accuracy",
  dimension: "ratio",
  equation: "max (dm/d angle) (backlash + F_rest / k + sensor step) / m_duty <= accuracy wanted",
  source: "common practice, no source",
  assumptions: [
    "The whole play, the wind-up that breakaway takes and one step of the sensor add up at the worst operating opening.",
  ],
};

const loopDefinition: CheckDefinition = {
  id: "holding-error",
  designChecks: [],
  failureModes: [],
  name: "Holding under the position loop",
  dimension: "angle",
  equation:
    "e = P (theta_set - theta) - w, q' = q + m b^2/4 T e, i = m b e + q'; largest |theta - theta_set| once settled",
  source: "armstrong-helouvry-1994, hunting; derived in docs/theory/hold.md",
  assumptions: [
    "The compliant train at the nominal values, led to the opening of the lowest flow from one sixtieth of the travel before it; looked at from 1.0 to 1.5 s after.",
    "The sensor sits on the stem and reads without delay; dither and feed-forward of friction are not in it.",
  ],
};

/** What holding adds to the answer. */
export type HoldingFinding = Required<Omit<Finding, "verdict" | "notices">>;

/** Answers for holding; a case without flow has no opening to hold. */
export function holdingFinding(context: Context): HoldingFinding {
  const { fluid, outlet } = context.conditions;
  if (fluid === "none" || outlet === "dead-ended")
    return { sentence: "", checks: [], figures: [], tables: [], drivers: [] };
  const answer = context.own.holding;
  return {
    sentence: sentence(answer),
    checks: [
      backDriving(context, answer),
      powerLoss(context, answer),
      accuracy(context, answer),
      underLoop(context, answer),
    ],
    figures: figures(answer),
    tables: tables(answer),
    drivers: [
      ...driversOf(context, answer, "hold", "what turns the ball without power"),
      ...driversOf(context, answer, "coast", "the run after a loss of power"),
      ...driversOf(context, answer, "position", "the uncertainty of a position"),
    ],
  };
}

function driversOf(
  context: Context,
  { figures: found }: HoldingAnswer,
  figure: HoldingFigure,
  of: string,
): readonly Driver[] {
  return rankOwnDrivers(context, found, figure, of).map((driver) => ({
    ...driver,
    label: `${driver.label}, for ${of}`,
  }));
}

const statePath = "duty.power_loss.state";

function backDriving(context: Context, { figures: found, missing, locksItself }: HoldingAnswer): Check {
  const state = context.duty.power_loss?.state;
  if (state === undefined) return waiting(backDrivingDefinition, [...missing.hold, statePath]);
  const figure = state === "holds" ? "hold" : state;
  const needs = missing[figure];
  if (needs.length > 0) return waiting(backDrivingDefinition, needs);
  return judgeOwn(backDrivingDefinition, {
    figures: found,
    figure,
    limit:
      state === "holds"
        ? { most: 1, words: "the ball stays where it is" }
        : { least: 1, words: `the flow ${state} it from every opening` },
    wanted: context.wanted,
    unit: "%",
    assumptions: [
      state === "holds"
        ? "At the operating opening where the flow turns it most."
        : "At the opening where most holds it, friction as at rest.",
      ...(locksItself ? ["A stage passes nothing back: the gears lock themselves at rest."] : []),
    ],
  });
}

function powerLoss(context: Context, { figures: found, missing }: HoldingAnswer): Check {
  const { state, largest_travel: most } = context.duty.power_loss ?? {};
  if (state === "closes" || state === "opens") {
    if (missing[state].length > 0) return waiting(powerLossDefinition, missing[state]);
    return judgeOwn(
      { ...powerLossDefinition, dimension: "ratio", equation: backDrivingDefinition.equation },
      {
        figures: found,
        figure: state,
        limit: { least: 1, words: `the flow ${state} it from every opening` },
        wanted: context.wanted,
        unit: "%",
        assumptions: ["That the ball goes on to the end is asked; how long it takes is not."],
      },
    );
  }
  const needs = [
    ...missing.coast,
    ...(state === undefined ? [statePath] : []),
    ...(most === undefined ? ["duty.power_loss.largest_travel"] : []),
  ];
  if (needs.length > 0 || most === undefined) return waiting(powerLossDefinition, needs);
  return judgeOwn(powerLossDefinition, {
    figures: found,
    figure: "coast",
    limit: { most: most.value, words: "duty.power_loss.largest_travel" },
    wanted: context.wanted,
    unit: "deg",
    assumptions: ["Whether it then stays there is asked of `back-driving`."],
  });
}

function accuracy(context: Context, { figures: found, missing, parts }: HoldingAnswer): Check {
  const wanted = context.duty.throttle?.accuracy;
  const needs = [
    ...missing.accuracy,
    ...(wanted === undefined ? ["duty.throttle.accuracy"] : []),
    ...faultsAmong(context, ["duty.throttle.accuracy"]),
  ];
  if (needs.length > 0 || wanted === undefined) return waiting(accuracyDefinition, needs);
  return judgeOwn(accuracyDefinition, {
    figures: found,
    figure: "accuracy",
    limit: { most: wanted.value, words: "duty.throttle.accuracy" },
    wanted: context.wanted,
    unit: "%",
    assumptions: parts === undefined ? [] : [`${partsWords(parts)}.`],
  });
}

function underLoop(context: Context, { loop, missing }: HoldingAnswer): Check {
  const most = context.prediction.dossier.valve.drive?.hold?.largest_error;
  const needs = [
    ...(loop === undefined ? ["drive.hold: the loop that holds a set point"] : loop.missing),
    ...missing.hold,
    ...(most === undefined ? ["drive.hold.largest_error"] : []),
  ];
  const { hunting } = loop ?? {};
  if (needs.length > 0 || most === undefined || hunting === undefined)
    return waiting(loopDefinition, needs.length > 0 ? needs : ["an opening at which flow is held"]);
  return judgeOwn(loopDefinition, {
    figures: {
      nominal: { error: hunting.error },
      samples: {},
      paths: [],
      points: new Float64Array(0),
      count: 0,
    },
    figure: "error",
    limit: { most: most.value, words: "drive.hold.largest_error" },
    wanted: context.wanted,
    unit: "deg",
    assumptions: [`${huntingWords(hunting)}.`],
    isNominal: true,
  });
}

function huntingWords({
  swing,
  period,
  error,
}: NonNullable<NonNullable<HoldingAnswer["loop"]>["hunting"]>): string {
  const degrees = (value: number) => valueWords(value, undefined, "angle", "deg");
  if (period !== undefined)
    return `Under its loop the ball hunts by ${degrees(swing)} every ${quantityWords(period, "time")}`;
  return swing < restSwing
    ? `Under its loop the ball comes to rest ${degrees(error)} from the set point`
    : `Under its loop the ball is still on its way, or turns slowly, ${degrees(error)} from the set point`;
}

/** A ball that moves by less has come to rest [rad]. */
const restSwing = 1e-6;

function partsWords({ windUp, backlash, sensor }: NonNullable<HoldingAnswer["parts"]>): string {
  const degrees = (value: number) => valueWords(value, undefined, "angle", "deg");
  return `Play ${degrees(backlash)}, wind-up ${degrees(windUp)}, sensor ${degrees(sensor)}`;
}

function sentence({ figures: found, missing, locksItself, loop }: HoldingAnswer): string {
  const words: string[] = [];
  const hold = found.nominal.hold ?? Number.NaN;
  if (missing.hold.length === 0) {
    const share = `${percentWords(hold)} of what holds it`;
    words.push(
      locksItself
        ? "Without power the gears lock themselves: the flow does not turn the ball at rest."
        : hold === 0
          ? "Without power no torque of the flow turns the ball."
          : hold <= 1
            ? `Without power the flow turns the ball with at most ${share}: it stays where it is.`
            : `Without power the flow turns the ball with ${share}: it does not stay where it is.`,
    );
  }
  if (missing.coast.length === 0) {
    const value = found.nominal.coast ?? Number.NaN;
    const band = spreadOf(found, "coast");
    const within =
      band === undefined ? "" : ` (${percentWords(band.coverage)} ${bandWords(band, "angle", "deg")})`;
    words.push(
      `A loss of power in motion lets it run on by at most ${valueWords(value, band, "angle", "deg")}${within}.`,
    );
  }
  if (missing.position.length === 0)
    words.push(
      `A position is sure to ${quantityWords(found.nominal.position ?? Number.NaN, "angle", "deg")}.`,
    );
  if (loop?.hunting !== undefined) words.push(`${huntingWords(loop.hunting)}.`);
  return words.join(" ");
}

function figures(answer: HoldingAnswer): readonly Figure[] {
  return [...withoutPower(answer), ...underLoopFigure(answer)];
}

function underLoopFigure({ loop }: HoldingAnswer): readonly Figure[] {
  if (loop?.history === undefined || loop.hunting === undefined) return [];
  const { time_s, angle_rad } = loop.history;
  const target = inUnit([loop.target_rad], "angle", "deg")[0] ?? Number.NaN;
  return [
    {
      kind: "plot",
      id: "throttling-loop",
      title: "The ball under its loop, led to the lowest flow to be held",
      words: `Angle of the ball against time since the set point moved to ${quantityWords(loop.target_rad, "angle", "deg")}. ${huntingWords(loop.hunting)}.`,
      x: { label: "Time since the set point moved", unit: "s" },
      y: { label: "Opening from closed", unit: "deg" },
      marks: [
        {
          kind: "line",
          role: "prediction",
          label: "ball",
          x: [...time_s],
          y: inUnit(angle_rad, "angle", "deg"),
        },
        { kind: "limit", axis: "y", value: target, label: "set point", role: "neutral" },
      ],
    },
  ];
}

function withoutPower({ curve }: HoldingAnswer): readonly Figure[] {
  if (curve === undefined) return [];
  const x = inUnit(curve.angle_rad, "angle", "deg");
  const holds = Number.isFinite(curve.gears_Nm)
    ? curve.friction_Nm.map((friction) => friction + curve.gears_Nm)
    : undefined;
  const most = Math.max(...curve.fluid_Nm.map(Math.abs));
  return [
    {
      kind: "plot",
      id: "throttling-holding",
      title: "What turns the ball without power, and what holds it",
      words: `Torque of the flow at the stem against opening, at most ${quantityWords(most, "torque")}, beside the friction of ball and stem${
        holds === undefined
          ? "; the gears lock themselves and hold any of it at rest"
          : ` and the friction with what the gears resist with, ${quantityWords(curve.gears_Nm, "torque")}, added`
      }.`,
      x: { label: "Opening from closed", unit: "deg" },
      y: { label: "Torque at the stem", unit: "N m" },
      marks: [
        { kind: "line", role: "demand", label: "flow", x, y: curve.fluid_Nm.map(Math.abs) },
        { kind: "line", role: "neutral", label: "friction of ball and stem", x, y: [...curve.friction_Nm] },
        ...(holds === undefined
          ? []
          : [{ kind: "line", role: "prediction", label: "friction and gears", x, y: holds } as const]),
      ],
    },
  ];
}

function tables({ parts }: HoldingAnswer): readonly Table[] {
  if (parts === undefined) return [];
  const degrees = (value: number) => valueWords(value, undefined, "angle", "deg");
  return [
    {
      title: "What a position is unsure by, at the stem",
      columns: ["from", "angle"],
      rows: [
        ["play of stages and coupling", degrees(parts.backlash)],
        ["wind-up before the ball breaks away", degrees(parts.windUp)],
        ["step of the sensor", degrees(parts.sensor)],
      ],
    },
  ];
}
