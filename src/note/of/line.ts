/** Question 9: waves along the line, with the bounds that a calculator gives. */

import { openings, type SurgeAnswer } from "../../predict/index.js";
import { noteNumber } from "../number.js";
import type { Steps } from "../steps.js";
import { type Maker, present, type Workings } from "../workings.js";

/** How the waves are followed. */
function waveMethod(steps: Steps, { bounds, closing }: SurgeAnswer): void {
  steps.method(
    "Method of characteristics on the declared pipes, C+: p + B W, C-: p - B W along dx = a dt, quasi-steady and unsteady friction, vapour cavities at the sections; stroke and waves are solved in turn until the time of the stroke stands (docs/theory/line.md).",
    [
      ...(bounds === undefined
        ? []
        : [
            [
              "difference of the highest pressure between this grid and a finer one, over the rise",
              noteNumber(bounds.gridUncertainty),
            ] as const,
            [
              "largest share by which a travel time is rounded to whole reaches",
              noteNumber(bounds.rounded),
            ] as const,
          ]),
      ...(closing === undefined
        ? []
        : [
            ["turns of stroke and waves", String(closing.turns)] as const,
            ["what the last turn moved the time of the stroke by", noteNumber(closing.change)] as const,
          ]),
    ],
    ["line", "valve.boundary.ends"],
  );
}

/** Rise of an instant closing at the valve, and the time within which a closing counts as instant. */
function joukowsky(steps: Steps, of: Workings): void {
  const { bounds } = of.own.surge;
  const found = present(bounds, "bounds");
  const liquid = present(of.sample.liquid, "liquid");
  const pipes = of.valve.line?.pipes ?? [];
  const main = pipes.flatMap((pipe, j) =>
    pipe.side === "upstream" && pipe.branches_after === undefined ? [j] : [],
  );
  const last = present(main.at(-1), "pipe ahead of the valve");
  const at = present(found.pipes[last], "pipe");
  steps.part("Estimate by hand: the flow stopped at once");
  steps.given(
    "rho",
    "density of the liquid",
    "density",
    liquid.density,
    "equation of state at the inlet (data/fluids)",
  );
  steps.given(
    "m",
    "flow wide open",
    "mass flow",
    Math.abs(of.sample.massFlow[openings - 1] ?? Number.NaN),
    "installed-flow",
  );
  steps.field("d", `line.pipes[${last}].bore`, `bore of ${at.name}, ahead of the valve`);
  steps.step("v", "speed of the liquid there", "speed", "m / (rho * pi * d^2 / 4)", Math.abs(at.speed_m_s));
  steps.given("a", "speed of waves in it", "speed", at.waveSpeed_m_s, {
    words: found.isScaled
      ? "1 / sqrt(rho ((1 - x)/K + x/(n p) + D c1/(e E))), scaled to whole reaches"
      : "1 / sqrt(rho ((1 - x)/K + x/(n p) + D c1/(e E)))",
    source: "wylie-streeter-1993, ch. 1 and 2",
  });
  steps.step(
    "dp",
    "rise of an instant closing",
    "pressure difference",
    "rho * a * v",
    Math.abs(found.joukowsky_Pa),
  );
  steps.given("p_s", "supply pressure as it counts in the line", "pressure", found.supply_Pa, {
    path: `${of.place}.supply_pressure`,
    words: "as declared",
  });
  steps.step(
    "p_J",
    "supply and that rise: what friction, branches and a slower closing leave of it is in the answer",
    "pressure",
    "p_s + dp",
  );
  const terms = main.map((j, n) => {
    steps.field(`L_${n + 1}`, `line.pipes[${j}].length`, `length of ${found.pipes[j]?.name ?? "a pipe"}`);
    steps.given(
      `a_${n + 1}`,
      "speed of waves in it",
      "speed",
      found.pipes[j]?.waveSpeed_m_s ?? Number.NaN,
      "as a",
    );
    return `2 * L_${n + 1} / a_${n + 1}`;
  });
  steps.step(
    "t_c",
    "closing within this counts as instant, 2 L/a to the tank",
    "time",
    terms.join(" + "),
    found.aheadCritical_s,
  );
}

