/**
 * Heat from a wall to a coolant that runs past it, boiling or already dry (docs/theory/cold.md, "The wall").
 *
 * The boiling curve over the superheat dT of the wall:
 *
 *   dT <= dT_c   nucleate          q = C dT^3 + h_liquid (T_wall - T_liquid)
 *   up to dT_m   transition        log q straight in log dT between the two ends
 *   above        film              q = max(h_film of the pool, h of the mist) dT
 *
 * dT_c is where the nucleate flux reaches the critical one, dT_m where the film of the pool carries the least
 * flux. The coolant changes along the wall only as far as liquid goes: where the wall would boil more than there
 * is, a share of it is dry and heats vapour, which leaves at most as warm as the wall.
 */
import type { Area, Length, MassFlow, SpecificEnergy, Temperature } from "../../quantity/index.js";
import { mistFlux, passageCoefficient, reynoldsExponent, slowNusselt } from "./convection.js";
import type { Coolant } from "./coolant.js";

/** By which factor each correlation is off, 1 as published. */
export interface CorrelationFactors {
  readonly nucleate: number;
  readonly critical: number;
  readonly leastFilm: number;
  readonly film: number;
  readonly convection: number;
}

/** Every correlation as published. */
export const asPublished: CorrelationFactors = {
  nucleate: 1,
  critical: 1,
  leastFilm: 1,
  film: 1,
  convection: 1,
};

/** The least ratio of the superheats at the two ends of the transition: a curve has to fall somewhere. */
const NARROWEST = 1.05;

/** Where a wall boils less than this share of what there is, nothing dries: the corner would take 3e-5 of it. */
const DRYING = 0.1;

/** One wall in the coolant. The whole flow passes it through its passage. */
export class WettedWall {
  /** Superheat at the critical flux and at the least flux of the film [K]. */
  readonly criticalSuperheat: number;
  readonly leastSuperheat: number;
  private readonly capacity: { readonly liquid: number; readonly vapour: number };
  /** Coefficients of the flow all liquid and all vapour [W/(m2 K)]; of the vapour without the floor of slow flow. */
  private readonly liquidShare: number;
  private readonly liquid: number;
  private readonly dry: number;
  private readonly cube: number;
  private readonly peak: number;
  /** Floor of slow vapour [W/(m2 K)]. */
  private readonly slow: number;
  /** Of the heat last asked for, the slope in the wall's temperature, not below 0; within a fifth [W/K]. */
  slope = 0;

  /**
   * @param flow  of the coolant, > 0 [kg/s];  @param area  of the wall in it [m2]
   * @param passage  hydraulic diameter of the passage along it [m]
   */
  constructor(
    private readonly coolant: Coolant,
    private readonly flow: MassFlow,
    private readonly area: Area,
    private readonly passage: Length,
    private readonly factors: CorrelationFactors,
  ) {
    const { convection, nucleate, critical } = factors;
    this.capacity = { liquid: flow * coolant.liquidHeat, vapour: flow * coolant.vapourHeat };
    this.liquid = convection * passageCoefficient(coolant.liquid, this.massFlux, passage);
    this.dry = convection * passageCoefficient(coolant.vapour, this.massFlux, passage);
    this.slow = (convection * slowNusselt * coolant.vapour.conductivity) / passage;
    this.liquidShare = -Math.expm1((-this.liquid * area) / this.capacity.liquid);
    this.cube = nucleate * coolant.nucleate;
    this.peak = critical * coolant.critical;
    this.criticalSuperheat = Math.cbrt(this.peak / this.cube);
    this.leastSuperheat = Math.max(this.filmStart(), NARROWEST * this.criticalSuperheat);
  }

  private get massFlux(): number {
    return this.flow / ((Math.PI / 4) * this.passage ** 2);
  }

  /** Superheat at which the film of the pool carries the least flux: h dT = q, with h dT^(1/4) nearly constant. */
  private filmStart(): number {
    const least = this.factors.leastFilm * this.coolant.leastFilm;
    let dT = this.coolant.filmStep as number;
    for (let i = 0; i < 4; i++) dT = (least / (this.factors.film * this.filmConstant(dT))) ** (4 / 3);
    return dT;
  }

