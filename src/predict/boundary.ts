/**
 * What keeps the pressure in, in one case (docs/theory/boundary.md): the maximum expected pressure, and walls,
 * flange bolts and the stem's shoulder at proof, each with a small band of its own. Proof is at ambient.
 */
import {
  conditionsOf,
  type Dossier,
  isFaulty,
  proofRule,
  referenceTemperatures,
  type ValveFile,
} from "../dossier/index.js";
import {
  allowedStress,
  boreStress,
  burstPressure,
  coverStress,
  ejectionForce,
  endLoadPerBolt,
  loadedBolt,
  neededCover,
  neededTubeWall,
  shoulderStress,
  wallLeft,
} from "../physics/boundary/index.js";
import { boltForce } from "../physics/cold/index.js";
import type { Area, Declared, Force, Length, Temperature } from "../quantity/index.js";
import { type Solid, type SolidValue, solidProperty } from "../substance/index.js";
import { ChainGatherer, type ColdChain, chainOf, shrunk } from "./coldChain.js";
import type { Slot } from "./gather.js";
import { ownBand, type Sampling } from "./ownBand.js";
import type { SurgeAnswer } from "./surgeAnswer.js";
import type { TrappedAnswer, TrappedVolume } from "./trapped.js";
import { placeOf } from "./trappedPlan.js";

/** A pressure that may be the maximum expected one, absolute. */
export interface ExpectedPressure {
  /** "supply and surge", "ball cavity". */
  readonly of: string;
  readonly pressure_Pa: number;
}

/** Factors on the expected pressure; undefined where nobody named a rule or a factor. */
export interface FactorsWanted {
  readonly name: string | undefined;
  readonly from: string | undefined;
  readonly proof: number | undefined;
  readonly burst: number | undefined;
}

/** What keeps the pressure in. Figures: of `pressure` the maximum `expected` one [Pa], and `proof` and `burst` pressures
 * tested over it [-]; of a wall the `share` of it that is needed, `proof` stress over yield [-], `needed` and `left` [m],
 * and of a tube the pressure of `burst` by calculation [Pa]; of the bolts `proof` stress over yield [-], `gap` and `coldGap`:
 * what still clamps one bolt at proof and cold [N]; of the stem `share`: the worse of shear and pressure of its shoulder at proof over what yields [-]. */
export interface BoundaryAnswer {
  /** The case has no fluid under pressure. */
  readonly isDry: boolean;
  readonly rule: FactorsWanted;
  /** Fields that the maximum expected pressure lacks. */
  readonly missing: readonly string[];
  /** Nominal, largest first. */
  readonly pressures: readonly ExpectedPressure[];
  readonly pressure: ColdChain;
  readonly walls: readonly ColdChain[];
  readonly bolts: ColdChain | undefined;
  readonly retention: ColdChain | undefined;
}

type BoundaryFields = NonNullable<NonNullable<ValveFile["valve"]>["boundary"]>;

/** Shear yield over yield, after von Mises [-]. */
const shearYield = 1 / Math.sqrt(3);

/**
 * Follows the pressure boundary of a case.
 * @param trapped  what is shut in, in the same case
 * @param surged   what the line feels of the valve, in the same case: its surge counts where none is declared
 * Refuses         an unknown case
 */
export function boundaryOf(
  dossier: Dossier,
  caseId: string,
  trapped: TrappedAnswer,
  options: Sampling,
  surged: () => SurgeAnswer,
): BoundaryAnswer {
  const declared = dossier.valve.valve?.boundary ?? {};
  const fields = { ...declared, surge: declared.surge ?? computedSurge(dossier, surged) };
  const named = proofRule(fields.rule);
  const factorOf = (field: "proof_factor" | "burst_factor", byRule: number | undefined) =>
    isFaulty(dossier, `valve.boundary.${field}`) ? undefined : (fields[field]?.value ?? byRule);
  const rule: FactorsWanted = {
    name: named?.name,
    from: named?.from,
    proof: factorOf("proof_factor", named?.proof),
    burst: factorOf("burst_factor", named?.burst),
  };
  const shut = [trapped.cavity, ...trapped.segments].filter((volume) => volume !== undefined);
  const frame: Frame = { dossier, caseId, fields, options, rule, shut, trapped };
  const isDry = conditionsOf(dossier, caseId).fluid === "none";
  return {
    isDry,
    rule,
    missing: missingOf(frame),
    pressures: isDry ? [] : nominalPressures(frame),
    pressure: pressureChain(frame),
    walls: (fields.walls ?? []).map((wall, j) => wallChain(frame, wall, j)),
    bolts: fields.bolts === undefined ? undefined : boltChain(frame, fields.bolts),
    retention: fields.retention?.held_by === "shoulder" ? retentionChain(frame, fields.retention) : undefined,
  };
}

