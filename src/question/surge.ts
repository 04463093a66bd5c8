/** Question 9: what does the line feel? Pressures of a closing and an opening against ratings, and how the line fills. */
import { ownBand, type SurgeAnswer, type SurgePlace, surgeFigure } from "../predict/index.js";
import type { Driver } from "./answer.js";
import type { Check, CheckDefinition } from "./check.js";
import { limits } from "./closingLimits.js";
import type { Context } from "./context.js";
import { failing, judgeOwn, waiting } from "./judgeOwn.js";
import {
  fullOfLiquid,
  levels,
  needsOf,
  ofThisLine,
  overAll,
  ownMotion,
  rated,
  ratingNeed,
  unrated,
} from "./lineRatings.js";
import type { Finding, Question } from "./question.js";
import { rankOwnDrivers } from "./rankDrivers.js";
import { surgeFigures, surgeTables } from "./surgeFigures.js";
import { bandWords, missingWords, percentWords, quantityWords, valueWords } from "./words.js";

const closingDefinition: CheckDefinition = {
  id: "surge-close",
  designChecks: ["surge-close"],
  failureModes: ["shock"],
  name: "Closing surge",
  dimension: "pressure",
  equation:
    "C+: p + B W, C-: p - B W along dx = a dt, B = a/A; W|W| = rho C(t)^2 dp at the valve; max p <= rating",
  source: "wylie-streeter-1993, ch. 3; cavities ch. 8",
  assumptions: [ownMotion, fullOfLiquid, ofThisLine],
};

const dipDefinition: CheckDefinition = {
  id: "surge-open",
  designChecks: ["surge-open"],
  failureModes: ["shock", "fast-open"],
  name: "Opening dip",
  dimension: "pressure difference",
  equation:
    "min p ahead of the valve - p_v >= 0 while it opens, until a line behind it that was empty is full",
  source: "chaudhry-2014, ch. 1; waves as surge-close, the front as prime-surge",
  assumptions: [ownMotion, ofThisLine],
};

const reboundDefinition: CheckDefinition = {
  id: "surge-open-rebound",
  designChecks: ["surge-open"],
  failureModes: ["shock", "fast-open"],
  name: "Opening, highest pressure over the ratings",
  dimension: "ratio",
  equation:
    "max over the line of p / rating <= 1, cavities that close again and the stop of a front included",
  source: "wylie-streeter-1993, ch. 3; cavities ch. 8; the front as prime-surge",
  assumptions: [ownMotion, ofThisLine],
};

const primeDefinition: CheckDefinition = {
  id: "prime-surge",
  designChecks: ["prime-surge"],
  failureModes: ["shock", "fast-open"],
  name: "Priming surge",
  dimension: "pressure",
  equation:
    "I(x) dW/dt = p_s - p_g - rho g z - sum R W^2 - W^2/(2 rho A^2); stop: p = p_g + (a/A)(W - W_out); max(p, p_g) <= rating",
  source: "nasa-sp-8123, line priming; rigid column wylie-streeter-1993, ch. 6",
  assumptions: [
    ownMotion,
    "The front fills the bore and does not flash; what flashes at most stands in the table.",
    "Of the stop its first wave in the last pipe; what the line makes of it, behind the valve and ahead of it, is judged as the highest pressure of the opening.",
    ofThisLine,
  ],
};

const closed = "a case in which liquid flows";

/** Question 9. */
export const line: Question = {
  id: "line",
  number: 9,
  words: "What does the line feel?",
  answer: (context): Finding => {
    const answer = context.own.surge;
    return {
      sentence: sentence(answer),
      checks: [
        ...closing(context, answer),
        dip(context, answer),
        rebound(context, answer),
        ...limits(context, answer),
        ...priming(context, answer),
      ],
      figures: surgeFigures(answer),
      tables: surgeTables(answer),
      drivers: driversOf(context, answer),
    };
  },
};

function limitWords({ prediction }: Context, { kind, path }: SurgePlace): string {
  const share = prediction.dossier.valve.line?.rating_share;
  const of = kind === "valve" ? "the weakest of valve.boundary.ends" : path;
  return share === undefined ? of : `${percentWords(share.value)} of ${of}`;
}

