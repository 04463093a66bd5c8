/** Numbers of a note: as many digits as let a pocket calculator come to the same result. */

/** Digits that every value of a note has. */
const digits = 7;
/** Powers of ten between which a number is written plainly. */
const plain = { from: -4, to: 7 } as const;

/** A number as a note prints it: 0.014, 5.387831e-7. */
export function noteNumber(value: number): string {
  if (!Number.isFinite(value)) return value > 0 ? "infinite" : value < 0 ? "-infinite" : "not known";
  if (value === 0) return "0";
  const [mantissa = "", exponent = "0"] = value.toExponential(digits - 1).split("e");
  const power = Number(exponent);
  if (power >= plain.from && power < plain.to) return String(Number(value.toPrecision(digits)));
  return `${Number(mantissa)}e${power}`;
}