/** The surge that question 9 finds, between the ends of its band; none where the declared one has a fault. */
function computedSurge(dossier: Dossier, surged: () => SurgeAnswer): Declared | undefined {
  if (isFaulty(dossier, "valve.boundary.surge") || (dossier.valve.line?.pipes ?? []).length === 0)
    return undefined;
  const { figures } = surged();
  const value = figures.nominal.surge ?? Number.NaN;
  if (!Number.isFinite(value)) return undefined;
  const band = ownBand(figures.samples.surge ?? new Float64Array(0));
  const ends =
    band === undefined ? undefined : { low: Math.min(band.low, value), high: Math.max(band.high, value) };
  return {
    value,
    law: ends !== undefined && ends.low < ends.high ? { kind: "uniform", ...ends } : { kind: "exact" },
    dimension: "pressure difference",
    unit: "Pa",
    text: String(value),
    readAs: "surge of question 9",
    origin: "assumed",
  };
}

interface Frame {
  readonly dossier: Dossier;
  readonly caseId: string;
  readonly fields: BoundaryFields;
  readonly options: Sampling;
  readonly rule: FactorsWanted;
  readonly shut: readonly TrappedVolume[];
  readonly trapped: TrappedAnswer;
}

/**
 * Pressure that a shut-in volume reaches with what relieves it: the upper end of its band, since its own inputs
 * are not followed here.
 */
function shutPressure({ figures, relief }: TrappedVolume): number {
  if (relief !== undefined) return relief.relieving;
  const band = ownBand(figures.samples.highest ?? new Float64Array(0));
  return band?.high ?? figures.nominal.highest ?? Number.NaN;
}

/** The slots of the maximum expected pressure. */
function gatherPressure({ dossier, caseId, fields, shut, trapped }: Frame, collected: ChainGatherer) {
  const conditions = conditionsOf(dossier, caseId);
  const place = placeOf(dossier, caseId);
  const supply = collected.need(`${place}.supply_pressure`, conditions.supply_pressure);
  const surge = collected.need("valve.boundary.surge", fields.surge);
  const outside = collected.need("duty.ambient_pressure", dossier.valve.duty?.ambient_pressure);
  if (trapped.medium.kind === "fluid") {
    if (trapped.cavity === undefined) collected.lack("valve.cavity");
    if (dossier.valve.trapped?.segments === undefined) collected.lack("trapped.segments");
  }
  for (const volume of shut)
    if (trapped.medium.kind === "fluid" && volume.unfit === undefined && volume.relief === undefined)
      for (const path of volume.missing.highest) collected.lack(path);
  const shutIn = Math.max(0, ...shut.map(shutPressure).filter((pressure) => !Number.isNaN(pressure)));
  return {
    outside,
    expected: (at: (slot: Slot) => number) => Math.max(at(supply) + at(surge), shutIn),
  };
}

function missingOf(frame: Frame): readonly string[] {
  const collected = new ChainGatherer(["expected"], frame.dossier);
  gatherPressure(frame, collected);
  return collected.gather.missingFor("expected");
}

function nominalPressures(frame: Frame): readonly ExpectedPressure[] {
  const { supply_pressure: supply } = conditionsOf(frame.dossier, frame.caseId);
  const { surge } = frame.fields;
  return [
    ...(supply === undefined || surge === undefined
      ? []
      : [{ of: "supply and surge", pressure_Pa: supply.value + surge.value }]),
    ...frame.shut.map((volume) => ({ of: volume.name, pressure_Pa: shutPressure(volume) })),
  ]
    .filter(({ pressure_Pa }) => !Number.isNaN(pressure_Pa))
    .toSorted((a, b) => b.pressure_Pa - a.pressure_Pa);
}

const pressureFigures = ["expected", "proof", "burst"] as const;

function pressureChain(frame: Frame): ColdChain {
  const { dossier, fields, options } = frame;
  const collected = new ChainGatherer(pressureFigures, dossier);
  const { outside, expected } = gatherPressure(frame, collected);
  const path = "valve.boundary";
  const proof = collected.need(`${path}.proof_test.pressure`, fields.proof_test?.pressure, ["proof"]);
  const burst = collected.need(`${path}.burst_test.pressure`, fields.burst_test?.pressure, ["burst"]);
  return chainOf(collected, { path, name: "pressure" }, pressureFigures, options, (at) => {
    const over = expected(at) - at(outside);
    return {
      expected: expected(at),
      proof: (at(proof) - at(outside)) / over,
      burst: (at(burst) - at(outside)) / over,
    };
  });
}