function closing(context: Context, answer: SurgeAnswer): readonly Check[] {
  const needs = needsOf(answer);
  if (needs.length > 0) return [waiting(closingDefinition, needs)];
  return answer.places.map((place) => {
    const { allowed_Pa: most, name } = place;
    if (most === undefined) return waiting(closingDefinition, [ratingNeed(place)], name);
    return judgeOwn(closingDefinition, {
      figures: answer.figures,
      figure: surgeFigure(place),
      limit: { most, words: limitWords(context, place) },
      wanted: context.wanted,
      of: name,
      assumptions: levels(answer),
    });
  });
}

/** What an opening needs: an empty line fills by what is declared of it. */
function openingNeeds(answer: SurgeAnswer): readonly string[] {
  const needs = needsOf(answer);
  return needs.length === 0 && answer.behind === "empty" ? answer.missingPriming : needs;
}

/** At which pressure the gas ahead of a front stands, in words; none where the line stands full. */
function aheadWords({ priming }: SurgeAnswer): readonly string[] {
  if (priming === undefined) return [];
  const of = {
    start: "back_pressure_at_start",
    ambient: "the ambient pressure: behind the injector nothing burns before both propellants are there",
    back: "the back pressure of the case",
  }[priming.gasAheadOf];
  return [
    `The gas ahead of the liquid, and what the liquid meets as it arrives, stand at ${quantityWords(priming.gasAhead_Pa, "pressure")}, ${of}.`,
  ];
}

function behindWords({ behind }: SurgeAnswer): string {
  if (behind === "empty")
    return "Ahead of the valve the line is full of liquid; behind it stands empty and fills, the liquid there a rigid column behind a front, whose stop runs back through the valve as a wave.";
  return behind === "full"
    ? "The line ahead of the valve and behind it is full of liquid."
    : "The line behind the valve is taken as full, since line.priming.state does not say; one that fills would dip further.";
}

function dip(context: Context, answer: SurgeAnswer): Check {
  const needs = openingNeeds(answer);
  if (needs.length > 0) return waiting(dipDefinition, needs);
  if ((answer.figures.nominal.dip ?? Number.NaN) < 0)
    return failing(
      dipDefinition,
      answer.behind === "empty"
        ? "while the empty line behind the valve fills, the liquid ahead of it tears apart: nothing behind it holds the flow, and the line ahead loses what is left of the pressure; what it raises as it closes again is in the pressures of the opening"
        : "the liquid ahead of the valve tears apart; what it raises as it closes again is in the pressures of the opening",
      { wanted: context.wanted },
    );
  return judgeOwn(dipDefinition, {
    figures: answer.figures,
    figure: "dip",
    limit: { least: 0, words: "the vapour pressure" },
    wanted: context.wanted,
    assumptions: [behindWords(answer), ...aheadWords(answer), ...levels(answer)],
  });
}

function rebound(context: Context, answer: SurgeAnswer): Check {
  const needs = [
    ...openingNeeds(answer),
    ...(rated(answer).length === 0 ? answer.places.map(ratingNeed) : []),
  ];
  if (needs.length > 0) return waiting(reboundDefinition, needs);
  return overAll(
    answer.places,
    judgeOwn(reboundDefinition, {
      figures: answer.figures,
      figure: "openShare",
      limit: { most: 1, words: "what each place may reach" },
      wanted: context.wanted,
      unit: "%",
      assumptions: [behindWords(answer), ...aheadWords(answer), ...levels(answer), ...unrated(answer)],
    }),
  );
}

function priming(context: Context, answer: SurgeAnswer): readonly Check[] {
  const { line: fields } = context.prediction.dossier.valve;
  if (fields?.priming?.state === "full") return [];
  const needs = [...needsOf(answer), ...(answer.unfit === undefined ? answer.missingPriming : [])];
  const behind = answer.places.filter(({ side, kind }) => side === "downstream" || kind === "valve");
  const weakest = behind
    .filter(({ allowed_Pa }) => allowed_Pa !== undefined)
    .toSorted((a, b) => (a.allowed_Pa ?? 0) - (b.allowed_Pa ?? 0))[0];
  if (needs.length > 0 || weakest?.allowed_Pa === undefined)
    return [waiting(primeDefinition, needs.length > 0 ? needs : behind.map(ratingNeed))];
  if (answer.priming === undefined) return [waiting(primeDefinition, [staysShut])];
  return [
    overAll(
      behind,
      judgeOwn(primeDefinition, {
        figures: answer.figures,
        figure: "prime",
        limit: { most: weakest.allowed_Pa, words: `the weakest behind the valve, ${weakest.name}` },
        wanted: context.wanted,
        assumptions: [
          ...aheadWords(answer),
          ...levels(answer),
          `A dead end in place of the outlet would see ${quantityWords(answer.priming.filled.deadEndPressure, "pressure")}.`,
          ...shutWords(answer),
        ],
      }),
    ),
  ];
}

