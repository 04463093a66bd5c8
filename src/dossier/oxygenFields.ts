/** Fields about ignition in an oxidiser: the wetted parts, what only a person can say of them, and the records. */
import type { Bounds } from "../quantity/index.js";
import { choice, list, quantity, type SectionValue, section, text } from "./field.js";

const positive: Bounds = { minExclusive: 0 };
const notNegative: Bounds = { min: 0 };
const fraction: Bounds = { min: 0, max: 1, because: "It is a share of the gas there." };
const yesNo = ["yes", "no"] as const;

const who = text("Who says so.", "design review, valve group");
const when = text("The day on which it was found, with the year first.", "2026-03-02");
const note = text("What was looked at, or the drawing that shows it.", "drawing sheet 4, section B-B");

/** A question that only a person can answer. Without who and when it stays open. */
const asked = (words: string) =>
  section(
    { answer: choice(yesNo, words), who, when, note },
    `${words} An answer needs \`who\` and \`when\`.`,
  );

const consequences = ["negligible", "marginal", "critical", "catastrophic"] as const;
const consequence = (of: string) => choice(consequences, `What a fire in the valve does to ${of}.`);

const wettedParts = list(
  {
    name: text("What the part is; no two parts share a name.", "ball"),
    kind: choice(["metal", "polymer", "lubricant"], "What it is made of."),
    material: text(
      "Its material, a name of data/oxygen; of another one nothing is known but what stands beside it.",
      "stainless-316",
    ),
    who,
    when,
    exposed: choice(
      ["stream", "cavity", "dead end", "sealed"],
      "Where it meets the oxidiser: in the stream, in a cavity beside it, at the end of a passage, or behind a seal, where it meets what leaks.",
    ),
    impinged: choice(yesNo, "Whether gas or what it carries can strike it at 45 to 90 deg."),
    struck: choice(
      yesNo,
      "Whether something strikes it in use: a stop inside the wetted space, a part that chatters.",
    ),
    rubs: text("The part on which it rubs, by its name; `nothing` where it rubs on none.", "seats"),
    contact: choice(
      ["ball on seat", "stem collar", "stem in bush", "trunnion", "other"],
      "Which contact that is: pressure and speed of `ball on seat` and `stem collar` follow from the valve, of the others from the two fields below.",
    ),
    contact_pressure: quantity("stress", positive, "Largest pressure of that contact.", "8 MPa"),
    rubbing_radius: quantity("length", positive, "Radius at which it rubs, about the stem's axis.", "7 mm"),
    beside: text(
      "The metal part that it would set on fire by touching it, by its name; `nothing` where it touches none.",
      "ball",
    ),
    mass: quantity("mass", positive, "Its mass, of a lubricant the amount that is applied.", "12 g +/- 5 %"),
    thickness: quantity("length", positive, "Thinnest wetted section of a metal.", "5 mm"),
    depth: quantity("length", positive, "Depth of the cavity or passage in which it lies.", "15 mm"),
    mouth: quantity("length", positive, "Width of that cavity's mouth along the stream.", "6 mm"),
    autoignition_temperature: quantity(
      "temperature",
      positive,
      "Autoignition temperature of the batch, from a test at `autoignition_pressure`; goes before data/oxygen.",
      "430 degC",
    ),
    autoignition_pressure: quantity("pressure", positive, "Oxygen pressure of that test.", "103 bar(a)"),
    heat_of_combustion: quantity(
      "specific energy",
      positive,
      "Heat of combustion of the batch; goes before data/oxygen.",
      "7.1 MJ/kg",
    ),
    batch: text("Batch of a lubricant.", "PG-7, batch 3"),
    tested: text("Which test of this batch of a lubricant in oxygen stands in which report.", "report L-12"),
    temperature: quantity(
      "temperature",
      positive,
      "Lowest temperature of a lubricated place; left out: that of the valve.",
      "250 K",
    ),
    justification: text(
      "Why this part is used here in spite of what is said against it; for the specialist.",
      "thin ring, held on three sides by copper alloy",
    ),
  },
  "Every part that the oxidiser wets, lubricants too.",
);

/** Questions that no file and no calculation answers. */
const configuration = section(
  {
    burrs: asked("Are there burrs, chips or thin edges in the wetted space?"),
    drilled_intersections: asked("Do drilled passages meet with edges that are not broken?"),
    dead_ends: asked("Is there a dead end behind the valve that its opening fills with pressure?"),
    fast_upstream: asked("Can something ahead of the closed valve put pressure on it within a second?"),
    gas_at_start: asked("Can gas stand before the ball when it opens?"),
    particle_filter: section(
      {
        answer: choice(yesNo, "Whether a filter stands ahead of the valve."),
        rating: quantity("length", positive, "Largest particle that passes it.", "40 um"),
        who,
        when,
        note,
      },
      "Is there a filter ahead of the valve, and what passes it? An answer needs `who` and `when`.",
    ),
    lubricated: asked("Is there any lubricant, sealant or assembly aid in the wetted space?"),
  },
  "What only a person who knows drawing and line can answer.",
);