/** Strength of a solid at ambient; undefined where it is not on file. */
function ambientStrength(
  material: Solid | undefined,
  of: "yield_strength" | "ultimate_strength",
): SolidValue | undefined {
  return material?.file[of] === undefined
    ? undefined
    : solidProperty(material, of, referenceTemperatures.ambient_K as Temperature);
}

/** Yield strength at ambient between what is published: the same input for all parts of one material. */
function yieldOf(collected: ChainGatherer, material: Solid | undefined) {
  const strength = ambientStrength(material, "yield_strength");
  if (material === undefined || strength === undefined) return undefined;
  const slot = collected.factor(
    `yield strength of ${material.id}`,
    strength.low / strength.value,
    strength.high / strength.value,
  );
  return (at: (slot: Slot) => number) => strength.value * at(slot);
}

const wallFigures = ["share", "proof", "needed", "left", "burst", "allowed"] as const;

function wallChain(frame: Frame, wall: NonNullable<BoundaryFields["walls"]>[number], j: number): ColdChain {
  const { dossier, options, rule } = frame;
  const path = `valve.boundary.walls[${j}]`;
  const collected = new ChainGatherer(wallFigures, dossier);
  const { outside, expected } = gatherPressure(frame, collected);
  const sizing = ["share", "needed"];
  const strength = ["proof", "burst"];
  const isCover = wall.shape === "cover";
  if (wall.shape === undefined) collected.lack(`${path}.shape`);
  const material = collected.solid(wall.material);
  const slots = {
    outer: isCover ? -1 : collected.need(`${path}.outer_diameter`, wall.outer_diameter),
    held: isCover ? collected.need(`${path}.held_diameter`, wall.held_diameter) : -1,
    how: isCover ? collected.need(`${path}.held_factor`, wall.held_factor) : -1,
    thickness: collected.need(`${path}.thickness`, wall.thickness),
    tolerance: collected.need(`${path}.tolerance`, wall.tolerance),
    allowance: collected.need(`${path}.allowance`, wall.allowance),
    quality: collected.need(`${path}.quality`, wall.quality, sizing),
    allowed: collected.may(`${path}.allowed_stress`, wall.allowed_stress),
  };
  const ultimate = ambientStrength(material, "ultimate_strength");
  const yieldAmbient = ambientStrength(material, "yield_strength");
  const yields = yieldOf(collected, material);
  const byMaterial =
    ultimate === undefined || yieldAmbient === undefined
      ? Number.NaN
      : allowedStress(yieldAmbient.low, ultimate.low);
  if (slots.allowed < 0 && Number.isNaN(byMaterial))
    collected.lack(material === undefined ? `${path}.material` : `${path}.allowed_stress`, sizing);
  if (yields === undefined || ultimate === undefined)
    collected.lack(
      material === undefined ? `${path}.material` : `the yield and ultimate strength of ${material.id}`,
      strength,
    );
  if (rule.proof === undefined) collected.lack("valve.boundary.rule", ["proof"]);
  return chainOf(collected, { path, name: wall.name ?? `wall ${j + 1}` }, wallFigures, options, (at) => {
    const thickness = at(slots.thickness) as Length;
    const tube = {
      outerDiameter: at(slots.outer) as Length,
      thickness,
      tolerance: at(slots.tolerance),
      allowance: at(slots.allowance) as Length,
    };
    const left = wallLeft(tube);
    const over = expected(at) - at(outside);
    const S = slots.allowed < 0 ? byMaterial : at(slots.allowed);
    const proofPressure = over * (rule.proof ?? Number.NaN);
    const yieldStress = yields?.(at) ?? Number.NaN;
    if (isCover) {
      const held = at(slots.held) as Length;
      const needed = neededCover(held, at(slots.how), over, S, at(slots.quality));
      return {
        share: needed / left,
        needed,
        left,
        allowed: S,
        proof: coverStress(held, at(slots.how), proofPressure, left) / yieldStress,
      };
    }
    const needed = neededTubeWall(tube, over, S, at(slots.quality));
    return {
      share: needed / left,
      needed,
      left,
      allowed: S,
      proof: boreStress(tube.outerDiameter, left, proofPressure).equivalent / yieldStress,
      burst:
        burstPressure(tube.outerDiameter, left, yieldStress, ultimate?.value ?? Number.NaN) + at(outside),
    };
  });
}

const boltFigures = ["proof", "gap", "coldGap"] as const;

