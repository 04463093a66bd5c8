/** Question 8: can oxygen ignite it? A list for a specialist, mechanism by mechanism; it clears no part. */
import { type Check, type Verdict, worstVerdict } from "./check.js";
import type { Context } from "./context.js";
import { partChecks } from "./oxygenChecks.js";
import { oxygenFieldsOf, staysLiquid } from "./oxygenFacts.js";
import { oxygenFigures } from "./oxygenFigures.js";
import { recordChecks } from "./oxygenRecords.js";
import { type ScreenRow, screenOf } from "./oxygenScreen.js";
import { oxygenTables } from "./oxygenTables.js";
import type { Finding, Question } from "./question.js";
import { rankOwnDrivers } from "./rankDrivers.js";
import { wordOf } from "./signed.js";
import { missingWords, quantityWords } from "./words.js";

/** Question 8. Without an oxidiser in duty and cases it does not apply, which is no word on anything else. */
export const oxygen: Question = {
  id: "oxygen",
  number: 8,
  words: "Can oxygen ignite it?",
  answer: (context): Finding => {
    const { service } = context.own.oxygen;
    if (service.kind === "none") return { sentence: noOxidiserWords(service.fluids), checks: [] };
    const screen = screenOf(context);
    const checks = [...partChecks(context, screen), ...recordChecks(context)];
    const { jets, compression } = context.own.oxygen;
    return {
      sentence: sentence(context, screen),
      verdict: verdictOfAll(checks),
      checks: service.kind === "unknown" ? withService(checks, service.missing) : checks,
      figures: oxygenFigures(context),
      tables: oxygenTables(context, screen, checks),
      drivers: [
        ...rankOwnDrivers(context, compression.figures, "compressed", "the temperature of compressed gas"),
        ...rankOwnDrivers(context, jets.figures, "gas", "the speed of gas at the start"),
        ...rankOwnDrivers(context, jets.figures, "flash", "the speed of liquid that flashes"),
      ].toSorted((a, b) => b.share - a.share),
    };
  },
};

/** A missing answer keeps the question not known, also beside a check that is thin; one that fails, fails it. */
function verdictOfAll(checks: readonly Check[]): Verdict {
  const worst = worstVerdict(checks);
  const isOpen = checks.some(({ standing, verdict }) => standing === "judged" && verdict === "not known");
  return worst === "thin" && isOpen ? "not known" : worst;
}

function noOxidiserWords(names: readonly string[]): string {
  const subject =
    names.length === 0
      ? "the valve is dry in duty and cases"
      : `${names.join(" and ")} ${names.length > 1 ? "are" : "is"} no oxidiser`;
  return `Does not apply: ${subject}. Nothing is said of an oxidiser that reaches the valve otherwise, nor of a fuel in air.`;
}

/** Nothing is known of any check while nobody says what flows. */
function withService(checks: readonly Check[], missing: readonly string[]): readonly Check[] {
  return checks.map((check) =>
    check.kind === "unknown" ? { ...check, needs: [...new Set([...missing, ...check.needs])] } : check,
  );
}

function sentence(context: Context, screen: readonly ScreenRow[]): string {
  const { service, jets, compression } = context.own.oxygen;
  if (service.kind === "unknown" && screen.length === 0)
    return missingWords([...service.missing, "oxygen.parts"]);
  if (screen.length === 0)
    return "Not known: no wetted part is declared (oxygen.parts), and without them no mechanism of ignition can be ruled out.";
  const of = (kind: ScreenRow["outcome"]["kind"]) =>
    screen.filter(({ outcome }) => outcome.kind === kind).length;
  const credible = of("credible");
  const open = of("open");
  const flash = jets.figures.nominal.flash ?? Number.NaN;
  const compressed = compression.figures.nominal.compressed ?? Number.NaN;
  const numbers = [
    ...(flash > 0
      ? [`The jet of the liquid reaches ${quantityWords(flash, "speed", "m/s")}${jetEnd(context)}`]
      : []),
    ...(Number.isNaN(compressed)
      ? []
      : [`gas that is compressed comes to ${quantityWords(compressed, "temperature", "degC")}`]),
  ];
  const reviewed = wordOf(context, oxygenFieldsOf(context)?.specialist ?? {});
  return [
    `Of ${screen.length} pairs of part and mechanism ${credible} ${credible === 1 ? "is" : "are"} credible, ${open} ${open === 1 ? "is" : "are"} open and ${of("not credible")} not credible.`,
    ...(numbers.length === 0 ? [] : [`${capital(numbers.join("; "))}.`]),
    reviewed === undefined
      ? "This is the list for an oxygen specialist, who has not seen it; it clears no part."
      : "This is a list for an oxygen specialist; it clears no part.",
  ].join(" ");
}

function jetEnd({ own: { oxygen: answer } }: Context): string {
  if (staysLiquid(answer)) return " and stays liquid";
  return answer.flashedShare === 0 ? ", and may flash" : ", part of it gas";
}

function capital(text: string): string {
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}`;
}
