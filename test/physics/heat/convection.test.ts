import { describe, expect, it } from "vitest";
import {
  airAt,
  airCoefficient,
  crossFlowNusselt,
  dewPoint,
  horizontalCylinderNusselt,
  LayeredTube,
  type Layers,
  type Surroundings,
  saturationOverIce,
  saturationOverWater,
  settlingPoint,
  surfaceFlux,
  verticalPlateNusselt,
} from "../../../src/physics/heat/index.js";
import type { Conductivity, Length, Pressure, Speed, Temperature } from "../../../src/quantity/index.js";
import { fluid, vapourPressure } from "../../../src/substance/index.js";

const K = (T: number) => T as Temperature;
const atmosphere = 101_325 as Pressure;

describe("Nusselt numbers", () => {
  it("of a horizontal steam line at Ra 5.073e6, Pr 0.697: 23.3 [incropera-2007, example 9.4; from memory]", () => {
    // The book rounds on the way: 1 %.
    expect(Math.abs(horizontalCylinderNusselt(5.073e6, 0.697) / 23.3 - 1)).toBeLessThan(0.01);
  });

  it("of a vertical firescreen at Ra 1.813e9, Pr 0.69: 147 [incropera-2007, example 9.2; from memory]", () => {
    expect(verticalPlateNusselt(1.813e9, 0.69)).toBeCloseTo(147, 0);
  });

  it("of a steam pipe in a wind at Re 3.254e4, Pr 0.7336: 107.0 [cengel-2006, problem 7-100]", () => {
    expect(crossFlowNusselt(3.254e4, 0.7336)).toBeCloseTo(107, 0);
  });

  it("of a heated rod in a wind at Re 6071, Pr 0.70: 40.6 [incropera-2007, example 7.4; from memory]", () => {
    expect(crossFlowNusselt(6071, 0.7)).toBeCloseTo(40.6, 1);
  });
});

describe("air", () => {
  // 2 % is the stated error of the forms; the densities of the table are those of 1 bar.
  it.each([
    [250, 15.96e-6, 22.3e-3, 1.3947],
    [300, 18.46e-6, 26.3e-3, 1.1614],
    [350, 20.82e-6, 30.0e-3, 0.995],
  ])("at %s K [incropera-2007, table A.4; from memory]", (T, mu, k, rho) => {
    const air = airAt(K(T), 1e5 as Pressure);
    expect(Math.abs(air.viscosity / mu - 1)).toBeLessThan(0.02);
    expect(Math.abs(air.conductivity / k - 1)).toBeLessThan(0.02);
    expect(Math.abs(air.density / rho - 1)).toBeLessThan(0.005);
  });

  it("gives the steam line of 0.1 m at 165 degC in a room of 23 degC k Nu/D = 0.0313 x 23.3 / 0.1 W/(m2 K) [incropera-2007, example 9.4; from memory]", () => {
    const pipe = {
      orientation: "horizontal",
      length: 1 as Length,
      airSpeed: 0 as Speed,
      pressure: atmosphere,
    } as const;
    // 2 % of the air's properties.
    expect(Math.abs(airCoefficient(pipe, 0.1 as Length, K(438), K(296)) / 7.29 - 1)).toBeLessThan(0.02);
  });

  it("in a wind takes the greater of the two", () => {
    const pipe = (airSpeed: number) =>
      airCoefficient(
        {
          orientation: "vertical",
          length: 0.2 as Length,
          airSpeed: airSpeed as Speed,
          pressure: atmosphere,
        },
        0.03 as Length,
        K(200),
        K(290),
      );
    expect(pipe(0.01)).toBe(pipe(0));
    expect(pipe(5)).toBeGreaterThan(3 * pipe(0));
  });
});

describe("moisture", () => {
  it.each([
    [20, 0.5, 9.3],
    [25, 0.6, 16.7],
    [30, 0.8, 26.2],
  ])(
    "the dew point at %s degC and %s is %s degC, table of a psychrometric chart, to 0.1 K; from memory",
    (t, humidity, dew) => {
      expect(Math.abs(dewPoint(K(273.15 + t), humidity) - 273.15 - dew)).toBeLessThan(0.1);
    },
  );

  it.each([5, 20, 35])(
    "over water at %s degC agrees with the equation of state [wagner-pruss-2002] within 0.3 %",
    (t) => {
      const T = K(273.15 + t);
      expect(Math.abs(saturationOverWater(T) / vapourPressure(fluid("water"), T) - 1)).toBeLessThan(0.003);
    },
  );

  it("over ice at -20 degC is 103 Pa and at -40 degC 12.8 Pa [iapws-r14-08, sublimation]", () => {
    expect(Math.abs(saturationOverIce(K(253.15)) / 103.2 - 1)).toBeLessThan(0.01);
    expect(Math.abs(saturationOverIce(K(233.15)) / 12.84 - 1)).toBeLessThan(0.01);
  });

  it("settles below 0 degC from the frost point: a dew point of -10 degC is a frost point of -8.9 degC, of -20 degC -18.0 degC [wmo-guide-8-2008]; from memory", () => {
    // Forms of the vapour pressure over undercooled water differ by as much.
    expect(Math.abs(settlingPoint(K(263.15)) - 273.15 + 8.9)).toBeLessThan(0.1);
    expect(Math.abs(settlingPoint(K(253.15)) - 273.15 + 18.0)).toBeLessThan(0.1);
    expect(settlingPoint(K(280))).toBe(280);
  });

  it("over ice and over water meet at 0 degC, and none is left at 50 K", () => {
    expect(saturationOverIce(K(273.15))).toBe(saturationOverWater(K(273.15)));
    expect(saturationOverIce(K(40))).toBe(0);
  });
});