function boltChain(frame: Frame, given: NonNullable<BoundaryFields["bolts"]>): ColdChain {
  const { dossier, caseId, options, rule } = frame;
  const cold = dossier.valve.valve?.cold ?? {};
  const bolts = cold.bolts ?? {};
  const path = "valve.boundary.bolts";
  const from = "valve.cold.bolts";
  const collected = new ChainGatherer(boltFigures, dossier);
  const { outside, expected } = gatherPressure(frame, collected);
  const conditions = conditionsOf(dossier, caseId);
  const slots = {
    sealed: collected.need(`${path}.sealed_diameter`, given.sealed_diameter),
    own: collected.may(`${path}.yield_stress`, given.yield_stress),
    area: collected.need(`${from}.stress_area`, bolts.stress_area),
    ratio: collected.need(`${from}.stiffness_ratio`, bolts.stiffness_ratio),
    preload: collected.need(`${from}.preload`, bolts.preload),
    T: collected.need(`${placeOf(dossier, caseId)}.valve_temperature`, conditions.valve_temperature, [
      "coldGap",
    ]),
    T0: collected.may("valve.cold.inspected_at", cold.inspected_at),
  };
  if (given.count === undefined) collected.lack(`${path}.count`);
  if (rule.proof === undefined) collected.lack("valve.boundary.rule", ["proof", "gap"]);
  const bolt = collected.material(`${from}.material`, bolts.material, ["coldGap"]);
  const clamped = collected.material(`${from}.clamped_material`, bolts.clamped_material, ["coldGap"]);
  const yields = yieldOf(collected, bolt.material);
  if (slots.own < 0 && yields === undefined) collected.lack(`${path}.yield_stress`, ["proof"]);
  return chainOf(collected, { path, name: "flange bolts" }, boltFigures, options, (at) => {
    const flange = {
      count: given.count ?? Number.NaN,
      sealedDiameter: at(slots.sealed) as Length,
      stiffnessRatio: at(slots.ratio),
    };
    const over = expected(at) - at(outside);
    const preload = at(slots.preload) as Force;
    const proofLoad = endLoadPerBolt(flange, over * (rule.proof ?? Number.NaN));
    const atProof = loadedBolt(flange, preload, proofLoad);
    const yieldStress = slots.own < 0 ? (yields?.(at) ?? Number.NaN) : at(slots.own);
    return {
      proof: atProof.bolt / at(slots.area) / yieldStress,
      gap: Number.isNaN(proofLoad) ? Number.NaN : atProof.clamp,
      coldGap: coldClamp(),
    };

    function coldClamp(): number {
      const T = at(slots.T);
      if (bolt.material === undefined || Number.isNaN(T)) return Number.NaN;
      const T0 = slots.T0 < 0 ? referenceTemperatures.ambient_K : at(slots.T0);
      const { material } = bolt;
      const modulus = (of: number) => solidProperty(material, "youngs_modulus", of as Temperature).value;
      const force = boltForce({
        preload,
        stressArea: at(slots.area) as Area,
        modulus: modulus(T),
        modulusRatio: modulus(T) / modulus(T0),
        stiffnessShare: flange.stiffnessRatio,
        contraction: { bolt: shrunk(bolt, at, T0, T), clamped: shrunk(clamped, at, T0, T) },
      });
      return loadedBolt(flange, force, endLoadPerBolt(flange, over)).clamp;
    }
  });
}

const retentionFigures = ["share"] as const;

function retentionChain(frame: Frame, given: NonNullable<BoundaryFields["retention"]>): ColdChain {
  const { dossier, options, rule } = frame;
  const path = "valve.boundary.retention";
  const collected = new ChainGatherer(retentionFigures, dossier);
  const { outside, expected } = gatherPressure(frame, collected);
  const slots = {
    shoulder: collected.need(`${path}.shoulder_diameter`, given.shoulder_diameter),
    height: collected.need(`${path}.shoulder_height`, given.shoulder_height),
    bore: collected.need(`${path}.bonnet_bore`, given.bonnet_bore),
    ownSeal: collected.may(`${path}.sealed_diameter`, given.sealed_diameter),
  };
  const seal =
    slots.ownSeal < 0
      ? collected.need("valve.stem.diameter", dossier.valve.valve?.stem?.diameter)
      : slots.ownSeal;
  const material = collected.solid(given.material);
  const yields = yieldOf(collected, material);
  if (yields === undefined)
    collected.lack(material === undefined ? `${path}.material` : `the yield strength of ${material.id}`);
  if (rule.proof === undefined) collected.lack("valve.boundary.rule");
  return chainOf(collected, { path, name: "stem" }, retentionFigures, options, (at) => {
    const force = ejectionForce(
      (expected(at) - at(outside)) * (rule.proof ?? Number.NaN),
      at(seal) as Length,
    );
    const { shear, bearing } = shoulderStress(
      {
        outerDiameter: at(slots.shoulder) as Length,
        height: at(slots.height) as Length,
        bonnetBore: at(slots.bore) as Length,
      },
      force,
    );
    const yieldStress = yields?.(at) ?? Number.NaN;
    return { share: Math.max(shear / (shearYield * yieldStress), bearing / yieldStress) };
  });
}
