/**
 * Measures the budgets and prints them as a table: value, ratio to its reference, budget, accuracy,
 * and the machine and versions it was measured on. Exit status 1 when a budget is passed.
 *
 *   npm run bench [-- --json] [-- words of the names to run]
 */
import { readFileSync } from "node:fs";
import { arch, cpus, platform, release, totalmem } from "node:os";
import { band } from "./band.js";
import { type Bench, judge, type Row } from "./bench.js";
import { checkCommand, wholeDemo } from "./commands.js";
import { compliantOpening, compliantSlipping, compliantTime } from "./compliant.js";
import { equationOfState, fluidTables } from "./fluids.js";
import { databaseAlone, importOfLog } from "./import.js";
import { opening } from "./opening.js";
import { jointPosterior, jointUpdate } from "./reconcile.js";
import { rk4 } from "./rk4.js";
import { seek } from "./seek.js";
import { zoomOrPan } from "./series.js";
import { waterHammer } from "./surge.js";
import { editToRedraw, firstAnswer, pageScript } from "./workbench.js";

/** In this order; a reference stands before the benches that name it. */
const benches: readonly Bench[] = [
  rk4,
  opening,
  compliantOpening,
  compliantTime,
  compliantSlipping,
  equationOfState,
  fluidTables,
  waterHammer,
  band,
  seek,
  checkCommand,
  wholeDemo,
  databaseAlone,
  importOfLog,
  jointUpdate,
  jointPosterior,
  pageScript,
  firstAnswer,
  editToRedraw,
  zoomOrPan,
];

const words = process.argv.slice(2).filter((word) => word !== "--json");
const asJson = process.argv.includes("--json");
const isNamed = (bench: Bench): boolean =>
  words.length === 0 || words.some((word) => bench.name.toLowerCase().includes(word.toLowerCase()));
const referenceOf = ({ budget }: Bench): string | undefined => {
  if ("reference" in budget) return budget.reference;
  return "setWhere" in budget ? budget.setWhere?.reference : undefined;
};
const chosen = benches.filter(isNamed);
const wanted = benches.filter(
  (bench) => chosen.includes(bench) || chosen.some((c) => referenceOf(c) === bench.name),
);

const rows: Row[] = [];
const values = new Map<string, number>();
if (!asJson) print(machine());
for (const bench of wanted) {
  const found = await bench.run();
  const row = judge(bench, found, values);
  values.set(bench.name, found.value);
  rows.push(row);
  if (!asJson) print(lineOf(row));
}
const over = rows.filter(({ verdict }) => verdict === "over budget");
const lacking = rows.filter(({ verdict }) => verdict === "not measured").length;
if (asJson) print(JSON.stringify({ machine: machine(), rows }, null, 2));
else
  print(
    wanted.length === 0
      ? "No bench has such a name."
      : `${rows.length - lacking} measured${lacking === 0 ? "" : `, ${lacking} not`}, ${over.length} over budget`,
  );
process.exitCode = over.length > 0 || wanted.length === 0 ? 1 : 0;

function print(text: string): void {
  process.stdout.write(`${text}\n`);
}

function machine(): string {
  const { version } = JSON.parse(readFileSync(new URL("../../package.json", import.meta.url), "utf8"));
  const [first] = cpus();
  const memory = `${(totalmem() / 2 ** 30).toFixed(1)} GiB`;
  return [
    `Coldturn ${version}, Node ${process.versions.node}, V8 ${process.versions.v8}`,
    `${cpus().length} x ${first?.model.trim() ?? "unknown processor"}, ${memory}, ${platform()} ${release()} ${arch()}`,
  ].join("\n");
}

function lineOf(row: Row): string {
  const ratio = row.ratio === undefined ? "" : `ratio ${row.ratio.toPrecision(3)}`;
  return [
    row.name.padEnd(44),
    (row.verdict === "not measured" ? "-" : inUnit(row.value, row.unit)).padStart(14),
    ratio.padEnd(13),
    row.verdict.padEnd(13),
    `${budgetInWords(row)}; ${row.accuracy}`,
  ].join("  ");
}

function budgetInWords({ budget, unit, limitHere }: Row): string {
  switch (budget.kind) {
    case "none":
      return "no budget";
    case "at most":
    case "at least": {
      const { setWhere } = budget;
      const limit = `${budget.kind} ${inUnit(budget.value, unit)}`;
      if (setWhere === undefined) return limit;
      const where = `${limit} where the ${setWhere.reference} takes ${inUnit(setWhere.value, unit)}`;
      return limitHere === undefined ? where : `${where}, so ${inUnit(limitHere, unit)} here`;
    }
    case "ratio at most":
    case "ratio at least":
      return `${budget.kind} ${budget.value.toPrecision(3)} of ${budget.reference}`;
  }
}

/** A value with an engineering prefix: 2.5e-4 s as "250 us". */
function inUnit(value: number, unit: string): string {
  const prefixes = ["n", "u", "m", "", "k", "M", "G"];
  const power = Math.floor(Math.log10(Math.abs(value)) / 3);
  const index = Math.min(Math.max(power + 3, 0), prefixes.length - 1);
  const scaled = value / 1000 ** (index - 3);
  // A prefix on a unit that is a quotient of one goes before the number's name: 4e8 1/s as "400 M 1/s".
  return unit.startsWith("1/")
    ? `${scaled.toPrecision(3)} ${prefixes[index]} ${unit}`
    : `${scaled.toPrecision(3)} ${prefixes[index]}${unit}`;
}
