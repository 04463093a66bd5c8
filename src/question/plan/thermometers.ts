/** Thermometers of a run, and what watches the air. */
import { lawDeviation } from "../../quantity/index.js";
import type { Context } from "../context.js";
import { warmUnit } from "./expected.js";
import {
  expectedOf,
  highest,
  type Instrument,
  type InstrumentNeeds,
  limitOf,
  shortestStroke,
  slowRate,
  thirdOf,
} from "./instrumentNeeds.js";
import { fullScale, roundedUp, samplesPerPeriod, shareOfInputs } from "./sampling.js";

/** Of the copper, which heats in a stroke. */
export function windingTemperature(needs: InstrumentNeeds): readonly Instrument[] {
  const winding = expectedOf(needs, "winding-temperature");
  const shortest = shortestStroke(needs);
  if (winding?.value === undefined) return [];
  const most = Math.max(highest(winding) ?? winding.value, limitOf(needs, "winding-temperature") ?? 0);
  const start = startTemperature(needs.context);
  const coldest = Math.min(start, winding.band?.low ?? start) - reachBelow_K;
  const rate = shortest === undefined ? slowRate : samplesPerPeriod / shortest;
  return [
    {
      channel: "winding temperature",
      range: { low: coldest, high: fullScaleAbove(coldest, most) },
      dimension: "temperature",
      unit: warmUnit(winding.value),
      rate_Hz: roundedUp(rate),
      filter_Hz: undefined,
      uncertainty: thirdOf(winding),
      why: `${samplesPerPeriod} samples in the fastest stroke: the copper heats in one; the resistance of the winding after each stroke will do`,
    },
  ];
}

function startTemperature({ conditions }: Context): number {
  return conditions.motor_temperature?.value ?? roomTemperature_K;
}
/** Of a laboratory [K]. */
const roomTemperature_K = 293.15;

/** Full scale of a thermometer, counted from the coldest that it shows. */
function fullScaleAbove(coldest: number, hottest: number): number {
  return coldest + fullScale(Math.max(hottest - coldest, 1));
}

/** Of fluid, body and gearbox, which change in minutes. */
export function temperatures(needs: InstrumentNeeds): readonly Instrument[] {
  const { conditions } = needs.context;
  const places: readonly (readonly [string, number | undefined, number | undefined])[] = [
    [
      "fluid temperature ahead of the valve",
      conditions.fluid_temperature?.value,
      spread(conditions.fluid_temperature),
    ],
    [
      "body temperature of the valve",
      conditions.valve_temperature?.value,
      spread(conditions.valve_temperature),
    ],
    ["gearbox temperature", conditions.gearbox_temperature?.value, spread(conditions.gearbox_temperature)],
    ...motorPlace(needs),
  ];
  return places.flatMap(([channel, value, u]): readonly Instrument[] =>
    value === undefined
      ? []
      : [
          {
            channel,
            range: {
              low:
                Math.min(
                  value,
                  limitOf(needs, "gearbox-temperature") ?? value,
                  channel === motorChannel ? (limitOf(needs, "motor-temperature") ?? value) : value,
                  roomTemperature_K,
                ) - reachBelow_K,
              high: roomTemperature_K + reachAbove_K,
            },
            dimension: "temperature",
            unit: warmUnit(value),
            rate_Hz: slowRate,
            filter_Hz: undefined,
            uncertainty: u === undefined || !(u > 0) ? undefined : shareOfInputs * u,
            why: "from below the declared temperature and the limit to a warm day; thermal masses change in minutes",
          },
        ],
  );
}
const motorChannel = "motor temperature";

/** The case of the motor, where a limit asks for it to be watched before the stroke. */
function motorPlace(needs: InstrumentNeeds): readonly (readonly [string, number, number | undefined])[] {
  if (limitOf(needs, "motor-temperature") === undefined) return [];
  const { motor_temperature: declared } = needs.context.conditions;
  return [[motorChannel, declared?.value ?? roomTemperature_K, spread(declared)]];
}

/** How far a thermometer reaches beyond the coldest expected and the room; common practice, no source [K]. */
const reachBelow_K = 10;
const reachAbove_K = 30;

function spread(declared: Context["conditions"]["fluid_temperature"]): number | undefined {
  return declared === undefined ? undefined : lawDeviation(declared.law);
}

/** Of the air, where people are and where a leak would gather. */
export function oxygenFraction({ limits }: InstrumentNeeds): Instrument {
  const limit = limits.find(({ id }) => id === "oxygen-at-drive")?.limit;
  return {
    channel: "oxygen in the air",
    range: { low: 0, high: fullScale(airOxygen, limit) },
    dimension: "ratio",
    unit: "%",
    rate_Hz: slowRate,
    filter_Hz: undefined,
    uncertainty: undefined,
    why: "where people are and at packing and gearbox: inert gas displaces the air, a leak or condensed air enriches it; alarm levels are for the local rules to set",
  };
}
/** Oxygen in dry air by volume, rounded [-]. */
const airOxygen = 0.21;
