/** Question 7: can trapped liquid burst it? The ball's cavity, and every volume that two closed elements shut in. */
import type { TrappedAnswer, TrappedVolume } from "../predict/index.js";
import type { Check, CheckDefinition } from "./check.js";
import type { Context } from "./context.js";
import { failing, judgeOwn, waiting } from "./judgeOwn.js";
import type { Finding, Question } from "./question.js";
import { rankOwnDrivers } from "./rankDrivers.js";
import { trappedFigures } from "./trappedFigures.js";
import { noTrappedWords, timeWords, trappedTables } from "./trappedTables.js";
import { missingWords, quantityWords, valueWords } from "./words.js";

/** Question 7. */
export const trapped: Question = {
  id: "trapped",
  number: 7,
  words: "Can trapped liquid burst it?",
  answer: (context): Finding => {
    const answer = context.own.trapped;
    const unanswered = noTrappedWords(answer);
    return {
      sentence: unanswered ?? sentence(answer),
      checks: unanswered === undefined || answer.medium.kind === "unknown" ? checksOf(context, answer) : [],
      figures: trappedFigures(answer),
      tables: trappedTables(answer),
      drivers: driversOf(context, answer),
    };
  },
};

const everyVolume = "trapped.segments: every volume that two closed elements can shut in";

const cavityDefinition: CheckDefinition = {
  id: "cavity-pressure",
  designChecks: ["cavity-pressure"],
  failureModes: ["body-burst"],
  name: "Ball cavity overpressure",
  dimension: "pressure",
  equation: "min(p(T_ambient, m / V(p)), p_side + dp_seats, p_side + dp_vent) <= p_rating",
  source: "bs-6364-1984, cavity relief; pressure by the equation of state",
  assumptions: [
    "The cavity is closed at the supply pressure and warms to the declared surroundings; pressure is that of the mixed fluid.",
  ],
};

const ventDefinition: CheckDefinition = {
  id: "vent-hole",
  designChecks: ["vent-hole"],
  failureModes: ["body-burst", "vent-freeze"],
  name: "Vent hole side and size",
  dimension: "length",
  equation: "d_needed = sqrt(4 A / pi), A = max over warming of (q / v) (dv/dh)_p / (Cd G) <= d",
  source: "bs-6364-1984, vent of the ball cavity; api-520-1-2014, annex C, homogeneous equilibrium flux",
  assumptions: [
    "The hole keeps the cavity at its rating against the pressure on its side; liquid, boiling mixture and vapour are tried and the worst counts.",
    "Flow through the hole is in equilibrium, which passes less than a short hole does; ice and particles are not in it.",
  ],
};

const segmentDefinition: CheckDefinition = {
  id: "segment-relief",
  designChecks: ["segment-relief"],
  failureModes: ["body-burst"],
  name: "Closed line segment relief",
  dimension: "area",
  equation:
    "A = max(liquid expansion beta q / (rho cp), vapour q / h_fg, boiling liquid) <= A_device; p_closed < p_set, p_open <= p_rating",
  source: "api-521-2014, hydraulic expansion; api-520-1-2014, 5.6 and 5.8; iso-4126-1-2013",
  assumptions: [
    "The area is a figure to hold a chosen device against. Choice, siting and setting belong to competent, licensed people under local law.",
  ],
};

const selfReliefDefinition: CheckDefinition = {
  id: "self-relief-test",
  designChecks: ["self-relief-test"],
  failureModes: ["body-burst"],
  name: "Self relief of seats proven",
  dimension: "pressure",
  equation: "p_side + dp_seats <= p_rating, shown by a test at or below the temperature of the liquid",
  source: "api-6d-2014, cavity relief; the cold test: common practice, no source",
  assumptions: ["A seat that stiffens in the cold relieves later than it does warm."],
};

function checksOf(context: Context, answer: TrappedAnswer): readonly Check[] {
  const { cavity, segments } = answer;
  const missing = answer.medium.kind === "unknown" ? answer.medium.missing : [];
  const ofCavity =
    cavity === undefined
      ? [cavityDefinition, ventDefinition, selfReliefDefinition].map((definition) =>
          waiting(definition, [...missing, "valve.cavity.volume", "valve.cavity.rating"]),
        )
      : [cavityPressure(context, cavity), ventHole(context, cavity), selfRelief(context, cavity)];
  const ofSegments =
    segments.length === 0
      ? [waiting(segmentDefinition, [...missing, everyVolume])]
      : segments.map((segment) => segmentRelief(context, segment));
  return [...ofCavity, ...ofSegments];
}

