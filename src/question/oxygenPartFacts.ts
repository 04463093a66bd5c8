/** What is known of each condition of a mechanism of ignition at one wetted part, and on whose word. */
import {
  isFaulty,
  type OxygenStanding,
  oxygenLimits,
  oxygenMaterialNames,
  type WettedPart,
} from "../dossier/index.js";
import { nearName } from "../fault/index.js";
import { exemptionPressure, type Fact, soundingSpeeds, usableAutoignition } from "../physics/oxygen/index.js";
import type { OxygenAnswer } from "../predict/index.js";
import type { Length, Pressure, Speed } from "../quantity/index.js";
import type { Context } from "./context.js";
import { continuityOf, soiled } from "./oxygenEvidence.js";
import { absent, anyOf, byCalculation, open, present } from "./oxygenFact.js";
import {
  configurationOf,
  endsOf,
  jetNeeds,
  needsOf,
  noDataOf,
  openingTimeOf,
  oxygenFieldsOf,
  type Part,
  staysLiquid,
} from "./oxygenFacts.js";
import { unsigned, wordOf } from "./signed.js";
import { quantityWords } from "./words.js";

/** Facts of one part, each asked for when a mechanism needs it. */
export class PartFacts {
  constructor(
    private readonly context: Context,
    private readonly part: Part,
    private readonly all: readonly Part[],
  ) {}

  private get answer(): OxygenAnswer {
    return this.context.own.oxygen;
  }

  /** Absent on the word of whoever declared the part; open without a word. */
  private denied(words: string): Fact {
    const word = wordOf(this.context, this.part.fields);
    return word === undefined
      ? open(unsigned(this.context, this.part.path, this.part.fields))
      : absent(words, word);
  }

  private needs(...fields: readonly (keyof WettedPart & string)[]): Fact {
    return open(fields.map((field) => `${this.part.path}.${field}`));
  }

  /** A field that was entered with a fault: nothing takes its place. */
  private hasFault(field: keyof WettedPart & string): boolean {
    return isFaulty(this.context.prediction.dossier, `${this.part.path}.${field}`);
  }

  get isNonMetal(): Fact {
    const { kind } = this.part.fields;
    if (kind === undefined) return this.needs("kind");
    return kind === "metal" ? this.denied("it is a metal") : present(`it is a ${kind}`);
  }

  get isMetal(): Fact {
    const { kind } = this.part.fields;
    if (kind === undefined) return this.needs("kind");
    return kind === "metal" ? present("it is a metal") : this.denied(`it is a ${kind}`);
  }

  /** No calculation and no record takes the last particle away. */
  get particles(): Fact {
    const filter = configurationOf(this.context, "particle_filter");
    const rating = oxygenFieldsOf(this.context)?.configuration?.particle_filter?.rating;
    const passed =
      "answer" in filter && filter.answer === "yes" && rating !== undefined
        ? `, up to ${quantityWords(rating.value, "length", "um")} pass the filter`
        : "";
    return present(`particles are always taken as present${passed}`);
  }

  get inStream(): Fact {
    const { exposed } = this.part.fields;
    if (exposed === undefined) return this.needs("exposed");
    return exposed === "stream" ? present("it stands in the stream") : this.denied(`it lies: ${exposed}`);
  }

  get isReached(): Fact {
    const { exposed } = this.part.fields;
    if (exposed === undefined) return this.needs("exposed");
    return exposed === "sealed" ? this.denied("it lies behind a seal") : present(`it lies: ${exposed}`);
  }

  get inCavity(): Fact {
    const { exposed } = this.part.fields;
    if (exposed === undefined) return this.needs("exposed");
    return exposed === "cavity" || exposed === "dead end"
      ? present(`it lies: ${exposed}`)
      : this.denied(`it lies: ${exposed}`);
  }

  get isImpinged(): Fact {
    const { impinged } = this.part.fields;
    if (impinged === undefined) return this.needs("impinged");
    return impinged === "yes"
      ? present("the stream strikes it")
      : this.denied("the stream does not strike it");
  }

  get isStruck(): Fact {
    const { struck } = this.part.fields;
    if (struck === undefined) return this.needs("struck");
    return struck === "yes" ? present("something strikes it") : this.denied("nothing strikes it");
  }