  /** Film coefficient of the pool times dT^(1/4), by the table of the coolant. */
  private filmConstant(dT: number): number {
    const { film, filmStep } = this.coolant;
    const x = Math.min(Math.max(dT / filmStep - 1, 0), film.length - 1);
    const i = Math.min(x | 0, film.length - 2);
    const low = film[i] ?? Number.NaN;
    return low + ((film[i + 1] ?? Number.NaN) - low) * (x - i);
  }

  /** Film flux at a superheat, with the share of vapour x in the flow [W/m2]. */
  private filmFlux(dT: number, x: number): number {
    const pool = (this.factors.film * this.filmConstant(dT)) / Math.sqrt(Math.sqrt(dT));
    // No mist passes more than dry vapour of the same flow.
    return (pool >= this.dry ? pool : Math.max(pool, this.mistCoefficient(x))) * dT;
  }

  private mistCoefficient(x: number): number {
    // The coefficient of the dry flow times the power of Re in it, so that no sample pays for it twice.
    return Math.max(this.dry * mistFlux(1, x, this.coolant.densityRatio) ** reynoldsExponent, this.slow);
  }

  /** Boiling flux without the convection of the liquid below the critical superheat [W/m2]. */
  private boilingFlux(dT: number, x: number, liquidPeak: number): number {
    if (dT >= this.leastSuperheat) return this.filmFlux(dT, x);
    const peak = this.peak + liquidPeak;
    const foot = this.filmFlux(this.leastSuperheat, x);
    const slope = Math.log(foot / peak) / Math.log(this.leastSuperheat / this.criticalSuperheat);
    return peak * (dT / this.criticalSuperheat) ** slope;
  }

  /**
   * Heat that passes from the wall to the coolant [W]; negative where the coolant is the warmer.
   * @param wall  temperature of the wall [K];  @param h  enthalpy with which the coolant arrives [J/kg]
   */
  heat(wall: Temperature, h: SpecificEnergy): number {
    const { coolant, capacity, area, flow } = this;
    if (h >= coolant.vapourEnthalpy) {
      const bulk = coolant.saturation + (h - coolant.vapourEnthalpy) / coolant.vapourHeat;
      this.slope = this.dryShare(area) * capacity.vapour;
      return (wall - bulk) * this.slope;
    }
    const x = Math.max((h - coolant.liquidEnthalpy) / (coolant.vapourEnthalpy - coolant.liquidEnthalpy), 0);
    const subcooling = Math.max((coolant.liquidEnthalpy - h) / coolant.liquidHeat, 0);
    const dT = wall - coolant.saturation;
    const perKelvin = this.liquidShare * capacity.liquid;
    let wanted: number;
    if (dT <= this.criticalSuperheat) {
      const square = dT > 0 ? this.cube * dT * dT * area : 0;
      wanted = square * dT + perKelvin * (dT + subcooling);
      this.slope = 3 * square + perKelvin;
    } else {
      const liquidPeak = (perKelvin / area) * (this.criticalSuperheat + subcooling);
      wanted = this.boilingFlux(dT, x, liquidPeak) * area;
      // A film's flux grows with dT^(3/4); in transition it falls, which would feed itself.
      this.slope = dT > this.leastSuperheat ? (0.75 * wanted) / dT : 0;
    }
    const boils = flow * (coolant.vapourEnthalpy - h);
    const r = wanted / boils;
    if (r < DRYING) return wanted;
    // Products and roots: a power costs as much as all the rest of this function.
    const cube = r * r * r;
    const wet = 1 / Math.sqrt(Math.sqrt(1 + r * cube));
    const share = this.dryShare(area * (1 - wet));
    // The slope of what boils, of the vapour that the dry area warms, and of the area that dries.
    const falls = wet * wet * wet * wet * wet * this.slope;
    const spreads = dT * (1 - share) * this.dry * area * cube * (falls / boils);
    this.slope = falls + share * capacity.vapour + spreads;
    return wet * wanted + dT * share * capacity.vapour;
  }

  /** Share of the way to the wall's temperature that vapour warms along a dry area [-]. */
  private dryShare(area: number): number {
    return -Math.expm1((-this.dry * area) / this.capacity.vapour);
  }
}