function cavityOf({ prediction }: Context) {
  return prediction.dossier.valve.valve?.cavity;
}

function ratingNeeds({ rating, path }: TrappedVolume): readonly string[] {
  return rating === undefined ? [`${path}.rating`] : [];
}

function cavityPressure(context: Context, cavity: TrappedVolume): Check {
  const needs = [...unfitNeeds(cavity), ...cavity.missing.highest, ...ratingNeeds(cavity)];
  const { rating, warm, boundedBy } = cavity;
  if (needs.length > 0 || rating === undefined) return waiting(cavityDefinition, needs);
  // What nobody said may relieve it: only a cavity of which all is known can fail.
  const open = openReliefs(context, cavity);
  if (open.length > 0 && !((cavity.figures.nominal.highest ?? Number.NaN) <= rating))
    return waiting(cavityDefinition, open);
  const reached = Number.isFinite(cavity.figures.nominal.time ?? Number.NaN);
  // Seats that no cold test has shown to let go are no relief to count on.
  if (
    boundedBy === "seats" &&
    !isShown(context, cavity) &&
    !((cavity.figures.nominal.warm ?? Number.NaN) <= rating)
  )
    return waiting(cavityDefinition, reliefTestNeeds(context, cavity));
  return judgeOwn(cavityDefinition, {
    figures: cavity.figures,
    figure: "highest",
    limit: { most: rating, words: "valve.cavity.rating" },
    wanted: context.wanted,
    assumptions: [
      `Bounded by ${boundWords[boundedBy]}.`,
      ...(boundedBy === "warming" && warm?.isBeyond === true
        ? ["This is beyond the published range of the equation of state: an order of size."]
        : []),
      ...(boundedBy === "vent hole" && reached
        ? [
            `With the hole shut by ice the rating is passed ${timeWords(cavity)} after closing unless the seats relieve.`,
          ]
        : []),
    ],
  });
}

/** Reliefs of the cavity that are declared in part or not at all. */
function openReliefs(context: Context, { missing }: TrappedVolume): readonly string[] {
  const { vent, self_relief: seats } = cavityOf(context) ?? {};
  const ofVent = vent?.side === undefined ? ["valve.cavity.vent.side"] : [...missing.vent, ...missing.leak];
  const ofSeats =
    seats?.side === undefined
      ? ["valve.cavity.self_relief.side"]
      : seats.difference === undefined
        ? ["valve.cavity.self_relief.difference"]
        : [];
  return [...(vent?.side === "none" ? [] : ofVent), ...(seats?.side === "none" ? [] : ofSeats)];
}

/** Why the fluid of the case cannot be followed in a volume. */
function unfitNeeds({ unfit }: TrappedVolume): readonly string[] {
  return unfit === undefined ? [] : [`a case with liquid in it: ${unfit}`];
}

const boundWords: Readonly<Record<TrappedVolume["boundedBy"], string>> = {
  warming: "the temperature of the surroundings, nothing relieves it before",
  "vent hole": "the open vent hole",
  seats: "the seats' own relief",
};

