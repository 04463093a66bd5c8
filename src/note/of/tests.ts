/** Question 11: what tests and samples say. */
import type { Maker } from "../workings.js";
import { present } from "../workings.js";

const held: Maker = (steps, of, check, value) => {
  const { reconciliations, sealedFindings = [] } = of.given.evidence;
  const all = [...reconciliations, ...sealedFindings];
  const found = all.find(
    ({ runId, sense, leading }) =>
      check.name.endsWith(`run ${runId}, ${sense}`) && leading?.error_s === value,
  );
  const leading = present(found?.leading, "comparison");
  steps.given("S", "predicted time", "time", leading.predicted_s, "prediction that the run was held against");
  steps.given("D", "measured time", "time", leading.measured_s, "log of the run, instants by its events");
  steps.step("E", "difference", "time", "S - D", value);
  steps.given(
    "u_val",
    "validation uncertainty, of numerics, inputs and data together",
    "time",
    leading.validationUncertainty_s,
    "u_val^2 = u_num^2 + u_input^2 + u_D^2",
  );
  steps.given("k", "coverage factor", "ratio", leading.coverageFactor, "usual");
  steps.step("reach", "what the difference may be", "time", "k * u_val");
};

const size: Maker = (steps, of, _, value) => {
  const band = present(of.given.prediction.band, "band");
  steps.given("n", "samples that have the number", { unit: "" }, value, "counted");
  steps.given("p", "share that the band is to hold", "ratio", band.coverage, "of the band");
  steps.given("c", "confidence wanted", "ratio", band.confidence, "of the band");
  steps.step(
    "confidence",
    "confidence that both extremes of n samples hold the share p",
    "ratio",
    "1 - n * p^(n - 1) + (n - 1) * p^n",
  );
};

const leak: Maker = (steps, of, check, value) => {
  const runs = (of.given.evidence.reductions ?? []).flatMap(({ leak: found }) =>
    found?.known && found.value === value ? [found] : [],
  );
  const found = present(runs[0], "leak");
  steps.given(
    "q",
    "measured rate, by the density of the gas at its own temperature",
    check.dimension,
    value,
    "reduction of the run (coldturn reduce)",
  );
  steps.given(
    "u",
    "its standard uncertainty",
    check.dimension,
    found.standardUncertainty,
    "combined in the reduction",
  );
  steps.given("k", "coverage factor", "ratio", 2, "usual");
  steps.step("q_most", "rate with its uncertainty", check.dimension, "q + k * u");
};

const clock: Maker = (steps, of, _, value) => {
  const all = (of.given.evidence.reductions ?? []).flatMap(({ strokes, clockUncertainty_s }) =>
    strokes.flatMap(({ times }) => {
      const known = times.flatMap((time) => (time.known ? [time] : []));
      const whole = known.find(({ id }) => id === "command-to-end") ?? known.at(-1);
      return whole !== undefined && whole.value > 0 ? [{ u: clockUncertainty_s, t: whole.value }] : [];
    }),
  );
  const worst = present(all.toSorted((a, b) => b.u / b.t - a.u / a.t)[0], "stroke");
  steps.given("u_clock", "uncertainty between the clocks of one run's files", "time", worst.u, "as aligned");
  steps.given("t", "time tested", "time", worst.t, "log of the run");
  steps.step("share_t", "uncertainty over time", "ratio", "u_clock / t", value);
};

const plain =
  (words: string, from: string): Maker =>
  (steps, _, check, value) => {
    steps.given("x", words, check.dimension, value, from);
  };

export const testMakers: Readonly<Record<string, Maker>> = {
  vv: held,
  "vv-present": held,
  "sample-size": size,
  "leak-unc": leak,
  "seat-leak-ambient": leak,
  "seat-leak-cold": leak,
  "time-base": clock,
  "torque-shape-test": plain(
    "points, each with its torque within the predicted band",
    "reductions of the runs",
  ),
  "series-drift": plain(
    "two-sided p of Mann and Kendall's test over the strokes of the series",
    "reductions of the runs",
  ),
  "series-tolerance": plain("strokes of the series", "reductions of the runs"),
  "cycle-life": plain("cycles in the logs", "reductions of the runs"),
};
