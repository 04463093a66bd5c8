import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  type BoilingPair,
  criticalFlux,
  filmCoefficient,
  leastFilmFlux,
  nucleateFlux,
} from "../../../src/physics/cold/boiling.js";
import { mistFlux, passageCoefficient } from "../../../src/physics/cold/convection.js";
import { coolantAt, coolantBetween } from "../../../src/physics/cold/index.js";
import { asPublished, WettedWall } from "../../../src/physics/cold/wettedWall.js";
import {
  type Area,
  type Length,
  type MassFlow,
  type Pressure,
  type SpecificEnergy,
  standardGravity,
  type Temperature,
  type TemperatureDifference,
} from "../../../src/quantity/index.js";
import { fluid } from "../../../src/substance/index.js";

const kelvins = (value: number) => value as TemperatureDifference;

/** Water at 1 atm as the example gives it: Pr 1.76. */
const water: BoilingPair = {
  rhoLiquid: 957.9,
  rhoVapour: 0.5955,
  latentHeat: 2.257e6,
  surfaceTension: 58.9e-3,
  liquid: { cp: 4217, viscosity: 2.79e-4, conductivity: (4217 * 2.79e-4) / 1.76 },
};

describe("nucleate boiling", () => {
  it("water on polished copper at 118 degC, C_sf 0.0128: 836 kW/m2 [incropera-2007, example 10.1; from memory]", () => {
    expect(nucleateFlux(water, kelvins(18), 0.0128, 1) / 1e3).toBeCloseTo(836, 0);
  });

  it("water at an excess of 4.9 K, C_sf 0.011, n 1.26: h = 3723.66 W/(m2 K) [cao-2009, example, by a published implementation]", () => {
    const cao: BoilingPair = {
      rhoLiquid: 957.854,
      rhoVapour: 0.595593,
      latentHeat: 2.257e6,
      surfaceTension: 0.0589,
      liquid: { cp: 4217, viscosity: 2.79e-4, conductivity: 0.68 },
    };
    expect(nucleateFlux(cao, kelvins(4.9), 0.011, 1.26) / 4.9 / 3723.655267).toBeCloseTo(1, 6);
  });

  it("grows with the cube of the superheat", () => {
    expect(nucleateFlux(water, kelvins(10)) / nucleateFlux(water, kelvins(5))).toBeCloseTo(8, 9);
  });
});

describe("the ends of the transition", () => {
  it("critical flux of water at 1 atm: 1.11 MW/m2 with the coefficient 0.131 [incropera-2007, example 10.1; from memory]", () => {
    expect(criticalFlux(water) / 1e6).toBeCloseTo(1.11, 2);
  });

  it("the film carries the least flux at dT = 0.127 (rho_v h / k_v) (g drho / (rho_l + rho_v))^(2/3) (sigma / (g drho))^(1/2) (mu_v / (g drho))^(1/3) [berenson-1961, eq. 40]", () => {
    const g = standardGravity.value;
    const film = { rho: water.rhoVapour, cp: 0, viscosity: 1.2e-5, conductivity: 0.025 };
    const buoyancy = g * (water.rhoLiquid - water.rhoVapour);
    const published =
      0.127 *
      ((film.rho * water.latentHeat) / film.conductivity) *
      (buoyancy / (water.rhoLiquid + water.rhoVapour)) ** (2 / 3) *
      Math.sqrt(water.surfaceTension / buoyancy) *
      (film.viscosity / buoyancy) ** (1 / 3);
    const carried = filmCoefficient(water, film, kelvins(published)) * published;
    // 0.127 is the rounding of (0.09 / 0.425)^(4/3) = 0.1263; the flux goes with dT^(3/4).
    expect(carried / leastFilmFlux(water)).toBeGreaterThan(0.999);
    expect(carried / leastFilmFlux(water)).toBeLessThan(1.006);
  });

  it.each([
    ["nitrogen", 101_325, 120, 250],
    ["oxygen", 101_325, 140, 300],
    ["helium", 101_325, 5, 10],
  ])(
    "peak of %s at %d Pa lies between %d and %d kW/m2 (measured peaks of pool boiling, from memory)",
    (name, p, low, high) => {
      const { critical } = coolantAt(fluid(name), p as Pressure, 293 as Temperature);
      expect(critical / 1e3).toBeGreaterThan(low);
      expect(critical / 1e3).toBeLessThan(high);
    },
  );

  it("a film of nitrogen at 1 atm on a wall at ambient has 100 to 200 W/(m2 K) (measured, from memory)", () => {
    const nitrogen = coolantAt(fluid("nitrogen"), 101_325 as Pressure, 293 as Temperature);
    const dT = 293 - nitrogen.saturation;
    const h = (nitrogen.film.at(-1) ?? Number.NaN) / dT ** 0.25;
    expect(h).toBeGreaterThan(100);
    expect(h).toBeLessThan(200);
  });
});