  /** The part on which it rubs, declared on either of the two. */
  get counterpart(): Part | "nothing" | undefined {
    const { rubs } = this.part.fields;
    if (this.hasFault("rubs")) return undefined;
    const reverse = this.all.find(({ fields }) => fields.rubs === this.part.name);
    if (rubs === undefined) return reverse;
    if (rubs === "nothing") return reverse ?? "nothing";
    return this.all.find(({ name }) => name === rubs);
  }

  get rubs(): Fact {
    const other = this.counterpart;
    if (other === undefined)
      return this.part.fields.rubs === undefined
        ? this.needs("rubs")
        : open([`${this.part.path}.rubs: the name of a wetted part, and ${this.part.fields.rubs} is none`]);
    return other === "nothing" ? this.denied("it rubs on nothing") : present(`it rubs on: ${other.name}`);
  }

  get rubsMetalOnMetal(): Fact {
    const other = this.counterpart;
    if (this.part.fields.kind === undefined) return this.needs("kind");
    if (this.part.fields.kind !== "metal") return this.denied(`it is a ${this.part.fields.kind}`);
    if (other === undefined) return this.rubs;
    if (other === "nothing") return this.denied("it rubs on nothing");
    if (other.fields.kind === undefined) return open([`${other.path}.kind`]);
    return other.fields.kind === "metal"
      ? present(`metal on metal: ${other.name}`)
      : this.denied(`on a ${other.fields.kind}: ${other.name}`);
  }

  /** Whether the metal goes on burning at the highest pressure; a non-metal does. */
  get burns(): Fact {
    return this.burnsAt("gauge");
  }

  /** The same at a pressure over the atmosphere: the highest supply, or that of liquid that flashes. */
  burnsAt(figure: "gauge" | "boilingGauge"): Fact {
    const { kind, material, thickness } = this.part.fields;
    if (kind === undefined) return this.needs("kind");
    if (kind !== "metal") return present(`a ${kind} burns in it`);
    if (material === undefined) return this.needs("material");
    const { standing, path } = this.part;
    if (standing === undefined) return open([this.noStanding]);
    const gauge = endsOf(this.answer.jets.figures, figure).high;
    if (Number.isNaN(gauge)) return open(jetNeeds(this.answer, figure));
    const reaching = standing.exemptions.filter(({ gaugePressure }) => gaugePressure >= gauge);
    const words = `${standing.name} has no exemption at ${quantityWords(gauge, "pressure difference", "bar")} over the atmosphere`;
    if (reaching.length === 0) return present(words);
    const [thinnest = 0] = reaching.map((one) => one.thickness).toSorted((a, b) => a - b);
    if (thinnest > 0) {
      if (thickness === undefined) return open([`${path}.thickness`]);
      // A burr is as thin as it is, whatever the wall.
      for (const id of ["burrs", "drilled_intersections"] as const) {
        const edges = configurationOf(this.context, id);
        if ("needs" in edges) return open(edges.needs);
        if (edges.answer === "yes") return present(`${standing.name} with thin edges has no exemption`);
      }
    }
    const upTo = exemptionPressure(standing.exemptions, (thickness?.value ?? Number.MAX_VALUE) as Length);
    return upTo !== undefined && upTo >= gauge
      ? absent(
          `${standing.name} is exempt up to ${quantityWords(upTo, "pressure difference", "bar")} over the atmosphere`,
          [...new Set(reaching.map(({ source }) => source))].join("; "),
        )
      : present(words);
  }

  /** Either of two that rub. */
  get eitherBurns(): Fact {
    const other = this.counterpart;
    if (other === undefined || other === "nothing") return this.burns;
    const facts = [this.burns, new PartFacts(this.context, other, this.all).burns];
    return anyOf(facts);
  }

  /** Both of two that rub: where one of them does not burn, the check of rubbing leaves them. */
  get bothBurn(): Fact {
    const other = this.counterpart;
    if (other === undefined || other === "nothing") return this.burns;
    const facts = [this.burns, new PartFacts(this.context, other, this.all).burns];
    return (
      facts.find(({ state }) => state === "absent") ??
      facts.find(({ state }) => state === "open") ??
      this.burns
    );
  }

  get noStanding(): string {
    const { fields, path } = this.part;
    const { service } = this.answer;
    if (service.kind === "oxidiser" && !service.isOnFile) return noDataOf(service.name);
    const { kind, material } = fields;
    if (kind === undefined || material === undefined)
      return `${path}.${kind === undefined ? "kind" : "material"}`;
    const near = nearName(material, oxygenMaterialNames(kind));
    return `${path}.material: one on file in data/oxygen, which ${material} is not${near === undefined ? "" : `; near is ${near}`}`;
  }