/** What the priming surge needs where the valve does not open. */
const staysShut = "a case in which the valve opens: here it stays shut, and no liquid comes into the line";

/** Samples whose valve stays shut have no priming surge, and count as not meeting its limit. */
function shutWords({ figures }: SurgeAnswer): readonly string[] {
  const samples = figures.samples.prime ?? new Float64Array(0);
  const shut = samples.filter(Number.isNaN).length;
  return shut === 0
    ? []
    : [
        `In ${shut} of ${samples.length} samples the valve stays shut and no liquid comes: they have no priming surge, and do not count as meeting the limit.`,
      ];
}

function sentence(answer: SurgeAnswer): string {
  const { figures, missing, unfit, closing: run, places } = answer;
  if (unfit !== undefined)
    return unfit === closed
      ? "Not known: what the line feels needs a case in which liquid flows."
      : `Not known: ${unfit}.`;
  if (missing.length > 0 || run === undefined) return missingWords(missing);
  const valve = places.find(({ kind }) => kind === "valve");
  const words: string[] = [];
  if (valve !== undefined) {
    const figure = surgeFigure(valve);
    const peak = figures.nominal[figure] ?? Number.NaN;
    const band = ownBand(figures.samples[figure] ?? new Float64Array(0));
    const within =
      band === undefined ? "" : ` (${percentWords(band.coverage)} ${bandWords(band, "pressure", "bar(a)")})`;
    words.push(
      `A closing raises the pressure at the valve to ${valueWords(peak, band, "pressure", "bar(a)")}${within}.`,
    );
  }
  const worst = rated(answer).toSorted((a, b) => shareOf(answer, b) - shareOf(answer, a))[0];
  if (worst?.allowed_Pa !== undefined)
    words.push(
      `Of the rated places, ${worst.name} is used most: ${percentWords(shareOf(answer, worst))} of the ${quantityWords(worst.allowed_Pa, "pressure")} that it may reach.`,
    );
  const motion = run.end_s - run.start_s;
  const shortest = Math.max(...(answer.bounds?.shortest ?? []).map(({ time_s }) => time_s));
  if (run.outcome === "arrived" && Number.isFinite(shortest))
    words.push(
      `The ball closes in ${quantityWords(motion, "time", "ms")}; the ratings allow it ${valueWords(shortest, undefined, "time", "ms")}.`,
    );
  const opened = (answer.bounds?.opened ?? [])
    .flatMap(({ place, pressure_Pa }) =>
      place.allowed_Pa === undefined ? [] : [{ place, pressure_Pa, share: pressure_Pa / place.allowed_Pa }],
    )
    .toSorted((a, b) => b.share - a.share)[0];
  const prime = answer.priming?.filled;
  if (prime !== undefined)
    words.push(
      prime.time === undefined
        ? `Gas that is shut in holds the front off; it is compressed to ${quantityWords(prime.gasPressure, "pressure")}.`
        : `The empty line fills in ${quantityWords(prime.time, "time", "ms")}, and the front is stopped with ${quantityWords(prime.stopPressure, "pressure")}.`,
    );
  if (opened !== undefined && opened.share > 1)
    words.push(
      `An opening raises ${opened.place.name} to ${quantityWords(opened.pressure_Pa, "pressure")}, where it may reach ${quantityWords(opened.place.allowed_Pa ?? Number.NaN, "pressure")}.`,
    );
  return words.join(" ");
}

/** Highest of the closing over what a place may reach [-]. */
function shareOf({ figures }: SurgeAnswer, place: SurgePlace): number {
  return (figures.nominal[surgeFigure(place)] ?? Number.NaN) / (place.allowed_Pa ?? Number.NaN);
}

function driversOf(context: Context, answer: SurgeAnswer): readonly Driver[] {
  if (needsOf(answer).length > 0) return [];
  const valve = answer.places.find(({ kind }) => kind === "valve");
  const of = (figure: string, words: string) =>
    rankOwnDrivers(context, answer.figures, figure, words).map((driver) => ({
      ...driver,
      label: `${driver.label}, for ${words}`,
    }));
  return [
    ...(valve === undefined ? [] : of(surgeFigure(valve), "the closing surge at the valve")),
    ...of("ratio", "the closing time over the shortest"),
    ...of("prime", "the priming surge"),
  ].toSorted((a, b) => b.share - a.share);
}
