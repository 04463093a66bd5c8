import { existsSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { acceptProposals } from "../../src/cli/accept.js";
import { readDossier, valueAt } from "../../src/dossier/index.js";
import { openDossier, readParquet, sha256 } from "../../src/host/index.js";
import { inFolder } from "../host/folder.js";
import { refusalOf } from "../host/refusal.js";
import { at, coldturn, dossierIn, dryLog, recordOf, valveText, widest } from "./program.js";

const log = dryLog();
const few = ["--samples", "400"];
/** The sample log asks for a battery that nobody declared: its update does not stand. */
const insisting = ["--accept", "--although-it-does-not-stand"];

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

describe("coldturn import", () => {
  it("keeps the original, the mapping and the channels, and shows events and times", async () => {
    await withLog(async (place, path) => {
      const { status, stdout, stderr } = await imported(place, path, "--note", "first of the day");
      expect([status, stderr]).toEqual([0, ""]);
      expect(stdout).toMatch(/^ +angle +angle +deg +\w/m);
      expect(stdout).toMatch(/^ +from command to end of travel +\d+\.\d+ ms \+\/- \d/m);
      expect(stdout).toContain("the duty is with oxygen");
      expect(widest(stdout)).toBeLessThanOrEqual(100);
      const folder = join(place, "runs", "2031-04-18-dry-ambient-01");
      expect(readdirSync(folder).sort()).toEqual(["bench 03.csv", "log.parquet", "run.yaml"]);
      expect(readFileSync(join(folder, "bench 03.csv"), "utf8")).toBe(log);
      const record = readFileSync(join(folder, "run.yaml"), "utf8");
      expect(record).toContain(`sha256: ${sha256(log)}`);
      expect(record).toContain("notes: first of the day");
      const table = await readParquet(join(folder, "log.parquet"));
      expect(table.names).toEqual([
        "time_s",
        "line_in_original",
        "command_V",
        "angle_rad",
        "motor_current_A",
      ]);
      expect(table.columns[0]?.length).toBe(4001);
      expect(table.columns[3]?.at(-1)).toBeCloseTo(Math.PI / 2, 3);
    });
  });

  it("shows all of it and writes nothing on a dry run", async () => {
    await withLog(async (place, path) => {
      const { status, stdout } = await imported(place, path, "--dry-run");
      expect(status).toBe(0);
      expect(stdout).toContain("Nothing was written (--dry-run).");
      expect(existsSync(join(place, "runs"))).toBe(false);
    });
  });

  it("asks for what the log does not say, in the words of --map, and takes the answer", async () => {
    await withLog(
      async (place, path) => {
        const { status, stderr } = await imported(place, path);
        expect(status).toBe(2);
        expect(stderr).toContain(path);
        expect(stderr.replaceAll("\n", " ")).toContain("--map time.unit=...");
        expect(stderr.replaceAll("\n", " ")).toContain("--map angle.unit=...");
        expect(existsSync(join(place, "runs"))).toBe(false);
        const answered = await imported(
          place,
          path,
          "--map",
          "time.unit=s",
          "--map",
          "angle.unit=deg",
          "--json",
        );
        expect(answered.status).toBe(0);
        expect(at(recordOf(answered), "result.run.mapping.time.unit")).toBe("s");
        expect(at(recordOf(answered), "result.sense")).toBe("opening");
      },
      dryLog({ head: "t,cmd,angle,current [A]" }),
    );
  });

  it("uses the mapping of an earlier run with the same columns again, unless told not to", async () => {
    await withLog(async (place, path) => {
      await imported(place, path, "--map", "motor_current=none", "--run", "first");
      writeFileSync(path, dryLog({ slower: 1.2 }));
      const second = await imported(place, path, "--json");
      expect(at(recordOf(second), "result.mappingFrom")).toBe("first");
      expect(JSON.stringify(at(recordOf(second), "result.run.mapping"))).not.toContain("motor_current");
      expect(at(recordOf(second), "result.run.id")).toBe("2031-04-18-dry-ambient-01");
      const anew = await imported(place, path, "--anew", "--json", "--dry-run");
      expect(at(recordOf(anew), "result.mappingFrom")).toBeNull();
      expect(JSON.stringify(at(recordOf(anew), "result.run.mapping"))).toContain("motor_current");
    });
  });

  it("gives the mapping of one logger to no other with the same columns, unless that is wanted", async () => {
    const slow = (head: readonly string[], slower: number) => [...head, dryLog({ slower })].join("\n");
    const first = ["Stand logger A", "Serial number: 4711"];
    const other = ["Stand logger A", "Serial number: 4712"];
    await withLog(
      async (place, path) => {
        const told = await imported(place, path, "--map", "motor_current=none", "--run", "first");
        expect(told.stdout.replaceAll(/\s+/g, " ")).toContain(
          "logger Stand logger A, serial number 4711, delimiter comma",
        );
        const yaml = join(place, "runs", "first", "run.yaml");
        expect(readFileSync(yaml, "utf8")).toMatch(/source:\n +logger: Stand logger A\n +serial: "4711"/);
        const mappedBy = async (head: readonly string[], slower: number) => {
          writeFileSync(path, slow(head, slower));
          const record = recordOf(await imported(place, path, "--json", "--dry-run"));
          const codes = JSON.stringify(at(record, "result.notices"));
          return { from: at(record, "result.mappingFrom"), codes };
        };
        expect((await mappedBy(first, 1.2)).from).toBe("first");
        const apart = await mappedBy(other, 1.2);
        expect(apart.from).toBeNull();
        expect(apart.codes).toContain("(serial number 4711; this log: serial number 4712)");
        writeFileSync(yaml, readFileSync(yaml, "utf8").replace('serial: "4711"', "serial: any"));
        expect((await mappedBy(other, 1.2)).from).toBe("first");
        // A run of before the source was kept.
        const text = readFileSync(yaml, "utf8");
        writeFileSync(yaml, text.replace(/ {2}source:\n( {4}.*\n)+/, ""));
        expect(readFileSync(yaml, "utf8")).not.toContain("serial");
        const old = await mappedBy(other, 1.2);
        expect(old.from).toBe("first");
        expect(old.codes).toContain("mapping-by-columns");
      },
      slow(first, 1.15),
    );
  });

  it("never overwrites a run", async () => {
    await withLog(async (place, path) => {
      await imported(place, path, "--run", "first");
      const before = readFileSync(join(place, "runs", "first", "run.yaml"), "utf8");
      const again = await imported(place, path, "--run", "first", "--note", "other");
      expect(again.status).toBe(2);
      expect(again.stderr).toContain("there is something of this name already");
      expect(readFileSync(join(place, "runs", "first", "run.yaml"), "utf8")).toBe(before);
    });
  });

  it.each([
    { what: "no case", more: [], says: "Name it with --case <id>" },
    { what: "an unknown case", more: ["--case", "dry-ambent"], says: 'Did you mean "dry-ambient"?' },
    {
      what: "no date",
      more: ["--case", "dry-ambient", "--date", "18.4.2031"],
      says: '"18.4.2031" is no date',
    },
    {
      what: "a run id that is a path",
      more: ["--case", "dry-ambient", "--run", "../x"],
      says: '"../x" cannot be the id',
    },
    {
      what: "an unknown role",
      more: ["--case", "dry-ambient", "--map", "angel.unit=deg"],
      says: 'Did you mean "angle"?',
    },
    {
      what: "an unknown column",
      more: ["--case", "dry-ambient", "--map", "flow=Q"],
      says: 'no column is named "Q"',
    },
    {
      what: "a correction without =",
      more: ["--case", "dry-ambient", "--map", "angle"],
      says: "Write it as key=value",
    },
  ])("refuses $what and writes nothing", async ({ more, says }) => {
    await withLog(async (place, path) => {
      const { status, stderr } = await coldturn(["import", place, path, ...more]);
      expect(status).toBe(2);
      expect(stderr.replaceAll("\n", " ")).toContain(says);
      expect(existsSync(join(place, "runs"))).toBe(false);
    });
  });

  it("refuses a file that is no log, and one that is not there", async () => {
    await inFolder(async (folder) => {
      const place = dossierIn(folder);
      const path = join(folder, "log.csv");
      writeFileSync(path, Buffer.from([0x50, 0x4b, 3, 4, 0, 0, 1, 2]));
      const binary = await imported(place, path);
      expect(binary.status).toBe(2);
      expect(binary.stderr).toContain("a zip archive or a spreadsheet workbook");
      const missing = await imported(place, join(folder, "lgo.csv"));
      expect(missing.status).toBe(2);
      expect(missing.stderr.replaceAll("\n", " ")).toContain(`Did you mean "${path}"?`);
      expect(existsSync(join(place, "runs"))).toBe(false);
    });
  });
});

/** Paths of proposals as a JSON record has them. */
function pathsOf(proposals: unknown): readonly string[] {
  return Array.isArray(proposals)
    ? proposals.flatMap((one: unknown) =>
        typeof one === "object" && one !== null && "path" in one ? [String(one.path)] : [],
      )
    : [];
}

describe("coldturn reconcile", () => {
  it("says whether they agree, splits the difference and shows the values that do not stand; check knows it afterwards", async () => {
    await withLog(async (place, path) => {
      await imported(place, path, "--run", "first");
      const waiting = await coldturn(["check", place, "--samples", "100"]);
      expect(waiting.stdout).toContain("run first counts for nothing here");
      const { status, stdout, stderr } = await coldturn(["reconcile", place, ...few]);
      expect([status, stderr]).toEqual([1, ""]);
      expect(stdout).toContain(
        "held against the valve file as it is now: no prediction of this case is sealed",
      );
      expect(stdout).toMatch(
        /Run first, opening: (disagrees|agrees|cannot tell); predicted [\d.]+ ms, measured [\d.]+ ms/,
      );
      expect(stdout).toContain("from the predicted to the measured time");
      expect(stdout).toMatch(/^predicted, as declared|predicted, as declared {2,}│/m);
      expect(stdout).toContain("Not proposed: values of an update that does not stand");
      expect(stdout).toContain("Nothing was changed in the valve file, and nothing is proposed for it.");
      expect(stdout).not.toMatch(/NaN|undefined|\[object/);
      expect(widest(stdout)).toBeLessThanOrEqual(100);
      expect(readFileSync(join(place, "valve.yaml"), "utf8")).toBe(valveText);
      const known = await coldturn(["check", place, "--samples", "100"]);
      expect(known.stdout).not.toContain("counts for nothing");
      expect(known.stdout).toContain("Present file against test: run first, opening");
      const overlaid = await coldturn(["predict", place, "--case", "dry-ambient", ...few]);
      expect(overlaid.stdout).toContain("measured, first");
    });
  });

  it("holds a run against the newest prediction sealed before it", async () => {
    await withLog(async (place, path) => {
      const seal = (epoch: string) =>
        coldturn(["seal", place, "--case", "dry-ambient", ...few, "--json"], {
          env: { SOURCE_DATE_EPOCH: epoch },
        });
      const before = recordOf(await seal("1934100000"));
      await seal("1934971000");
      await imported(place, path, "--run", "first");
      const ended = await coldturn(["reconcile", place, "--json", ...few]);
      expect(at(recordOf(ended), "result.runs.0.reconciliation.held.sealed")).toBe(
        at(before, "result.sealed.sha256"),
      );
      const codes = JSON.stringify(at(recordOf(ended), "result.runs.0.notices"));
      expect(codes).toContain("held-against-seal");
    });
  });

  it("a seal of another state of the file is history: fields named, present file held; other runs are listed", async () => {
    await withLog(async (place, path) => {
      await coldturn(["seal", place, "--case", "dry-ambient", ...few], {
        env: { SOURCE_DATE_EPOCH: "1934100000" },
      });
      await imported(place, path, "--run", "first");
      const file = join(place, "valve.yaml");
      const sealedFor = readFileSync(file, "utf8");
      writeFileSync(file, sealedFor.replace(/(dead_time: 15 ms \+\/- )3 ms/, "$14 ms"));
      expect(readFileSync(file, "utf8")).not.toBe(sealedFor);
      const edited = recordOf(await coldturn(["reconcile", place, ...insisting, "--json", ...few]));
      expect(at(edited, "result.runs.0.reconciliation.held.sealed")).toBeUndefined();
      const words = JSON.stringify(at(edited, "result.runs.0.notices"));
      expect(words).toContain("seal-outdated");
      expect(words).toContain("has changed since (drive.driver.dead_time)");
      expect(words).toMatch(/Against that seal: (agrees|disagrees|cannot tell), predicted/);
      const after = recordOf(await coldturn(["reconcile", place, "--json", ...few]));
      expect(at(after, "result.runs.0.reconciliation.held.sealed")).toHaveLength(64);
      expect(at(after, "result.runs.0.reconciliation.ledger")).toBeUndefined();
      expect(at(after, "result.runs.0.answer.sentence")).toContain("the difference is not shared out");
      const checked = await coldturn(["check", place, "--samples", "100"]);
      const told = checked.stdout.replaceAll(/\s+/g, " ");
      expect(told).toContain("run first counts neither for nor against");
      // What the seal said of the test stands, whatever was accepted since.
      expect(told).toContain("Prediction held against test: run first, opening");
      const sealedFinding = at(edited, "result.runs.0.sealedFinding.finding");
      const verdict = { agrees: "holds", disagrees: "fails", "cannot tell": "not known" }[
        String(sealedFinding)
      ];
      const answers = at(recordOf(await coldturn(["check", place, "--samples", "100", "--json"])), "result");
      expect(at(answers, "answers.10.checks.0")).toMatchObject({ id: "vv", verdict });
      const sheet = join(place, "sheet.html");
      await coldturn(["sheet", place, "--out", sheet, ...few]);
      expect(readFileSync(sheet, "utf8").replaceAll("&nbsp;", " ")).toContain(
        `first: ${String(sealedFinding)}`,
      );
    });
  });

  it("--accept writes the values where they came from, comments kept, and the evidence goes stale", async () => {
    await withLog(async (place, path) => {
      await imported(place, path, "--run", "first");
      const ended = await coldturn(["reconcile", place, "--run", "first", ...insisting, "--json", ...few]);
      expect(ended.status).toBe(1);
      const proposals = at(recordOf(ended), "result.runs.0.proposals");
      expect(Array.isArray(proposals) && proposals.length).toBeGreaterThan(0);
      const text = readFileSync(join(place, "valve.yaml"), "utf8");
      const comments = (source: string) => source.split("\n").flatMap((line) => /#.*/.exec(line)?.[0] ?? []);
      const own = comments(valveText);
      expect(comments(text).slice(0, own.length)).toEqual(own);
      // What the fit found to go together stands in force.
      const together = at(recordOf(ended), "result.accepted.correlations");
      expect(Array.isArray(together) && together.length).toBeGreaterThan(0);
      const { dossier, faults } = readDossier({ valve: { path: "valve.yaml", text } });
      expect(faults).toEqual([]);
      for (const path of pathsOf(proposals)) {
        expect(valueAt(dossier, path)).toMatchObject({ origin: "fitted" });
        expect(valueAt(dossier, path)?.because).toContain("fitted to run first, was");
      }
      const after = await coldturn(["check", place, "--samples", "100"]);
      expect(after.stdout).toContain("run first counts neither for nor against");
      const again = await coldturn(["reconcile", place, ...few]);
      expect(again.stdout.replaceAll(/\s+/g, " ")).toContain(
        "fitted to this very run: agreement with it is no test",
      );
    });
  });

  it("--accept refuses an update that does not stand, in words, and writes it only when told to, saying so", async () => {
    await withLog(async (place, path) => {
      await imported(place, path, "--run", "first");
      const one = ["reconcile", place, "--run", "first"];
      const refused = await coldturn([...one, "--accept", ...few]);
      expect(refused.status).toBe(2);
      const words = refused.stderr.replaceAll(/\s+/g, " ");
      expect(words).toMatch(/the update does not stand, so it proposes no values: \S+ would have to lie/);
      expect(words).toContain("Declare a wider uncertainty where there is a reason to");
      expect(readFileSync(join(place, "valve.yaml"), "utf8")).toBe(valveText);
      const shown = await coldturn([...one, ...few]);
      expect(shown.stdout).toContain("Not proposed: values of an update that does not stand");
      expect(shown.stdout).not.toContain("Proposed for valve.yaml");
      const insisted = await coldturn([...one, ...insisting, ...few]);
      expect(insisted.stdout).toContain("Written into");
      const text = readFileSync(join(place, "valve.yaml"), "utf8");
      const fitted = text.split("\n").filter((line) => line.includes("origin: fitted"));
      expect(fitted.length).toBeGreaterThan(0);
      for (const line of fitted)
        expect(line).toMatch(/was [^;]+; accepted although the update does not stand: /);
      // What a value was is found under the words: a joint update begins from it.
      const checked = await coldturn(["check", place, "--samples", "100"]);
      expect(checked.stdout.replaceAll(/\s+/g, " ")).toMatch(
        /they were fitted to it; [^;]+ were accepted although the update does not stand/,
      );
    });
  });

  it("--accept takes a log once, also under another run id, and a later fit does not hide an earlier one", async () => {
    await withLog(async (place, path) => {
      await imported(place, path, "--run", "first");
      await imported(place, path, "--run", "again", "--anew");
      await coldturn(["reconcile", place, "--run", "first", ...insisting, ...few]);
      const text = readFileSync(join(place, "valve.yaml"), "utf8");
      for (const run of ["first", "again"]) {
        const twice = await coldturn(["reconcile", place, "--run", run, ...insisting, ...few]);
        expect(twice.status).toBe(2);
        expect(twice.stderr.replaceAll(/\s+/g, " ")).toContain(`fitted to run ${run} already`);
        const shown = await coldturn(["reconcile", place, "--run", run, "--json", ...few]);
        expect(at(recordOf(shown), "result.runs.0.proposals")).toEqual([]);
      }
      expect(readFileSync(join(place, "valve.yaml"), "utf8")).toBe(text);
      // The same test as another logger wrote it is another log.
      const other = path.replace("bench 03", "bench 04");
      writeFileSync(other, `${log}\n`);
      await imported(place, other, "--run", "other");
      expect((await coldturn(["reconcile", place, "--run", "other", ...insisting, ...few])).status).not.toBe(
        2,
      );
      const third = await coldturn(["reconcile", place, "--run", "first", ...insisting, ...few]);
      expect(third.stderr.replaceAll(/\s+/g, " ")).toContain("fitted to run first already");
    });
  });

  it("does not write over a valve file that was edited meanwhile", async () => {
    await inFolder(async (folder) => {
      const place = dossierIn(folder);
      const open = await openDossier(place, "duty");
      const edited = valveText.replace("dwell: 10 min", "dwell: 12 min");
      writeFileSync(join(place, "valve.yaml"), edited);
      const proposals = [
        { path: "valve.inertia", now: "1", proposed: "3 kg cm2", because: "a test", refusals: [] },
      ];
      const { code, text } = await refusalOf(() => acceptProposals(open, proposals, []));
      expect(code).toBe("file-changed");
      expect(text).toContain("changed by somebody else since it was read");
      expect(readFileSync(join(place, "valve.yaml"), "utf8")).toBe(edited);
    });
  });

  it("reads a mapping corrected in run.yaml from the original, and refuses an original that was changed", async () => {
    await withLog(async (place, path) => {
      await imported(place, path, "--run", "first");
      const record = join(place, "runs", "first", "run.yaml");
      writeFileSync(record, readFileSync(record, "utf8").replace(/(role: angle[\s\S]*?sign: )1/, "$1-1"));
      const turned = await coldturn(["reconcile", place, "--json", ...few]);
      expect(at(recordOf(turned), "result.runs.0.reconciliation.sense")).toBe("closing");
      writeFileSync(join(place, "runs", "first", "bench 03.csv"), `${log}9,9,9,9\n`);
      const changed = await coldturn(["reconcile", place]);
      expect(changed.status).toBe(2);
      expect(changed.stderr).toContain("this is not the file that was imported");
    });
  });

  it("tells of several runs also when one of them cannot be used", async () => {
    await withLog(async (place, path) => {
      await imported(place, path, "--run", "first");
      await imported(place, path, "--run", "second", "--anew");
      const record = join(place, "runs", "second", "run.yaml");
      writeFileSync(record, readFileSync(record, "utf8").replace("case: dry-ambient", "case: dry"));
      const ended = await coldturn(["reconcile", place, ...few]);
      expect(ended.status).toBe(2);
      expect(ended.stdout).toContain("Run first, opening:");
      expect(ended.stdout.replaceAll(/\s+/g, " ")).toContain("dry is no case of this valve");
    });
  });

  it("holds several runs together, a log that is there twice once, and accepts what they say together", async () => {
    await withLog(async (place, path) => {
      await imported(place, path, "--run", "first");
      await imported(place, path, "--run", "again", "--anew");
      const twice = recordOf(await coldturn(["reconcile", place, "--json", ...few]));
      expect(at(twice, "result.joint")).toBeNull();
      // The same test as another logger wrote it is another log.
      const other = path.replace("bench 03", "bench 04");
      writeFileSync(other, `${log}\n`);
      await imported(place, other, "--run", "other");
      const ended = await coldturn([
        "reconcile",
        place,
        "--run",
        "first",
        "--run",
        "other",
        ...insisting,
        ...few,
      ]);
      expect(ended.status).not.toBe(2);
      expect(ended.stdout).toContain("2 runs together");
      expect(ended.stdout.replaceAll(/\s+/g, " ")).toMatch(
        /Runs first, other together: (one|no) set of values/,
      );
      expect(ended.stdout).not.toMatch(/NaN|undefined|\[object/);
      const { dossier, faults } = readDossier({
        valve: { path: "valve.yaml", text: readFileSync(join(place, "valve.yaml"), "utf8") },
      });
      expect(faults).toEqual([]);
      expect(dossier.valve.drive?.supply?.resistance?.because).toContain("fitted to runs first, other, was");
    });
  });

  it.each([
    { what: "without a run", more: [], says: "has no run" },
    { what: "of a run that is not there", more: ["--run", "x"], says: "x is no run of this dossier" },
  ])("$what says what to do", async ({ more, says }) => {
    await inFolder(async (folder) => {
      const { status, stderr } = await coldturn(["reconcile", dossierIn(folder), ...more]);
      expect(status).toBe(2);
      expect(stderr).toContain(says);
      expect(stderr).toContain("coldturn import");
    });
  });
});