  /** The gas of the fastest jet against a speed. */
  private fasterThan(least: number, what: string): Fact {
    const { jets } = this.answer;
    const atStart = configurationOf(this.context, "gas_at_start");
    const flash = staysLiquid(this.answer) ? 0 : endsOf(jets.figures, "flash").high;
    const gas = endsOf(jets.figures, "gas").high;
    const speed = (value: number) => quantityWords(value, "speed", "m/s");
    if (flash > least) return present(`liquid that flashes reaches ${speed(flash)}, ${what}`);
    if ("answer" in atStart && atStart.answer === "yes" && gas > least)
      return present(`gas reaches ${speed(gas)}, ${what}`);
    if (Number.isNaN(flash)) return open(jetNeeds(this.answer, "flash"));
    if ("needs" in atStart) return open(atStart.needs);
    if (atStart.answer === "no")
      return absent(
        flash === 0 ? `the jet stays liquid, and no gas stands before the ball` : `gas is slower, ${what}`,
        `${byCalculation}; no gas at the start: ${atStart.word}`,
      );
    if (Number.isNaN(gas)) return open(jetNeeds(this.answer, "gas"));
    return absent(`gas is slower, ${what}`, byCalculation);
  }

  get isFast(): Fact {
    const { particleSpeed } = oxygenLimits;
    return this.fasterThan(particleSpeed, `threshold ${quantityWords(particleSpeed, "speed", "m/s")}`);
  }

  /** Whether the stream sounds the cavity in which it lies. */
  get sounds(): Fact {
    const speeds = this.soundingSpeeds;
    if ("needs" in speeds) return open(speeds.needs);
    return this.fasterThan(speeds.low, `the cavity sounds from ${quantityWords(speeds.low, "speed", "m/s")}`);
  }

  get soundingSpeeds():
    | { readonly low: number; readonly high: number }
    | { readonly needs: readonly string[] } {
    const { depth, mouth } = this.part.fields;
    const sound = this.answer.jets.figures.nominal.sound ?? Number.NaN;
    const needs = [
      ...(depth === undefined ? [`${this.part.path}.depth`] : []),
      ...(mouth === undefined ? [`${this.part.path}.mouth`] : []),
      ...(Number.isNaN(sound) ? jetNeeds(this.answer, "sound") : []),
    ];
    if (depth === undefined || mouth === undefined || needs.length > 0) return { needs };
    return soundingSpeeds(
      sound as Speed,
      depth.value as Length,
      mouth.value as Length,
      oxygenLimits.strouhal,
    );
  }

  /** Gas that is shut in and compressed: by the valve's own opening, or by what lies ahead of it. */
  get shutIn(): Fact {
    const { exposed } = this.part.fields;
    return anyOf([
      openingShutsIn(this.context),
      upstreamShutsIn(this.context),
      ...(exposed === "cavity" ? [openingFillsCavity(this.context)] : []),
      ...(exposed === "dead end" ? [this.deadEndIsDenied] : []),
    ]);
  }

  /** A part in a dead end where somebody says that there is none: one of the two is wrong. */
  private get deadEndIsDenied(): Fact {
    const said = configurationOf(this.context, "dead_ends");
    return "answer" in said && said.answer === "no"
      ? open([
          `oxygen.configuration.dead_ends.answer: says no, and ${this.part.path}.exposed says dead end; one of the two`,
        ])
      : absent("the dead end is in the answer on dead ends", byCalculation);
  }

  /** Autoignition temperature at the final pressure: the batch's own test first. */
  get autoignition(): number | readonly string[] {
    const { fields, path, standing } = this.part;
    const final = endsOf(this.answer.compression.figures, "final").high as Pressure;
    if (Number.isNaN(final)) return needsOf(this.answer.compression, "final");
    const { autoignition_temperature: T, autoignition_pressure: p } = fields;
    if (this.hasFault("autoignition_temperature")) return [`${path}.autoignition_temperature`];
    if (T !== undefined && p === undefined) return [`${path}.autoignition_pressure`];
    const test =
      T !== undefined && p !== undefined
        ? { T: T.value as OxygenTemperature, p: p.value as Pressure }
        : standing?.autoignition;
    if (test === undefined) return [`${path}.autoignition_temperature`];
    return (
      usableAutoignition(test, final) ?? [
        `${path}.autoignition_temperature: of a test at ${quantityWords(final, "pressure")} or more`,
      ]
    );
  }

