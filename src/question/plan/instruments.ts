/** Which instruments a run needs, with range, rate, filter and uncertainty, each with what it follows from. */
import { lawDeviation } from "../../quantity/index.js";
import { benchInstruments } from "./benchInstruments.js";
import type { ExpectedValue } from "./expected.js";
import {
  currentRise,
  expectedOf,
  fastestOf,
  highest,
  historyRate,
  type Instrument,
  type InstrumentNeeds,
  limitOf,
  milli,
  riseRate,
  shortestStroke,
  thirdOf,
} from "./instrumentNeeds.js";
import { fullScale, rateForTime, roundedUp, shareOfInputs } from "./sampling.js";
import { oxygenFraction, temperatures, windingTemperature } from "./thermometers.js";

/** What a pressure may do while the ball opens: a tenth of the stroke, an estimate [-]. */
const firstShare = 0.1;

/** The instruments of strokes and of parts alone; a leak test has its own. */
export function instrumentsFor(needs: InstrumentNeeds): readonly Instrument[] {
  return needs.bench === undefined ? strokeInstruments(needs) : benchInstruments(needs, needs.bench);
}

function strokeInstruments(needs: InstrumentNeeds): readonly Instrument[] {
  const { place, context } = needs;
  const isLiquid = context.prediction.nominal.flow !== undefined;
  return [
    angle(needs),
    ...electric(needs),
    ...torque(needs),
    ...windingTemperature(needs),
    ...(place.stage === "dry" ? [] : pressuresOf(needs)),
    ...(isLiquid ? flowing(needs) : []),
    ...(place.stage === "dry" ? [] : temperatures(needs)),
    ...(place.stage === "nitrogen" || place.stage === "propellant" ? [oxygenFraction(needs)] : []),
  ];
}

function angle(needs: InstrumentNeeds): Instrument {
  const travel = needs.context.prediction.dossier.valve.valve?.travel?.value;
  const { time } = needs;
  const timing =
    time === undefined
      ? undefined
      : {
          rate: rateForTime(time.data_s),
          why: `the instants between samples leave the time u = ${milli(time.data_s)}`,
        };
  const { rate, why } = fastestOf([timing, historyRate(needs)]);
  const end = expectedOf(needs, "opening:command-to-end")?.value;
  const uncertainty =
    time === undefined || travel === undefined || end === undefined
      ? undefined
      : (travel / end) * time.data_s;
  return {
    channel: "command and ball angle, on one clock",
    range: travel === undefined ? undefined : { low: 0, high: fullScale(travel) },
    dimension: "angle",
    unit: "deg",
    rate_Hz: roundedUp(rate),
    filter_Hz: undefined,
    uncertainty,
    why: time === undefined ? why : `${why}; ${time.words}`,
  };
}

function electric(needs: InstrumentNeeds): readonly Instrument[] {
  const { context } = needs;
  const rise = riseRate(currentRise(context), "the current (winding inductance over resistance)");
  const { rate, why } = fastestOf([rise, historyRate(needs)]);
  const common = { rate_Hz: roundedUp(rate), filter_Hz: rise?.bandwidth };
  const peak = expectedOf(needs, "peak-current");
  const lowest = expectedOf(needs, "lowest-voltage");
  const { drive, cases } = context.prediction.dossier.valve;
  const ofCase = cases?.find(({ id }) => id === context.prediction.caseId)?.open_circuit_voltage;
  const open = (ofCase ?? drive?.supply?.open_circuit_voltage)?.value;
  const most = highest(peak);
  return [
    {
      channel: "motor current",
      range:
        most === undefined ? undefined : { low: 0, high: fullScale(most, limitOf(needs, "motor-current")) },
      dimension: "current",
      unit: "A",
      ...common,
      uncertainty: thirdOf(peak),
      why,
    },
    {
      channel: "voltage at the driver",
      range: open === undefined ? undefined : { low: 0, high: fullScale(open) },
      dimension: "voltage",
      unit: "V",
      ...common,
      uncertainty: thirdOf(lowest),
      why: "as the current: it sags with it",
    },
  ];
}

