import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { inFolder } from "../host/folder.js";
import { at, coldturn, dossierIn, dryLog, recordOf } from "./program.js";

const log = dryLog();

/** A dossier with the log of a dry test beside it. */
async function withLog<T>(act: (place: string, path: string) => Promise<T>, text = log): Promise<T> {
  return await inFolder(async (folder) => {
    const path = join(folder, "bench 03.csv");
    writeFileSync(path, text);
    return await act(dossierIn(folder), path);
  });
}

const imported = (place: string, path: string, ...more: readonly string[]) =>
  coldturn(["import", place, path, "--case", "dry-ambient", "--date", "2031-04-18", ...more]);

describe("coldturn import holds a log against what is known:", () => {
  it("asks which way the angle counts where a log speaks against a mapping used again", async () => {
    const turned = log.replaceAll(
      /^([\d.]+,[\d.]+),(-?[\d.]+)/gm,
      (_, head, angle) => `${head},${90 - Number(angle)}`,
    );
    const negative = log.replaceAll(
      /^([\d.]+,[\d.]+),(-?[\d.]+)/gm,
      (_, head, angle) => `${head},${-Number(angle)}`,
    );
    await withLog(async (place, path) => {
      await imported(place, path, "--run", "first");
      for (const [text, mend] of [
        [turned, '--map angle.sign=-1 --map "angle.zero=90 deg"'],
        [negative, "--map angle.sign=-1;"],
      ] as const) {
        writeFileSync(path, text);
        const { status, stderr } = await imported(place, path);
        const words = stderr.replaceAll(/\s+/g, " ");
        expect(status).toBe(2);
        expect(words).toContain("the angle, read as in run first, speaks against its sign 1");
        expect(words).toContain(`If the valve opened, write ${mend}`);
        expect(readdirSync(join(place, "runs"))).toEqual(["first"]);
      }
      const opened = await imported(place, path, "--map", "angle.sign=-1", "--dry-run", "--json");
      expect([opened.status, at(recordOf(opened), "result.sense")]).toEqual([0, "opening"]);
      const closed = await imported(place, path, "--map", "angle.sign=1", "--dry-run", "--json");
      expect([closed.status, at(recordOf(closed), "result.sense")]).toEqual([0, "closing"]);
      // The other way round: a mapping that turns the angle, and a log that needs no turning.
      await imported(place, path, "--map", "angle.sign=-1", "--run", "second");
      writeFileSync(path, `${log}\n`);
      const back = await imported(place, path);
      expect(back.status).toBe(2);
      expect(back.stderr.replaceAll(/\s+/g, " ")).toContain("If the valve opened, write --map angle.sign=1;");
    });
  });

  it("says when the date of a test is later than the clock, and that seals rest on it", async () => {
    await withLog(async (place, path) => {
      const clock = (epoch: string) => ({ env: { SOURCE_DATE_EPOCH: epoch } });
      const args = ["import", place, path, "--case", "dry-ambient", "--date", "2031-04-18", "--dry-run"];
      const early = await coldturn(args, clock("1934000000"));
      expect(early.stdout.replaceAll(/\s+/g, " ")).toContain(
        "dated 2031-04-18, and the clock says 2031-04-15: that a prediction was sealed before the test rests on a typed date alone",
      );
      const late = await coldturn(args, clock("1934971000"));
      expect([late.status, late.stdout.includes("the clock says")]).toEqual([0, false]);
    });
  });

  it("refuses a date on another day than the log's own, and says of another hour", async () => {
    const start = Date.UTC(2031, 3, 18, 9, 41);
    const stamped = log
      .replace("t [s]", "timestamp")
      .replaceAll(/^([\d.]+),/gm, (_, t) => `${new Date(start + Math.round(Number(t) * 1e3)).toISOString()},`)
      .replaceAll(/^(.*\dZ),(.*)\n\1,.*$/gm, "$1,$2");
    await withLog(async (place, path) => {
      const of = (date: string) =>
        coldturn(["import", place, path, "--case", "dry-ambient", "--date", date, "--dry-run"]);
      const other = await of("2019-01-01");
      expect(other.status).toBe(2);
      expect(other.stderr.replaceAll(/\s+/g, " ")).toContain(
        "the test is dated 2019-01-01, but the log itself says 2031-04-18T09:41:00Z",
      );
      const hour = await of("2031-04-18T11:30:00Z");
      expect(hour.status).toBe(0);
      expect(hour.stdout.replaceAll(/\s+/g, " ")).toContain(
        "the test is dated 2031-04-18T11:30:00Z, the log itself begins at 2031-04-18T09:41:00Z",
      );
      for (const same of ["2031-04-18", "2031-04-18T11:41:00+02:00"]) {
        const { status, stdout } = await of(same);
        expect([status, stdout.includes("the log itself")]).toEqual([0, false]);
      }
    }, stamped);
    await withLog(async (place, path) => {
      const { status, stderr } = await imported(place, path);
      expect(status).toBe(2);
      expect(stderr).toContain("but the log itself says 2031-04-14");
    }, `Date;2031-04-14\n${log}`);
  });

  it("holds pressure and voltage before the command against the case", async () => {
    const withColumns = (pressure: string, voltage: string) =>
      log
        .replace(/\n/, ",p_tank [bar(a)],u_supply [V]\n")
        .replaceAll(/^(\d.*)$/gm, `$1,${pressure},${voltage}`);
    await withLog(
      async (place, path) => {
        const dry = (await imported(place, path, "--dry-run")).stdout.replaceAll(/\s+/g, " ");
        expect(dry).toContain("shows 28 bar(a) upstream of the valve, but case dry-ambient is without fluid");
        expect(dry).toContain("shows a supply of 20 V, but case dry-ambient declares 24.4 V to 26 V");
        const wet = await imported(place, path, "--case", "pressurised-ambient", "--dry-run");
        expect(wet.stdout).not.toContain("upstream of the valve, but");
      },
      withColumns("28", "20"),
    );
    await withLog(
      async (place, path) => {
        const dry = (await imported(place, path, "--dry-run")).stdout.replaceAll(/\s+/g, " ");
        expect(dry).not.toContain("before the command the log shows");
        const wet = await imported(place, path, "--case", "pressurised-ambient", "--dry-run");
        expect(wet.stdout.replaceAll(/\s+/g, " ")).toContain(
          "shows 1 bar(a) upstream of the valve, but case pressurised-ambient is at a supply pressure of 27.6 bar(a) to 28.4 bar(a)",
        );
      },
      withColumns("1.0", "25.2"),
    );
  });

  it("holds the current against what the supply can drive through the winding", async () => {
    const inMilliamperes = log.replaceAll(
      /^([\d.]+,[\d.]+,-?[\d.]+),(-?[\d.]+)/gm,
      (_, head, current) => `${head},${1000 * Number(current)}`,
    );
    const said = async (text: string) =>
      await withLog(
        async (place, path) => (await imported(place, path, "--dry-run")).stdout.replaceAll(/\s+/g, " "),
        text,
      );
    // U / R = 25.2 V / 2 ohm
    expect(await said(inMilliamperes)).toContain("A, but 25.2 V over the 2 ohm of the motor are 12.6 A");
    expect(await said(log)).not.toContain("of the motor are");
  });

  it("takes the jumps off the angle of an encoder that passes 360 deg: the times stay", async () => {
    const encoder = log.replaceAll(
      /^([\d.]+,[\d.]+),(-?[\d.]+)/gm,
      (_, head, angle) => `${head},${(Number(angle) + 300) % 360}`,
    );
    const plain = await withLog(async (place, path) => recordOf(await imported(place, path, "--json")));
    await withLog(async (place, path) => {
      const ended = await imported(place, path, "--run", "first", "--json");
      const record = recordOf(ended);
      expect([ended.status, at(record, "result.sense")]).toEqual([0, "opening"]);
      const codes = at(record, "result.measuringNotices") as readonly { code: string }[];
      expect(codes.map(({ code }) => code)).toContain("log-angle-wraps");
      const timesOf = (of: unknown) =>
        at(of, "result.times") as readonly { definition: string; value_s: number }[];
      const wanted = timesOf(plain);
      expect(timesOf(record)).toHaveLength(wanted.length);
      for (const { definition, value_s } of timesOf(record)) {
        const same = wanted.find((one) => one.definition === definition)?.value_s ?? Number.NaN;
        // The offset of a turn moves the last digits of the readings alone.
        expect(Math.abs(value_s - same), definition).toBeLessThan(1e-5);
      }
    }, encoder);
  });

  it("keeps a log whose angle the valve cannot turn, asks for its unit, and judges nothing by it", async () => {
    await withLog(
      async (place, path) => {
        const { status, stdout, stderr } = await imported(place, path, "--run", "first");
        expect(status).toBe(2);
        const words = stderr.replaceAll(/\s+/g, " ");
        expect(words).toContain("its column seems to hold deg, not rad");
        expect(words).toContain(
          "correct column, unit or scale of the channel angle under mapping in its run.yaml",
        );
        expect(stdout.replaceAll(/\s+/g, " ")).toContain("from command to end of travel not known");
        const folder = join(place, "runs", "first");
        expect(readdirSync(folder)).toContain("bench 03.csv");
        const held = await coldturn(["reconcile", place, "--run", "first", "--samples", "200"]);
        expect(held.status).toBe(2);
        expect(held.stderr.replaceAll(/\s+/g, " ")).toContain("shows no stroke that could be compared");
        // What it asks for mends it.
        const yaml = join(folder, "run.yaml");
        const scale = "scale: [{ reading: 0, value: 0 deg }, { reading: 90, value: 90 deg }]";
        const text = readFileSync(yaml, "utf8");
        const mended = text.replace(/^( +)unit: rad$/m, `$1unit: rad\n$1${scale}`);
        expect(mended).not.toBe(text);
        writeFileSync(yaml, mended);
        const reduced = await coldturn(["reduce", place, "--run", "first"]);
        expect([reduced.status, reduced.stdout.includes("not rad")]).toEqual([0, false]);
        const scaled = ["--map", "angle.scale=0:0 deg,90:90 deg", "--dry-run", "--anew"];
        expect((await imported(place, path, ...scaled)).status).toBe(0);
      },
      log.replace("[deg]", "[rad]"),
    );
  });

  it("says that a log without an angle shows no times, and how to name the column", async () => {
    await withLog(async (place, path) => {
      const { status, stdout } = await imported(place, path, "--map", "angle=none");
      expect(status).toBe(0);
      const words = stdout.replaceAll(/\s+/g, " ");
      expect(words).toContain("no column is mapped to the angle of the ball");
      expect(words).toContain("The columns are t, cmd, angle, current;");
      expect(words).toContain("--map angle=<column> --map angle.unit=deg");
    });
  });

  it("refuses the same log under a second name, unless told to take it anew", async () => {
    await withLog(async (place, path) => {
      await imported(place, path, "--run", "first");
      const again = await imported(place, path, "--run", "second");
      expect(again.status).toBe(2);
      expect(again.stderr.replaceAll(/\s+/g, " ")).toContain("is run first already: the same bytes");
      expect(readdirSync(join(place, "runs"))).toEqual(["first"]);
      expect((await imported(place, path, "--dry-run")).status).toBe(0);
      expect((await imported(place, path, "--run", "second", "--anew")).status).toBe(0);
    });
  });
});