  get isHot(): Fact {
    const { compression } = this.answer;
    const compressed = endsOf(compression.figures, "compressed").high;
    const margin = oxygenFieldsOf(this.context)?.ignition_margin?.value;
    const ignition = this.autoignition;
    const needs = [
      ...(Number.isNaN(compressed) ? needsOf(compression, "compressed") : []),
      ...(margin === undefined ? ["oxygen.ignition_margin"] : []),
      ...(typeof ignition === "number" ? [] : ignition),
    ];
    if (needs.length > 0 || margin === undefined || typeof ignition !== "number") return open(needs);
    const words = `compressed gas comes to ${quantityWords(compressed, "temperature", "K")}, autoignition ${quantityWords(ignition, "temperature", "K")}`;
    return compressed > ignition - margin ? present(words) : absent(words, byCalculation);
  }

  /** What lights easily beside this metal. */
  get kindling(): readonly Part[] {
    return this.all.filter(({ fields }) => fields.kind !== "metal" && fields.beside === this.part.name);
  }

  get hasKindling(): Fact {
    const beside = this.kindling;
    if (beside.length > 0) return present(`beside it: ${beside.map(({ name }) => name).join(", ")}`);
    const unsaid = this.all.filter(({ fields }) => fields.kind !== "metal" && fields.beside === undefined);
    if (unsaid.length > 0) return open(unsaid.map(({ path }) => `${path}.beside`));
    return soiled(this.context);
  }

  get isSensitive(): Fact {
    const { kind } = this.part.fields;
    if (kind === undefined) return this.needs("kind");
    return kind === "metal" ? soiled(this.context) : present(`it is a ${kind}`);
  }

  get holdsKindling(): Fact {
    return present("particles can lie there");
  }

  get charges(): Fact {
    const { exposed, rubs } = this.part.fields;
    if (exposed === undefined) return this.needs("exposed");
    if (exposed !== "sealed") return present("the medium passes over it");
    if (rubs === undefined) return this.needs("rubs");
    return rubs === "nothing" ? this.denied("nothing passes over it or rubs on it") : present("it rubs");
  }

  get isIsolated(): Fact {
    const measured = continuityOf(this.context);
    if ("needs" in measured) return open(measured.needs);
    const words = `${quantityWords(measured.largest, "resistance")} across the valve`;
    return measured.largest <= oxygenLimits.continuity ? absent(words, measured.word) : present(words);
  }
}

type OxygenTemperature = NonNullable<OxygenStanding["autoignition"]>["T"];

function openingShutsIn(context: Context): Fact {
  const said = configurationOf(context, "dead_ends");
  if ("answer" in said && said.answer === "no") return absent("no dead end behind the valve", said.word);
  const opening = openingTimeOf(context);
  const slow = oxygenLimits.slowOpening;
  const words = (time: number) => `it opens in ${quantityWords(time, "time")} (10 to 90 % of the travel)`;
  if ("time" in opening && opening.time >= slow) return absent(words(opening.time), byCalculation);
  if ("needs" in said) return open(said.needs);
  if ("needs" in opening) return open(opening.needs);
  return present(`${words(opening.time)} into a dead end; slow is ${quantityWords(slow, "time")} and more`);
}

/** What is around the shut ball stands at the pressure of the side to which it is vented; the opening fills it from the supply. */
function openingFillsCavity(context: Context): Fact {
  const path = "valve.cavity.vent.side";
  const { side } = context.prediction.dossier.valve.valve?.cavity?.vent ?? {};
  if (side === undefined || isFaulty(context.prediction.dossier, path)) return open([path]);
  if (side === "upstream")
    return absent("the shut cavity is vented to the supply, and stands at its pressure", path);
  const opening = openingTimeOf(context);
  if ("needs" in opening) return open(opening.needs);
  const words = `the opening fills the cavity, vented downstream, in ${quantityWords(opening.time, "time")} (10 to 90 % of the travel)`;
  return opening.time >= oxygenLimits.slowOpening ? absent(words, byCalculation) : present(words);
}

function upstreamShutsIn(context: Context): Fact {
  const said = configurationOf(context, "fast_upstream");
  if ("needs" in said) return open(said.needs);
  return said.answer === "yes"
    ? present("pressure comes on the closed ball within a second")
    : absent("no fast pressure on the closed ball", said.word);
}
