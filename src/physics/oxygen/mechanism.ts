/**
 * The screen of ignition mechanisms: each counts for a part only if all its conditions are present at
 * once [astm-g88-2021; astm-mnl-36-2007]. What no one has answered leaves it open; nothing open is taken
 * as absent.
 */

/** A condition of a mechanism, in words. */
export interface Condition {
  readonly id: string;
  readonly words: string;
}

/** A mechanism by which an oxidiser can set a part on fire. */
export interface Mechanism<Id extends string = string> {
  readonly id: string;
  readonly name: string;
  readonly conditions: readonly (Condition & { readonly id: Id })[];
  readonly source: string;
}

/** What is known of a condition, and on whose word. */
export type Fact =
  | { readonly state: "present"; readonly words: string }
  | { readonly state: "absent"; readonly words: string; readonly word: string }
  | { readonly state: "open"; readonly needs: readonly string[] };

/** What the screen says of one mechanism at one part. */
export type Outcome =
  | {
      readonly kind: "not credible";
      /** The conditions that are absent, each with on whose word. */
      readonly absent: readonly {
        readonly condition: string;
        readonly words: string;
        readonly word: string;
      }[];
    }
  | { readonly kind: "credible"; readonly present: readonly string[] }
  | {
      readonly kind: "open";
      readonly open: readonly string[];
      /** Fields or evidence that would decide it. */
      readonly needs: readonly string[];
    };

/**
 * Screens one mechanism: not credible where a condition is absent, else open where one is not known,
 * else credible.
 * @param facts  one of each condition of the mechanism
 */
export function screened<Id extends string>(
  { conditions }: Mechanism<Id>,
  facts: Readonly<Record<Id, Fact>>,
): Outcome {
  const known = conditions.map(({ id, words }) => ({ condition: words, fact: facts[id] }));
  const absent = known.flatMap(({ condition, fact }) =>
    fact.state === "absent" ? [{ condition, words: fact.words, word: fact.word }] : [],
  );
  if (absent.length > 0) return { kind: "not credible", absent };
  const open = known.flatMap(({ condition, fact }) =>
    fact.state === "open" ? [{ condition, needs: fact.needs }] : [],
  );
  if (open.length > 0)
    return {
      kind: "open",
      open: open.map(({ condition }) => condition),
      needs: [...new Set(open.flatMap(({ needs }) => needs))],
    };
  return {
    kind: "credible",
    present: known.flatMap(({ fact }) => (fact.state === "present" ? [fact.words] : [])),
  };
}

/** Hard particles in fast gas strike a metal that burns. */
export const particleImpact: Mechanism<"particles" | "stream" | "speed" | "impinged" | "flammable"> = {
  id: "particle-impact",
  name: "particle impact",
  conditions: [
    { id: "particles", words: "particles can be present" },
    { id: "stream", words: "it stands in the stream" },
    { id: "speed", words: "gas is faster than the threshold" },
    { id: "impinged", words: "what the gas carries strikes it at 45 to 90 deg" },
    { id: "flammable", words: "it burns at this pressure and thickness" },
  ],
  source: "astm-g88-2021, particle impact",
};

/** Gas that is shut in and compressed heats a non-metal. */
export const pneumaticCompression: Mechanism<"nonMetal" | "exposed" | "shutIn" | "hot"> = {
  id: "pneumatic-compression",
  name: "pneumatic compression",
  conditions: [
    { id: "nonMetal", words: "it is no metal" },
    { id: "exposed", words: "compressed gas reaches it" },
    { id: "shutIn", words: "gas is compressed within about a second, against a dead end or the closed ball" },
    { id: "hot", words: "the gas comes within the margin of its autoignition temperature" },
  ],
  source: "astm-g88-2021, pneumatic impact",
};

/** A blow lights a non-metal, or what soils a metal. */
export const mechanicalImpact: Mechanism<"struck" | "sensitive"> = {
  id: "mechanical-impact",
  name: "mechanical impact",
  conditions: [
    { id: "struck", words: "something strikes it in use" },
    { id: "sensitive", words: "it is no metal, or soiled" },
  ],
  source: "astm-g88-2021, mechanical impact",
};

/** Metal rubs on metal until it burns. */
export const friction: Mechanism<"rubs" | "metals" | "flammable"> = {
  id: "friction",
  name: "friction and galling",
  conditions: [
    { id: "rubs", words: "it rubs under load" },
    { id: "metals", words: "both surfaces are metal" },
    { id: "flammable", words: "it burns at this pressure" },
  ],
  source: "astm-g88-2021, galling and friction",
};

/** Something that lights easily sets the metal beside it on fire. */
export const promotedCombustion: Mechanism<"metal" | "kindling" | "flammable"> = {
  id: "promoted-combustion",
  name: "kindling chain",
  conditions: [
    { id: "metal", words: "it is a metal" },
    { id: "kindling", words: "a non-metal or soil that can burn touches it" },
    { id: "flammable", words: "it burns at this pressure" },
  ],
  source: "astm-g88-2021, promoted ignition",
};

/** Gas that flows past a cavity sounds and heats what lies in it. */
export const resonance: Mechanism<"cavity" | "kindling" | "driven"> = {
  id: "resonance",
  name: "acoustic resonance",
  conditions: [
    { id: "cavity", words: "it lies in a cavity or dead end beside the stream" },
    { id: "kindling", words: "it is no metal, or particles or soil can lie there" },
    { id: "driven", words: "gas passes fast enough to sound the cavity" },
  ],
  source: "astm-g88-2021, resonance",
};

/** A charge that cannot flow off sparks. */
export const staticDischarge: Mechanism<"nonMetal" | "dryGas" | "isolated"> = {
  id: "electrical",
  name: "electrical discharge",
  conditions: [
    { id: "nonMetal", words: "it is a non-metal that charges" },
    { id: "dryGas", words: "dry gas or liquid flows over it, or it rubs" },
    { id: "isolated", words: "ball, stem and body are not connected" },
  ],
  source: "astm-g88-2021, static discharge; iso-17292-2015, antistatic device",
};

/** A fault of the drive's electrics in a space that is rich in oxidiser. */
export const electricalArc: Mechanism<"enriched" | "powered"> = {
  id: "electrical-arc",
  name: "electrical arc at the drive",
  conditions: [
    { id: "enriched", words: "oxidiser can gather at packing, gearbox or motor" },
    { id: "powered", words: "a motor, sensor or cable stands there" },
  ],
  source: "astm-g88-2021, electrical arc",
};
