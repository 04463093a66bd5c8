import { describe, expect, it } from "vitest";
import { detectEvents, type EventChannels } from "../../../src/evidence/event/index.js";
import { type RandomStream, randomStream } from "../../../src/numerics/index.js";
import type { Angle } from "../../../src/quantity/index.js";

/** Logs in closed form with a breakaway peak, a rebound, a flow that sets in and a driver that trips. */
interface Truth {
  readonly channels: EventChannels;
  readonly truth: Readonly<Record<string, number>>;
}

const between = (random: RandomStream, low: number, high: number) => low * (high / low) ** random.uniform();

function log(random: RandomStream): Truth {
  const rate = between(random, 300, 5000);
  const noise = between(random, 0.002, 0.02);
  const command = 0.3 + 0.1 * random.uniform();
  const dead = 0.01 + 0.01 * random.uniform();
  const rise = 0.02 + 0.03 * random.uniform();
  const peak = command + dead + rise;
  const duration = 0.3 + 0.3 * random.uniform();
  const contact = peak + duration;
  const rebound = 0.03 + 0.03 * random.uniform();
  const depth = 0.03 + 0.05 * random.uniform();
  const friction = 0.5 * random.uniform();
  const back = rebound * Math.sqrt((1 + friction) / (1 - friction));
  const begin = peak + 0.1 * duration;
  const isTripped = random.uniform() < 0.5;
  const cut = peak + (0.3 + 0.4 * random.uniform()) * duration;
  const isCorner = random.uniform() < 0.6;
  const fall = 0.05 + 0.1 * random.uniform();
  const time_s = Float64Array.from({ length: Math.round((contact + 0.5) * rate) }, (_, i) => i / rate);
  const angle = (t: number) => {
    const x = (t - peak) / duration;
    if (x <= 0) return 0;
    if (x < 1) return isTripped && t > cut ? share(cut) : x * x;
    const since = t - contact;
    if (isTripped) return share(cut);
    // A rebound is a parabola out and a longer one back: friction, a share of the torque, turns round between.
    if (since < rebound) return 1 - depth * (1 - ((since - rebound) / rebound) ** 2);
    return since < rebound + back ? 1 - depth * (1 - ((since - rebound) / back) ** 2) : 1;
  };
  const share = (t: number) => ((t - peak) / duration) ** 2;
  const current = (t: number) => {
    const s = t - command - dead;
    if (s <= 0 || (isTripped && t > cut) || (!isTripped && t > contact)) return 0;
    if (isCorner)
      return t <= peak
        ? (1 - Math.exp((-2 * s) / rise)) / (1 - Math.exp(-2))
        : 0.5 + 0.5 * Math.exp(-(t - peak) / fall);
    // Rounded: rises as a sine to its top and falls to half behind it.
    return t <= peak
      ? Math.sin((Math.PI * s) / (2 * rise))
      : 0.5 + 0.5 / (1 + ((t - peak) / (1.3 * rise)) ** 2);
  };
  // In the shares of the onset's priors: mostly with a jump of its rate, at times of the rate's rate.
  const isSoft = random.uniform() < 0.3;
  const flow = (s: number) => (isSoft ? 1 - Math.exp(-s) * (1 + s) : 1 - Math.exp(-s));
  const noisy = (f: (t: number) => number, size: number) => time_s.map((t) => f(t) + size * random.normal());
  return {
    channels: {
      time_s,
      angle_rad: noisy((t) => 1.57 * angle(t), 1.57 * 0.1 * noise),
      command: time_s.map((t) => (t < command ? 0 : 5)),
      current_A: noisy((t) => 8 * current(t), 8 * noise),
      flow: noisy((t) => (t < begin ? 0 : flow((t - begin) / 0.05)), noise),
    },
    truth: {
      "breakaway peak": peak,
      "flow onset": begin,
      ...(isTripped ? { trip: cut } : { bounce: contact + rebound }),
    },
  };
}

describe("the stated 95 % interval", () => {
  it("of peak, rebound, flow onset and trip covers the truth in 92 to 98 % of a thousand noisy logs", () => {
    const random = randomStream(20310420);
    const rows = new Map<string, { logs: number; covered: number; error: number; stated: number }>();
    let falseTrips = 0;
    for (let k = 0; k < 1000; k++) {
      const { channels, truth } = log(random);
      const { events } = detectEvents(channels, { travel_rad: 1.57 as Angle });
      if (truth.trip === undefined && events.some(({ id, found }) => id === "trip" && found)) falseTrips++;
      for (const [id, true_s] of Object.entries(truth)) {
        const row = rows.get(id) ?? { logs: 0, covered: 0, error: 0, stated: 0 };
        rows.set(id, row);
        row.logs++;
        const event = events.find((one) => one.id === id);
        if (event?.found !== true) continue;
        const [low, high] = event.interval95_s;
        if (low <= true_s && true_s <= high) row.covered++;
        row.error += (event.time_s - true_s) ** 2;
        row.stated += event.standardUncertainty_s ** 2;
      }
    }
    expect(falseTrips).toBe(0);
    for (const [id, { logs, covered, error, stated }] of rows) {
      expect(covered / logs, id).toBeGreaterThanOrEqual(0.92);
      expect(covered / logs, id).toBeLessThanOrEqual(0.98);
      expect(Math.sqrt(stated / error), `${id}: stated over actual`).toBeGreaterThan(0.6);
      expect(Math.sqrt(stated / error), `${id}: stated over actual`).toBeLessThan(2.2);
    }
  }, 600_000);
});
