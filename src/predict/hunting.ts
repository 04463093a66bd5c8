/**
 * What the ball does under its position loop at a set point that stands, at the nominal values: it is led to the
 * lowest flow to be held from one step of the flow away, on the compliant train, and followed
 * (docs/theory/hold.md, hunting).
 */
import { type Dossier, isFaulty } from "../dossier/index.js";
import { runChain } from "../physics/compliant/index.js";
import { type HoldSettings, type Hunting, holdLoop, huntingOf } from "../physics/hold/index.js";
import type { Angle, Current, Declared, Time } from "../quantity/index.js";
import { nominalTrain } from "./shockTrain.js";

/** The ball under its loop. */
export interface HuntingAnswer {
  readonly missing: readonly string[];
  readonly hunting: Hunting | undefined;
  readonly target_rad: number;
  readonly history: { readonly time_s: readonly number[]; readonly angle_rad: readonly number[] } | undefined;
}

/** How long the ball is followed, and from when its error counts [s]. */
const followed = 1.5;
const settledAfter = 1;
/** A ball that the loop has let go of for so long stays where it is [s]. */
const letGo = 0.05;
/** The current loop is this much faster than the winding's own time constant. */
const currentLoopSpeedUp = 4;
/** A turn by less than this share of the travel is none. */
const noiseShare = 1e-4;
const tolerance = 3e-3;
const mostSteps = 200_000;

const loop = "drive.hold";
const profile = "drive.command";

/**
 * @param dossier with its defaults applied
 * @param places  openings [rad] of the set point and of where the ball starts; undefined where they are not known
 */
export function huntingAt(
  dossier: Dossier,
  caseId: string,
  places: { readonly target: number; readonly start: number } | undefined,
): HuntingAnswer {
  const { hold = {}, command = {}, position_sensor } = dossier.valve.drive ?? {};
  const lacking: string[] = [];
  const given = (own: Declared | undefined, field: string, other: Declared | undefined) => {
    const value = own ?? (isFaulty(dossier, `${loop}.${field}`) ? undefined : other);
    if (value === undefined)
      lacking.push(
        own === undefined && isFaulty(dossier, `${loop}.${field}`)
          ? `${loop}.${field}`
          : `${loop}.${field}, or ${profile}.${field}`,
      );
    return value?.value ?? Number.NaN;
  };
  const sampleTime = given(hold.sample_time, "sample_time", command.sample_time) as Time;
  const positionGain = given(hold.position_gain, "position_gain", command.position_gain);
  const speedBandwidth = given(hold.speed_bandwidth, "speed_bandwidth", command.speed_bandwidth);
  if (hold.dead_band === undefined && isFaulty(dossier, `${loop}.dead_band`))
    lacking.push(`${loop}.dead_band`);
  const resolution = position_sensor?.resolution;
  if (resolution === undefined) lacking.push("drive.position_sensor.resolution");
  const { rigid, train, missing: ofTrain } = nominalTrain(dossier, caseId);
  const missing = [...ofTrain, ...lacking];
  const nothing = {
    missing,
    hunting: undefined,
    target_rad: places?.target ?? Number.NaN,
    history: undefined,
  };
  if (missing.length > 0 || rigid === undefined || train === undefined || places === undefined)
    return nothing;
  const settings: HoldSettings = {
    target: places.target as Angle,
    sampleTime,
    positionGain,
    speedBandwidth,
    deadBand: (hold.dead_band?.value ?? 0) as Angle,
    resolution: (resolution?.value ?? 0) as Angle,
    perAcceleration: rigid.forward.inertia / rigid.torqueConstant,
    greatest: Math.min(
      rigid.openCircuitVoltage / (rigid.resistance + rigid.supplyResistance),
      rigid.currentLimit,
    ) as Current,
  };
  const time_s: number[] = [];
  const angle_rad: number[] = [];
  const current = holdLoop(settings);
  let givenUpSince = Number.NaN;
  const run = runChain(
    { ...train, deadTime: 0 as Time },
    {
      sense: places.target >= places.start ? 1 : -1,
      start: places.start as Angle,
      horizon: followed as Time,
      controller: {
        sampleTime,
        lag: (rigid.inductance / rigid.resistance / currentLoopSpeedUp) as Time,
        current(time, angle, speed) {
          time_s.push(time);
          angle_rad.push(angle);
          const wanted = current(time, angle, speed);
          if (wanted !== 0 || Math.abs(speed) > 0) givenUpSince = Number.NaN;
          else if (Number.isNaN(givenUpSince)) givenUpSince = time;
          return wanted;
        },
        isDone: () => (time_s.at(-1) ?? 0) - givenUpSince > letGo,
      },
      isWhole: true,
      tolerance,
      mostSteps,
    },
  );
  const last = time_s.at(-1) ?? 0;
  if (last - givenUpSince > letGo) {
    // Let go of at rest: it stays so.
    time_s.push(followed);
    angle_rad.push(angle_rad.at(-1) ?? Number.NaN);
  } else if (run.end < followed)
    return { ...nothing, missing: ["a loop that can be followed: it sticks and slips without end"] };
  const noise = (noiseShare * rigid.travel) as Angle;
  return {
    missing,
    target_rad: places.target,
    hunting: huntingOf(time_s, angle_rad, settings.target, settledAfter as Time, noise),
    history: { time_s, angle_rad },
  };
}
