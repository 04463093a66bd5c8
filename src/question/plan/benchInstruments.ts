/** The instruments of a part alone on the bench. */
import { preferredUnit } from "../../quantity/index.js";
import { highest, type Instrument, type InstrumentNeeds, milli, thirdOf } from "./instrumentNeeds.js";
import { fullScale, roundedUp, samplesPerPeriod } from "./sampling.js";

/** Channels as the ranking of tests observes them. */
export function benchInstruments(
  { place, values, limits }: InstrumentNeeds,
  { horizon_s, readings }: NonNullable<InstrumentNeeds["bench"]>,
): readonly Instrument[] {
  const channels = [...new Set(values.map(({ id }) => id.split(":")[0] ?? id))];
  const isHeld = place.kind === "stem locked";
  return channels.flatMap((channel): readonly Instrument[] => {
    const own = values.filter(({ id }) => id.startsWith(`${channel}:`));
    const most = Math.max(...own.flatMap((one) => highest(one) ?? []));
    const end = own.find(({ id }) => id.endsWith("at the end"));
    if (end === undefined || !Number.isFinite(most)) return [];
    const limit = limits.find(
      ({ id }) =>
        id === (channel === "torque" ? "stem-torque" : channel === "current" ? "motor-current" : ""),
    )?.limit;
    return [
      {
        channel: end.name.replace(/, .*/, ""),
        range: { low: 0, high: fullScale(most, limit) },
        dimension: end.dimension,
        unit: preferredUnit(most, end.dimension),
        rate_Hz: isHeld ? samplesPerPeriod : roundedUp(readings / horizon_s),
        filter_Hz: undefined,
        uncertainty: thirdOf(end),
        why: isHeld
          ? "held at each step of the voltage; the mean of each is read"
          : `${readings} readings over ${milli(horizon_s)}, as the ranking of tests takes them`,
      },
    ];
  });
}