const closing: Maker = (steps, of, _, value) => {
  waveMethod(steps, of.own.surge);
  joukowsky(steps, of);
  steps.part("The pressure");
  steps.given("p_max", "highest pressure of the closing at this place", "pressure", value, "waves");
};

function other(
  symbol: string,
  words: string,
  of: "pressure" | "pressure difference" | "ratio" | "time",
): Maker {
  return (steps, workings, check, value) => {
    waveMethod(steps, workings.own.surge);
    joukowsky(steps, workings);
    steps.part("The answer");
    steps.given(symbol, words, check.dimension === "number" ? "ratio" : of, value, "waves");
  };
}

const closeLimit: Maker = (steps, of, check, value) => {
  const { surge } = of.own;
  waveMethod(steps, surge);
  joukowsky(steps, of);
  steps.part("The answer");
  const run = surge.closing;
  const shortest = Math.max(...(surge.bounds?.shortest ?? []).map(({ time_s }) => time_s));
  if (check.dimension === "ratio" && run !== undefined && Number.isFinite(shortest)) {
    steps.given(
      "t_motion",
      "time of the closing motion, from first motion to end",
      "time",
      run.end_s - run.start_s,
      "stroke with the line",
    );
    steps.given(
      "t_least",
      "shortest that the slowest rated place allows, by the rungs of a ladder of faster motions",
      "time",
      shortest,
      "waves",
    );
    steps.step(
      "ratio_t",
      "time over the shortest, as the note's values have it",
      "ratio",
      "t_motion / t_least",
    );
  }
  steps.given("x", "the value of the check", check.dimension, value, "waves of the band's grid");
};

const priming: Maker = (steps, of, _, value) => {
  const { surge } = of.own;
  steps.method(
    "A rigid column behind a front: I(x) dW/dt = p_s - p_g - rho g z - sum R W^2 - W^2/(2 rho A^2), with the gas ahead compressed by its exponent, until the front meets the outlet; then the stop's first wave in the last pipe (docs/theory/line.md).",
    [],
    ["line.priming", "line.pipes"],
  );
  const filled = surge.priming?.filled;
  if (filled !== undefined) {
    const liquid = present(of.sample.liquid, "liquid");
    const pipes = of.valve.line?.pipes ?? [];
    const last = pipes.findLastIndex(
      (pipe) => pipe.side === "downstream" && pipe.branches_after === undefined,
    );
    const at = surge.bounds?.pipes[last];
    if (at !== undefined) {
      steps.part("Estimate by hand: the column stopped dead at a closed end");
      steps.given(
        "rho",
        "density of the liquid",
        "density",
        liquid.density,
        "equation of state at the inlet (data/fluids)",
      );
      steps.given("a", `speed of waves in ${at.name}`, "speed", at.waveSpeed_m_s, {
        words: "as surge-close",
        source: "wylie-streeter-1993, ch. 1 and 2",
      });
      steps.given(
        "p_g",
        "gas ahead of the front",
        "pressure",
        present(surge.priming, "priming").gasAhead_Pa,
        "as declared",
      );
      steps.given(
        "p_dead",
        "pressure of a dead end in place of the outlet",
        "pressure",
        filled.deadEndPressure,
        "column as followed",
      );
      steps.step("v_front", "speed of the front that this stands for", "speed", "(p_dead - p_g) / (rho * a)");
    }
  }
  steps.part("The answer");
  steps.given("p_max", "highest of the stop and of the gas", "pressure", value, "column as followed");
};

const abort: Maker = (steps, of, _, value) => {
  waveMethod(steps, of.own.surge);
  joukowsky(steps, of);
  steps.part("The answer");
  steps.given(
    "t_least",
    "shortest closing that every rated place allows, in the definition of the limit",
    "time",
    value,
    "waves",
  );
};

export const lineMakers: Readonly<Record<string, Maker>> = {
  "surge-close": closing,
  "surge-open": other(
    "dp_v",
    "lowest pressure ahead of the valve over the vapour pressure",
    "pressure difference",
  ),
  "surge-open-rebound": other(
    "share_p",
    "highest of an opening over what the place may reach, at the worst place",
    "ratio",
  ),
  "close-limit": closeLimit,
  "prime-surge": priming,
  "abort-closing-time": abort,
};
