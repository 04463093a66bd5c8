/** Whether an angle can be that of the valve: what it turns by, held against the declared travel. */

/** A ball turns further than declared by tolerances of stops and sensors, never by this share. */
const mostShare = 1.25;
/** A travel that is this near to the declared one in the other unit is taken for a wrong unit. */
const likeness = 0.25;
const degree = Math.PI / 180;

/**
 * Why an angle that turns by so much cannot be that of a valve with this travel; undefined where it can.
 * A ball that turns by less may have stalled, which is a finding; only a travel that is the declared one
 * in radians, read in degrees, is taken for none.
 *
 * @param turned_rad  from rest to rest, either way;  @param travel_rad  declared, > 0
 */
export function impossibleTravel(turned_rad: number, travel_rad: number | undefined): string | undefined {
  if (travel_rad === undefined || !(travel_rad > 0)) return undefined;
  const share = Math.abs(turned_rad) / travel_rad;
  const [turned, travel] = [degrees(turned_rad), degrees(travel_rad)];
  const isOther = (factor: number) => Math.abs(share * factor - 1) <= likeness;
  if (isOther(1 / degree))
    return `the angle turns by ${turned}, the declared travel is ${travel}, or ${radians(travel_rad)}: its column seems to hold rad, not deg, or the ball hardly moved`;
  if (!(share > mostShare)) return undefined;
  return isOther(degree)
    ? `the angle turns by ${turned}, or ${radians(turned_rad)}, the declared travel is ${travel}: its column seems to hold deg, not rad`
    : `the angle turns by ${turned}, the declared travel is ${travel}: its unit, scale or range is wrong, its sensor jumps, or the travel is declared wrong`;
}

function radians(rad: number): string {
  return `${Number(Math.abs(rad).toPrecision(3))} rad`;
}

/** As a number of degrees without an exponent. */
function degrees(rad: number): string {
  const value = Number((Math.abs(rad) / degree).toPrecision(3));
  return `${value} deg`;
}