function ventHole(context: Context, cavity: TrappedVolume): Check {
  const vent = cavityOf(context)?.vent;
  if (vent?.side === "none")
    return failing(ventDefinition, "no vent hole: the cavity relies on its seats alone", {
      wanted: context.wanted,
    });
  const needs = [
    ...unfitNeeds(cavity),
    ...(vent?.side === undefined ? ["valve.cavity.vent.side"] : []),
    ...cavity.missing.vent,
    ...(vent?.diameter === undefined ? ["valve.cavity.vent.diameter"] : []),
    ...(vent?.direction_marked === undefined ? ["valve.cavity.vent.direction_marked"] : []),
    ...(vent?.side === "downstream" && vent.largest_leak === undefined
      ? ["valve.cavity.vent.largest_leak"]
      : []),
  ];
  const { diameter } = vent ?? {};
  if (needs.length > 0 || diameter === undefined) return waiting(ventDefinition, needs);
  const how = { wanted: context.wanted };
  if (vent?.direction_marked === "no")
    return failing(
      ventDefinition,
      "the body does not show the direction of flow: a ball with a vent hole is tight in one direction only",
      how,
    );
  const leak = cavity.figures.nominal.leak ?? Number.NaN;
  const accepted = vent?.largest_leak?.value ?? Number.POSITIVE_INFINITY;
  if (vent?.side === "downstream" && !(leak <= accepted))
    return failing(
      ventDefinition,
      Number.isNaN(leak)
        ? "the hole opens downstream, and the leak through it is not known: supply and back pressure of the shut valve are needed"
        : `the hole opens downstream and leaks ${quantityWords(leak, "mass flow")} past the upstream seat, more than the ${quantityWords(accepted, "mass flow")} accepted`,
      how,
    );
  if (Number.isNaN(cavity.figures.nominal.vent ?? Number.NaN))
    return failing(ventDefinition, "the pressure on the side of the hole is not below the rating", how);
  return judgeOwn(ventDefinition, {
    figures: cavity.figures,
    figure: "vent",
    limit: { most: diameter.value, words: "valve.cavity.vent.diameter" },
    wanted: context.wanted,
    unit: "mm",
    assumptions: [
      `The hole opens to the ${vent?.side} side; ${cavity.vent?.of ?? "liquid"} asks for most.`,
      vent?.side === "downstream"
        ? `It leaks ${quantityWords(leak, "mass flow")} past the upstream seat while the valve is shut.`
        : "Pressure from the downstream side would pass the hole: the valve holds in one direction only.",
      "Between samples the hole scales with the root of heat over the root of the pressure room; its own tolerance is not in the limit.",
    ],
  });
}

/** Whether a test in the cold has shown that the seats let the cavity go. */
function isShown(context: Context, { start }: TrappedVolume): boolean {
  const testedAt = cavityOf(context)?.self_relief?.tested_at?.value;
  return testedAt !== undefined && start !== undefined && testedAt <= start.T;
}

function reliefTestNeeds(context: Context, cavity: TrappedVolume): readonly string[] {
  if (isShown(context, cavity)) return [];
  return cavityOf(context)?.self_relief?.tested_at === undefined
    ? ["valve.cavity.self_relief.tested_at"]
    : ["a relief test of the seats at or below the temperature of the liquid"];
}

function selfRelief(context: Context, cavity: TrappedVolume): Check {
  const seats = cavityOf(context)?.self_relief;
  if (seats?.side === "none")
    return failing(selfReliefDefinition, "the seats hold from both sides and do not relieve the cavity", {
      wanted: context.wanted,
    });
  const { rating } = cavity;
  const needs = [
    ...unfitNeeds(cavity),
    ...(seats?.side === undefined ? ["valve.cavity.self_relief.side"] : []),
    ...(seats?.difference === undefined ? ["valve.cavity.self_relief.difference"] : []),
    ...ratingNeeds(cavity),
    ...(isShown(context, cavity) ? [] : reliefTestNeeds(context, cavity)),
  ];
  if (needs.length > 0 || rating === undefined) return waiting(selfReliefDefinition, needs);
  return judgeOwn(selfReliefDefinition, {
    figures: cavity.figures,
    figure: "seats",
    limit: { most: rating, words: "valve.cavity.rating" },
    wanted: context.wanted,
  });
}

function segmentRelief(context: Context, segment: TrappedVolume): Check {
  const { path, name, rating } = segment;
  const fields = context.prediction.dossier.valve.trapped?.segments?.find(
    (_, j) => `trapped.segments[${j}]` === path,
  );
  const relief = fields?.relief;
  const needs = [
    ...unfitNeeds(segment),
    ...segment.missing.area,
    ...ratingNeeds(segment),
    ...(relief?.area === undefined ? [`${path}.relief.area`] : []),
  ];
  const area = relief?.area;
  if (needs.length > 0 || rating === undefined || area === undefined)
    return waiting(segmentDefinition, needs, name);
  const set = relief?.set_pressure?.value ?? Number.NaN;
  if (!(set <= rating))
    return failing(
      segmentDefinition,
      `the device is set at ${quantityWords(set, "pressure")}, above the rating of ${quantityWords(rating, "pressure")}`,
      { wanted: context.wanted, of: name },
    );
  const against = cannotProtect(segment, rating, set);
  if (against !== undefined) return failing(segmentDefinition, against, { wanted: context.wanted, of: name });
  return judgeOwn(segmentDefinition, {
    figures: segment.figures,
    figure: "area",
    limit: { most: area.value, words: `${path}.relief.area` },
    wanted: context.wanted,
    of: name,
    unit: "mm2",
    assumptions: [
      `Set at ${quantityWords(set, "pressure")}, rating ${quantityWords(rating, "pressure")}; the largest area is that of: ${segment.relief?.largest.way ?? "liquid"}.`,
    ],
  });
}