const cleaning = section(
  {
    procedure: text("Procedure with its revision.", "C-4, revision 2"),
    method: text("How it was cleaned, with agent and rinse.", "ultrasonic, aqueous, rinsed with pure water"),
    largest_particle: quantity("length", notNegative, "Largest particle that was found.", "180 um"),
    residue: quantity("mass per area", notNegative, "Non-volatile residue that was found.", "15 mg/m2"),
    inspection: text(
      "How it was inspected: white light, ultraviolet, wipe.",
      "white and ultraviolet light, wipe",
    ),
    packaging: text(
      "How it was packed, with the seal's number.",
      "two clean-room bags, dry nitrogen, seal 0117",
    ),
    who: text("Who cleaned it.", "clean room, shift A"),
    inspector: text("Who inspected it, another one than who cleaned it.", "quality, shift A"),
    when,
    expires: text("Last day on which the record holds, with the year first.", "2027-03-01"),
  },
  "Record of the cleaning of this valve as assembled. Every field is needed.",
);

/** Fields of the section `oxygen`. */
export const oxygenFields = section(
  {
    parts: wettedParts,
    configuration,
    compression: section(
      {
        initial_pressure: quantity(
          "pressure",
          positive,
          "Pressure in the dead end or cavity before it is filled.",
          "1.013 bar(a)",
        ),
        initial_temperature: quantity(
          "temperature",
          positive,
          "Temperature of the gas in it before: the warmest is the worst.",
          "{ from: 15 degC, to: 35 degC }",
        ),
        final_pressure: quantity(
          "pressure",
          positive,
          "Pressure to which it is filled; left out: the highest supply pressure of duty and cases with an oxidiser.",
          "28 bar(a)",
        ),
      },
      "Gas that the opening shuts in at a dead end and compresses.",
    ),
    ignition_margin: quantity(
      "temperature difference",
      notNegative,
      "Distance that a temperature of compression keeps from an autoignition temperature.",
      "100 K",
    ),
    start_gas: section(
      {
        temperature: quantity(
          "temperature",
          positive,
          "Temperature of gas that stands before the ball when it opens.",
          "{ from: 110 K, to: 300 K }",
        ),
      },
      "Gas ahead of the ball at the start, where there can be any.",
    ),
    cleanliness: section(
      {
        largest_particle: quantity("length", positive, "Largest particle that is allowed.", "300 um"),
        residue: quantity("mass per area", positive, "Non-volatile residue that is allowed.", "100 mg/m2"),
      },
      "Cleanliness that this valve needs, by the rules that bind you.",
    ),
    cleaning,
    continuity: section(
      {
        ball_to_body: quantity("resistance", notNegative, "Resistance between ball and body.", "0.8 ohm"),
        stem_to_body: quantity("resistance", notNegative, "Resistance between stem and body.", "0.5 ohm"),
        who,
        when,
      },
      "Electrical continuity as measured, dry and assembled.",
    ),
    drive_space: section(
      {
        purged: choice(yesNo, "Whether packing and gearbox are purged with inert gas or dry air."),
        packing: quantity(
          "ratio",
          fraction,
          "Oxygen fraction measured at the packing's leak port or in the air around it, valve under pressure.",
          "21.2 %",
        ),
        gearbox: quantity("ratio", fraction, "Oxygen fraction measured in gearbox and motor.", "20.9 %"),
        who,
        when,
      },
      "Oxygen where packing, gearbox and motor are, as measured.",
    ),
    consequence: section(
      {
        people: consequence("people"),
        equipment: consequence("valve, line and stand"),
        test: consequence("the test or the mission"),
        because: text("Why so.", "remote stand, nobody within the distance"),
        who,
        when,
      },
      "Rating of the reaction's consequence. Every field is needed.",
    ),
    specialist: section(
      {
        who: text("The oxygen specialist.", "oxygen panel of the stand"),
        when,
        finding: choice(
          ["accepted", "not accepted"],
          "What the review came to: the list with its credible mechanisms is accepted for this use, or it is not.",
        ),
        document: text("What was reviewed, and where it is written down.", "minutes O-3"),
      },
      "The review of the list by an oxygen specialist, once it has been.",
    ),
  },
  "What ignition in an oxidiser depends on.",
);

/** One wetted part as declared. */
export type WettedPart = SectionValue<(typeof wettedParts)["fields"]>;
export type OxygenFields = SectionValue<(typeof oxygenFields)["fields"]>;