const room: Surroundings = {
  orientation: "vertical",
  length: 0.2 as Length,
  airSpeed: 0 as Speed,
  pressure: atmosphere,
  ambient: K(293),
  dewPoint: K(283),
  emissivity: 0.9,
  coefficientFactor: 1,
};

describe("the heat to a cold surface", () => {
  it("in still room air lies between 1000 and 3000 W/m2 on bare metal at 90 K; common practice, no source", () => {
    const flux = surfaceFlux(room, 0.04 as Length, K(90));
    expect(flux).toBeGreaterThan(1000);
    expect(flux).toBeLessThan(3000);
  });

  it("is convection alone without emissivity in dry air", () => {
    const dry = { ...room, emissivity: 0, dewPoint: K(150) };
    const h = airCoefficient(dry, 0.04 as Length, K(200), K(293));
    expect(surfaceFlux(dry, 0.04 as Length, K(200))).toBeCloseTo(h * 93, 9);
  });

  it("is that of two black bodies without air speed in a near vacuum: sigma (293^4 - 200^4) = 327 W/m2", () => {
    const thin = { ...room, emissivity: 1, pressure: 1e-6 as Pressure, coefficientFactor: 0 };
    expect(surfaceFlux(thin, 0.04 as Length, K(200))).toBeCloseTo(5.670374419e-8 * (293 ** 4 - 200 ** 4), 6);
  });

  it("grows below the dew point by what the moisture brings", () => {
    const dry = { ...room, dewPoint: K(200) };
    for (const T of [280, 270, 240])
      expect(surfaceFlux(room, 0.04 as Length, K(T))).toBeGreaterThan(surfaceFlux(dry, 0.04 as Length, K(T)));
    expect(surfaceFlux(room, 0.04 as Length, K(288))).toBe(surfaceFlux(dry, 0.04 as Length, K(288)));
  });
});

it("the heat to a surface falls without a jump as it warms, whatever the moisture", () => {
  for (const dew of [250, 266, 273.15, 283])
    for (const airSpeed of [0, 3]) {
      const around = { ...room, dewPoint: K(dew), airSpeed: airSpeed as Speed };
      let before = surfaceFlux(around, 0.04 as Length, K(240));
      for (let T = 240.01; T < 293; T += 0.01) {
        const flux = surfaceFlux(around, 0.04 as Length, K(T));
        expect(flux).toBeLessThanOrEqual(before + 1e-9);
        expect(before - flux).toBeLessThan(1.5);
        before = flux;
      }
    }
});

describe("a tube with layers", () => {
  const bare: Layers = {
    insulationThickness: 0 as Length,
    insulationConductivity: 0.03 as Conductivity,
    frostThickness: 0 as Length,
    frostConductivity: 0.15 as Conductivity,
  };
  const radius = 0.02 as Length;
  const of = (layers: Partial<Layers>, around = room) =>
    LayeredTube.of(around, radius, { ...bare, ...layers }, 90, 293);

  it("bare takes what its surface takes", () => {
    for (const T of [90, 150, 220, 260, 285]) {
      const direct = 2 * Math.PI * radius * surfaceFlux(room, (2 * radius) as Length, K(T));
      // Straight pieces of 10 K; above 0 degC the moisture bends the line.
      expect(Math.abs(of({}).heatAt(T).value / direct - 1)).toBeLessThan(0.02);
    }
  });

  it("heat, layers and the two temperatures agree: q' ln(r_f/r) / (2 pi k) between metal and outside", () => {
    const thick = of({ frostThickness: 0.01 as Length });
    const T = 120;
    const outside = thick.outsideAt(T);
    const heat = thick.heatAt(T).value;
    expect(outside).toBeLessThan(273.15);
    expect(outside - T).toBeCloseTo((heat * Math.log(0.03 / 0.02)) / (2 * Math.PI * 0.15), 6);
    const direct = 2 * Math.PI * 0.03 * surfaceFlux(room, 0.06 as Length, K(outside));
    expect(Math.abs(heat / direct - 1)).toBeLessThan(0.01);
  });

  it("settled frost of 5 to 20 mm and 0.04 W/(m K) lets through 200 to 700 W/m2 of the metal's surface, within a factor of two; common practice, no source", () => {
    for (const thickness of [0.005, 0.02]) {
      const flux =
        of({ frostThickness: thickness as Length, frostConductivity: 0.04 as Conductivity }).heatAt(90)
          .value /
        (2 * Math.PI * radius);
      expect(flux).toBeGreaterThan(200 / 2);
      expect(flux).toBeLessThan(700 * 2);
    }
  });

  it("frost does not outgrow what its melting allows: just below 0 degC it is thin and the heat that of 0 degC", () => {
    const thick = of({ frostThickness: 0.02 as Length });
    const thin = of({ frostThickness: 0.001 as Length });
    expect(thick.heatAt(272).value).toBeCloseTo(thin.heatAt(272).value, -1);
    expect(thick.outsideAt(272)).toBeCloseTo(273.15, 1);
  });

  it("insulation lowers the heat and warms the outside", () => {
    const lagged = of({ insulationThickness: 0.02 as Length });
    expect(lagged.heatAt(90).value).toBeLessThan(0.5 * of({}).heatAt(90).value);
    expect(lagged.outsideAt(90)).toBeGreaterThan(200);
  });

  it("a tube warmer than the air gives heat away", () => {
    expect(LayeredTube.of(room, radius, bare, 320, 320).heatAt(320).value).toBeLessThan(0);
  });
});