function torque(needs: InstrumentNeeds): readonly Instrument[] {
  const breakaway = expectedOf(needs, "breakaway-torque");
  const most = highest(breakaway);
  if (most === undefined) return [];
  const { rate } = fastestOf([historyRate(needs)]);
  const reach = fullScale(most, limitOf(needs, "stem-torque"));
  return [
    {
      channel: "torque at the stem",
      range: { low: -reach, high: reach },
      dimension: "torque",
      unit: "N m",
      rate_Hz: roundedUp(rate),
      filter_Hz: undefined,
      uncertainty: thirdOf(breakaway),
      why: "both senses, up to the limit; without it torque comes from the current, with the uncertainty of the gears",
    },
  ];
}

function pressuresOf(needs: InstrumentNeeds): readonly Instrument[] {
  const { context } = needs;
  const { conditions, own } = context;
  const supply = conditions.supply_pressure;
  const wave = expectedOf(needs, "surge-close");
  const most = Math.max(supply?.value ?? Number.NaN, highest(wave) ?? 0);
  const shortest = shortestStroke(needs);
  const bounds = context.prediction.nominal.flow === undefined ? undefined : own.surge.bounds;
  const crossing =
    bounds === undefined ? undefined : Math.min(bounds.aheadCritical_s, bounds.behindCritical_s) / 2;
  const rise =
    crossing !== undefined && crossing > 0
      ? riseRate(crossing, "a wave that crosses the line once (L/a)")
      : riseRate(
          shortest === undefined ? undefined : firstShare * shortest,
          "the drop, lost within the first tenth of the opening (an estimate),",
        );
  const { rate, why } = fastestOf([rise, historyRate(needs)]);
  const frame = {
    range: Number.isNaN(most) ? undefined : { low: 0, high: fullScale(most, highestLimit(needs)) },
    dimension: "pressure" as const,
    unit: "bar(a)",
    rate_Hz: roundedUp(rate),
    filter_Hz: rise?.bandwidth,
    uncertainty: supply === undefined ? undefined : shareOfInputs * lawDeviation(supply.law) || undefined,
  };
  return [
    { channel: "pressure ahead of the valve", ...frame, why },
    {
      channel: "pressure behind the valve",
      ...frame,
      why: "as ahead of it: a blocked outlet takes the whole pressure",
    },
    ...cavityPressure(needs, frame),
  ];
}

/** The highest of the limits that the sensors of the line watch: of the line, and of what is shut in between two valves. */
function highestLimit({ limits }: InstrumentNeeds): number | undefined {
  const own = limits.flatMap(({ id, limit }) =>
    limit !== undefined && (id === "line-pressure" || id.startsWith("trapped:")) ? [limit] : [],
  );
  return own.length === 0 ? undefined : Math.max(...own);
}

/** The cavity of the ball is shut off from the line: its limit needs a tap of its own. */
function cavityPressure(
  { limits }: InstrumentNeeds,
  frame: Omit<Instrument, "channel" | "why">,
): readonly Instrument[] {
  const limit = limits.find(({ id }) => id.startsWith("cavity:"))?.limit;
  return limit === undefined
    ? []
    : [
        {
          ...frame,
          channel: "pressure in the ball cavity",
          range: { low: 0, high: fullScale(0, limit) },
          uncertainty: undefined,
          why: "by a tap of its own in the body: without one its limit cannot be watched, and the vent or the seats must keep it",
        },
      ];
}

function flowing(needs: InstrumentNeeds): readonly Instrument[] {
  const flow = expectedOf(needs, "mass-flow");
  const drop = expectedOf(needs, "valve-drop");
  const { rate, why } = fastestOf([historyRate(needs)]);
  const one = (channel: string, of: ExpectedValue | undefined, reason: string): readonly Instrument[] => {
    const most = highest(of);
    if (of === undefined || most === undefined) return [];
    const { dimension, unit } = of;
    return [
      {
        channel,
        range: { low: 0, high: fullScale(most) },
        dimension,
        unit,
        rate_Hz: roundedUp(rate),
        filter_Hz: undefined,
        uncertainty: thirdOf(of),
        why: reason,
      },
    ];
  };
  return [
    ...one("flow", flow, why),
    ...one(
      "drop across the valve",
      drop,
      "Kv from flow and drop, by a cell of its own; it bears the supply pressure on one side",
    ),
  ];
}
