import { readFileSync } from "node:fs";
import { decodeText, type Log, type LogChannel, type RoleId } from "../../../src/evidence/log/index.js";
import { type Fault, Refusal } from "../../../src/fault/index.js";

/** Bytes of a sample in test/logs. */
export function sampleBytes(name: string): Uint8Array {
  return new Uint8Array(readFileSync(new URL(`../../logs/${name}`, import.meta.url)));
}

export function sampleText(name: string): string {
  return decodeText(sampleBytes(name)).text;
}

/** The faults an act is refused with; fails if it is not refused. */
export function refusal(act: () => unknown): readonly Fault[] {
  try {
    act();
  } catch (thrown) {
    if (thrown instanceof Refusal) return thrown.faults;
    throw thrown;
  }
  throw new Error("nothing was refused");
}

export function channelOf(log: Log, role: RoleId): LogChannel {
  const channel = log.channels.find((candidate) => candidate.role === role);
  if (channel === undefined) throw new Error(`the log has no ${role}`);
  return channel;
}

/** The stroke that the samples of test/logs are mangled forms of. */
export const stroke = {
  time_s: [0, 0.01, 0.02, 0.03, 0.04, 0.05, 0.06, 0.07, 0.08, 0.09, 0.1, 0.11],
  command: [0, 0, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1],
  angle_deg: [0, 0, 0, 0.5, 2, 5, 12, 25, 50, 75, 90, 90],
  current_A: [0, 0, 0, 4, 6, 5, 4, 3.5, 3, 3, 1, 0],
  upstream_bar: [27, 27.1, 27, 26.9, 26.5, 26, 25.5, 25, 24.8, 24.7, 24.7, 24.8],
};
