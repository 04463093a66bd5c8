/** Which further test, or which further channel, would tell two inputs apart that the tests made so far do not. */

import type { HistoryOverlay } from "../evidence/index.js";

/** Where an input acts. */
type Place = "instrument" | "supply" | "motor" | "gears" | "driver" | "pressed" | "cold" | "valve" | "stream";

function placeOf(path: string): Place {
  if (/^granted\.(command_delay|angle_lag|clock)$/.test(path)) return "instrument";
  if (/stream_torque|hydrodynamic/.test(path)) return "stream";
  if (/cold_ratio|temperature/.test(path)) return "cold";
  if (/^drive\.supply|open_circuit_voltage/.test(path)) return "supply";
  if (/^drive\.driver|current_limit/.test(path)) return "driver";
  if (/^drive\.stages/.test(path)) return "gears";
  if (/^drive\.motor|further_inertia/.test(path)) return "motor";
  if (/seat\.friction|pressure|collar|bearing/.test(path)) return "pressed";
  return "valve";
}

/** A test that asks for a channel says nothing new where that was logged: then another stands in its place. */
interface Logged {
  readonly channel: HistoryOverlay["channel"];
  readonly words: string;
}

/** By the places of two inputs, the more particular first. */
const tests: readonly (readonly [Place, Place, string, Logged?])[] = [
  ["instrument", "driver", "the driver's input logged beside the command"],
  ["instrument", "instrument", "both signals, command and angle, put through one fast logger channel each"],
  [
    "supply",
    "motor",
    "the motor held still: its current and the voltage at the driver give both resistances",
  ],
  [
    "supply",
    "supply",
    "the voltage at the driver logged at rest and under load",
    {
      channel: "supply voltage",
      words:
        "a longer rest of the supply before the command shows its open-circuit voltage, the stem locked or another load its resistance",
    },
  ],
  ["driver", "motor", "the motor held still: its current shows the limit"],
  ["motor", "gears", "the motor alone, uncoupled from the gears"],
  ["motor", "motor", "the motor alone: no-load speed and current, then held still"],
  ["gears", "pressed", "the drive alone, uncoupled from the valve"],
  ["gears", "valve", "the drive alone, uncoupled from the valve"],
  ["gears", "cold", "the drive alone at the gearbox's cold temperature"],
  ["gears", "gears", "the gearbox alone, with a known load"],
  ["motor", "pressed", "the drive alone, uncoupled from the valve"],
  ["motor", "valve", "the drive alone, uncoupled from the valve"],
  ["pressed", "valve", "the same opening dry and under pressure"],
  ["pressed", "pressed", "the same opening under another pressure"],
  ["pressed", "cold", "the same opening at ambient temperature"],
  ["valve", "cold", "the same opening at ambient temperature"],
  ["cold", "cold", "the same cold opening dry and under pressure"],
  ["stream", "pressed", "the same pressure with the outlet blocked, so that nothing flows"],
  ["stream", "valve", "the same pressure with the outlet blocked, so that nothing flows"],
];

/** A test that would tell two inputs apart, in words. @param logged  channels that the tests so far had already */
export function separatingTest(
  first: string,
  second: string,
  logged: readonly HistoryOverlay["channel"][] = [],
): string {
  const [a, b] = [placeOf(first), placeOf(second)];
  const found = tests.find(([x, y]) => (x === a && y === b) || (x === b && y === a));
  const instead = found?.[3];
  if (instead !== undefined && logged.includes(instead.channel)) return instead.words;
  return (
    found?.[2] ??
    "a test in which one of them acts and the other does not: another pressure, temperature, or the drive alone"
  );
}