describe("convection", () => {
  const carrier = { conductivity: 0.03, viscosity: 2e-5, prandtl: 1.2 };

  it("Re 1e5, Pr 1.2: Nu = 0.023 x 10^4 x 1.2^0.4 = 247.4 [mcadams-1954, eq. 9-10a], worked by hand", () => {
    const D = 0.02 as Length;
    const G = (1e5 * carrier.viscosity) / D;
    expect((passageCoefficient(carrier, G, D) * D) / carrier.conductivity).toBeCloseTo(247.4, 1);
  });

  it("slow flow has Nu 3.66 [shah-london-1978]", () => {
    expect((passageCoefficient(carrier, 0.01, 0.02 as Length) * 0.02) / 0.03).toBeCloseTo(3.66, 9);
  });

  it("a mist of half vapour whose liquid is a hundred times as dense moves as vapour of 0.505 G, worked by hand", () => {
    expect(mistFlux(10, 0.5, 0.01)).toBeCloseTo(5.05, 12);
    expect(mistFlux(10, 1, 0.01)).toBe(10);
  });
});

const oxygen = coolantAt(fluid("oxygen"), 2e5 as Pressure, 300 as Temperature);
const wallOf = (area: number, flow = 0.05) =>
  new WettedWall(oxygen, flow as MassFlow, area as Area, 0.032 as Length, asPublished);

describe("the wall", () => {
  const wall = wallOf(0.01);
  const arrives = oxygen.liquidEnthalpy;
  const heat = (dT: number, h: number = arrives) =>
    wall.heat((oxygen.saturation + dT) as Temperature, h as SpecificEnergy);

  it("has one flux at both sides of each border of the curve", () => {
    for (const dT of [wall.criticalSuperheat, wall.leastSuperheat])
      expect(heat(dT * (1 + 1e-9)) / heat(dT * (1 - 1e-9))).toBeCloseTo(1, 6);
    for (const h of [oxygen.vapourEnthalpy, oxygen.liquidEnthalpy])
      expect(heat(150, h + 1e-6) / heat(150, h - 1e-6)).toBeCloseTo(1, 4);
  });

  it("peaks at the critical superheat and has its least between there and the warm wall", () => {
    const peak = heat(wall.criticalSuperheat);
    const least = heat(wall.leastSuperheat);
    expect(peak).toBeGreaterThan(heat(0.5 * wall.criticalSuperheat));
    expect(peak).toBeGreaterThan(5 * least);
    expect(heat(200)).toBeGreaterThan(least);
  });

  it("takes nothing where wall and saturated coolant are equally warm", () => {
    expect(heat(0)).toBeCloseTo(0, 9);
  });

  it("vapour takes flow cp (T_wall - T_vapour) (1 - exp(-h A / (flow cp))), the closed form of a passage with one wall temperature", () => {
    const warmer = 20;
    const h = oxygen.vapourEnthalpy + warmer * oxygen.vapourHeat;
    const coefficient = passageCoefficient(
      oxygen.vapour,
      0.05 / ((Math.PI / 4) * 0.032 ** 2),
      0.032 as Length,
    );
    const capacity = 0.05 * oxygen.vapourHeat;
    const expected = capacity * (150 - warmer) * (1 - Math.exp((-coefficient * 0.01) / capacity));
    expect(heat(150, h) / expected).toBeCloseTo(1, 9);
  });

  it("property: what leaves is never warmer than the wall, and more wall never takes less", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.1, max: 200, noNaN: true }),
        fc.double({ min: -0.2, max: 1.5, noNaN: true }),
        fc.double({ min: 1e-4, max: 5, noNaN: true }),
        fc.double({ min: 1, max: 3, noNaN: true }),
        fc.double({ min: 1e-4, max: 1, noNaN: true }),
        (dT, x, area, more, flow) => {
          const latent = oxygen.vapourEnthalpy - oxygen.liquidEnthalpy;
          const bulk = oxygen.vapourEnthalpy + dT * oxygen.vapourHeat;
          const h = Math.min(oxygen.liquidEnthalpy + x * latent, bulk) as SpecificEnergy;
          const T = (oxygen.saturation + dT) as Temperature;
          const taken = wallOf(area, flow).heat(T, h);
          expect(taken).toBeLessThanOrEqual(flow * (bulk - h) * (1 + 1e-12) + 1e-9);
          expect(wallOf(area * more, flow).heat(T, h)).toBeGreaterThanOrEqual(taken * (1 - 1e-12) - 1e-9);
        },
      ),
    );
  });
});

it("halfway between two pressures a coolant is within 1 % of the one made there, far below the spread of the correlations", () => {
  const at = (p: number) => coolantAt(fluid("oxygen"), p as Pressure, 300 as Temperature);
  const made = at(1.75e5);
  const between = coolantBetween(at(1.5e5), at(2e5), Math.log(1.75 / 1.5) / Math.log(2 / 1.5));
  expect(Math.abs(between.saturation - made.saturation)).toBeLessThan(0.1);
  for (const key of ["critical", "leastFilm", "nucleate", "vapourHeat", "densityRatio"] as const)
    expect(Math.abs(between[key] / made[key] - 1)).toBeLessThan(0.01);
});
