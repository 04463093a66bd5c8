/** The models of the NIST nonlinear regression sets, as their data files give them. */

/** Parameters, predictor, second predictor (one set has two). */
export type Model = (b: ArrayLike<number>, x: number, x2: number) => number;

const polynomial = (coefficients: readonly number[], x: number): number =>
  coefficients.reduceRight((sum, c) => sum * x + c, 0);
const rational = (upper: readonly number[], lower: readonly number[], x: number): number =>
  polynomial(upper, x) / polynomial(lower, x);

const rise: Model = ({ 0: b1 = 0, 1: b2 = 0 }, x) => b1 * (1 - Math.exp(-b2 * x));
const ultrasonic: Model = ({ 0: b1 = 0, 1: b2 = 0, 2: b3 = 0 }, x) => Math.exp(-b1 * x) / (b2 + b3 * x);
const cubics: Model = ({ 0: b1 = 0, 1: b2 = 0, 2: b3 = 0, 3: b4 = 0, 4: b5 = 0, 5: b6 = 0, 6: b7 = 0 }, x) =>
  rational([b1, b2, b3, b4], [1, b5, b6, b7], x);
const threeDecays: Model = ({ 0: b1 = 0, 1: b2 = 0, 2: b3 = 0, 3: b4 = 0, 4: b5 = 0, 5: b6 = 0 }, x) =>
  b1 * Math.exp(-b2 * x) + b3 * Math.exp(-b4 * x) + b5 * Math.exp(-b6 * x);
const twoPeaks: Model = (b, x) => {
  const { 0: b1 = 0, 1: b2 = 0, 2: b3 = 0, 3: b4 = 0, 4: b5 = 0, 5: b6 = 0, 6: b7 = 0, 7: b8 = 0 } = b;
  return (
    b1 * Math.exp(-b2 * x) + b3 * Math.exp(-(((x - b4) / b5) ** 2)) + b6 * Math.exp(-(((x - b7) / b8) ** 2))
  );
};
const threeCycles: Model = (b, x) => {
  const { 0: b1 = 0, 1: b2 = 0, 2: b3 = 0, 3: b4 = 0, 4: b5 = 0, 5: b6 = 0, 6: b7 = 0, 7: b8 = 0 } = b;
  const turn = 2 * Math.PI * x;
  return (
    b1 +
    b2 * Math.cos(turn / 12) +
    b3 * Math.sin(turn / 12) +
    b5 * Math.cos(turn / b4) +
    b6 * Math.sin(turn / b4) +
    b8 * Math.cos(turn / b7) +
    (b[8] ?? 0) * Math.sin(turn / b7)
  );
};

export const strdModels: Readonly<Record<string, Model>> = {
  Misra1a: rise,
  BoxBOD: rise,
  Misra1b: ({ 0: b1 = 0, 1: b2 = 0 }, x) => b1 * (1 - (1 + (b2 * x) / 2) ** -2),
  Misra1c: ({ 0: b1 = 0, 1: b2 = 0 }, x) => b1 * (1 - (1 + 2 * b2 * x) ** -0.5),
  Misra1d: ({ 0: b1 = 0, 1: b2 = 0 }, x) => (b1 * b2 * x) / (1 + b2 * x),
  Chwirut1: ultrasonic,
  Chwirut2: ultrasonic,
  DanWood: ({ 0: b1 = 0, 1: b2 = 0 }, x) => b1 * x ** b2,
  Lanczos1: threeDecays,
  Lanczos2: threeDecays,
  Lanczos3: threeDecays,
  Gauss1: twoPeaks,
  Gauss2: twoPeaks,
  Gauss3: twoPeaks,
  Kirby2: ({ 0: b1 = 0, 1: b2 = 0, 2: b3 = 0, 3: b4 = 0, 4: b5 = 0 }, x) =>
    rational([b1, b2, b3], [1, b4, b5], x),
  Hahn1: cubics,
  Thurber: cubics,
  // The response is log(y).
  Nelson: ({ 0: b1 = 0, 1: b2 = 0, 2: b3 = 0 }, x, x2) => b1 - b2 * x * Math.exp(-b3 * x2),
  MGH09: ({ 0: b1 = 0, 1: b2 = 0, 2: b3 = 0, 3: b4 = 0 }, x) => b1 * rational([0, b2, 1], [b4, b3, 1], x),
  MGH10: ({ 0: b1 = 0, 1: b2 = 0, 2: b3 = 0 }, x) => b1 * Math.exp(b2 / (x + b3)),
  MGH17: ({ 0: b1 = 0, 1: b2 = 0, 2: b3 = 0, 3: b4 = 0, 4: b5 = 0 }, x) =>
    b1 + b2 * Math.exp(-b4 * x) + b3 * Math.exp(-b5 * x),
  ENSO: threeCycles,
  Rat42: ({ 0: b1 = 0, 1: b2 = 0, 2: b3 = 0 }, x) => b1 / (1 + Math.exp(b2 - b3 * x)),
  Rat43: ({ 0: b1 = 0, 1: b2 = 0, 2: b3 = 0, 3: b4 = 0 }, x) => b1 / (1 + Math.exp(b2 - b3 * x)) ** (1 / b4),
  Roszman1: ({ 0: b1 = 0, 1: b2 = 0, 2: b3 = 0, 3: b4 = 0 }, x) =>
    b1 - b2 * x - Math.atan(b3 / (x - b4)) / Math.PI,
  Eckerle4: ({ 0: b1 = 0, 1: b2 = 0, 2: b3 = 0 }, x) => (b1 / b2) * Math.exp(-0.5 * ((x - b3) / b2) ** 2),
  Bennett5: ({ 0: b1 = 0, 1: b2 = 0, 2: b3 = 0 }, x) => b1 * (b2 + x) ** (-1 / b3),
};

/** Derivatives by the parameters, for the sets on which differences fall short of eight digits. */
export const strdDerivatives: Readonly<Record<string, (b: ArrayLike<number>, x: number) => number[]>> = {
  Misra1a: ({ 0: b1 = 0, 1: b2 = 0 }, x) => [1 - Math.exp(-b2 * x), b1 * x * Math.exp(-b2 * x)],
  Lanczos1: decayDerivatives,
  Lanczos2: decayDerivatives,
  Lanczos3: decayDerivatives,
  Eckerle4: ({ 0: b1 = 0, 1: b2 = 0, 2: b3 = 0 }, x) => {
    const z = (x - b3) / b2;
    const bell = Math.exp(-0.5 * z * z) / b2;
    return [bell, (b1 / b2) * bell * (z * z - 1), (b1 / b2) * bell * z];
  },
  MGH10: ({ 0: b1 = 0, 1: b2 = 0, 2: b3 = 0 }, x) => {
    const growth = Math.exp(b2 / (x + b3));
    return [growth, (b1 * growth) / (x + b3), (-b1 * b2 * growth) / (x + b3) ** 2];
  },
  Bennett5: ({ 0: b1 = 0, 1: b2 = 0, 2: b3 = 0 }, x) => {
    const power = (b2 + x) ** (-1 / b3);
    return [power, (-b1 * power) / (b3 * (b2 + x)), (b1 * power * Math.log(b2 + x)) / b3 ** 2];
  },
};

function decayDerivatives(b: ArrayLike<number>, x: number): number[] {
  return [0, 2, 4].flatMap((k) => {
    const decay = Math.exp(-(b[k + 1] ?? 0) * x);
    return [decay, -(b[k] ?? 0) * x * decay];
  });
}