/** Why a device that is set below the rating does not protect its segment; undefined where it does. */
function cannotProtect({ relief, start }: TrappedVolume, rating: number, set: number): string | undefined {
  const open = relief?.relieving ?? Number.NaN;
  if (open > rating)
    return `the device is wide open only at ${quantityWords(open, "pressure")}, above the rating of ${quantityWords(rating, "pressure")}`;
  if (start === undefined) return undefined;
  if (start.p > rating)
    return `the segment is closed at ${quantityWords(start.p, "pressure")}, above its rating of ${quantityWords(rating, "pressure")}`;
  return set <= start.p
    ? `the device is set at ${quantityWords(set, "pressure")}, not above the ${quantityWords(start.p, "pressure")} at which the segment is closed: it opens in service`
    : undefined;
}

function sentence({ cavity, segments }: TrappedAnswer): string {
  if (cavity === undefined && segments.length === 0)
    return "Not known: neither the ball's cavity (valve.cavity) nor a volume that two closed elements shut in (trapped.segments) is declared.";
  const parts = [cavity, ...segments].flatMap((volume) =>
    volume === undefined ? [] : [volumeWords(volume)],
  );
  return [...parts, ...leakWords(cavity)].join(" ");
}

/** What a hole to the downstream side costs. */
function leakWords(cavity: TrappedVolume | undefined): readonly string[] {
  const leak = cavity?.figures.nominal.leak ?? Number.NaN;
  return cavity?.ventSide !== "downstream" || Number.isNaN(leak)
    ? []
    : [
        `The hole opens downstream: while the valve is shut ${quantityWords(leak, "mass flow")} run through it past the upstream seat.`,
      ];
}

function volumeWords(volume: TrappedVolume): string {
  const { missing, name, figures, rating } = volume;
  const title = `${name.charAt(0).toUpperCase()}${name.slice(1)}`;
  if (volume.unfit !== undefined) return `${title}: not known from this case, ${volume.unfit}.`;
  if (missing.time.length > 0) return `${title}: ${missingWords(missing.time).replace("Not", "not")}`;
  const limit = rating === undefined ? "" : ` of ${quantityWords(rating, "pressure")}`;
  const time = figures.nominal.time ?? Number.NaN;
  const clock = Number.isFinite(time)
    ? `${title}, shut in without relief, passes its rating${limit} ${timeWords(volume)} after closing`
    : `${title}, shut in without relief, does not reach its rating${limit} by warming`;
  const highest = figures.nominal.highest ?? Number.NaN;
  const held =
    volume.kind === "cavity" && volume.boundedBy !== "warming"
      ? `; ${volume.boundedBy === "vent hole" ? "the open vent hole keeps" : "the seats' own relief keeps"} it at ${quantityWords(highest, "pressure")} or below`
      : "";
  const { relief } = volume;
  const relieved =
    relief === undefined
      ? ""
      : `; its relief device, open at ${quantityWords(relief.relieving, "pressure")}, needs ${valueWords(relief.largest.area, undefined, "area", "mm2")}`;
  return `${clock}${held}${relieved}.`;
}

function driversOf(context: Context, { cavity, segments }: TrappedAnswer) {
  const first = [cavity, ...segments].find(
    (volume) => volume !== undefined && Number.isFinite(volume.figures.nominal.time ?? Number.NaN),
  );
  return first === undefined
    ? []
    : rankOwnDrivers(context, first.figures, "time", `the time to the rating of the ${first.name}`);
}
