/** `coldturn trade`: the motor-driven ball valve against other ways to open the same flow. */
import { openDossier, titleOf } from "../host/index.js";
import { formatQuantity } from "../quantity/index.js";
import { type Concept, type ConceptFigure, type Trade, tradeOf } from "../seek/index.js";
import type { Command } from "./command.js";
import { caseIn, caseOption, folderArgument, folderIn } from "./options.js";
import { type Page, paragraph, section } from "./page.js";
import { tableLines } from "./table.js";
import { withNotices } from "./withNotices.js";

export const tradeCommand: Command = {
  name: "trade",
  summary: "hold the motor-driven ball valve against other ways to open",
  details: [
    "For the bore, the pressure and the duty of the dossier: what a direct solenoid, a pilot-operated one, a pneumatic actuator, a burst disc and a pyrotechnic one-shot valve would take to open, in force or torque, power, gas and mass, each from its own equation; whether it throttles, where it goes without power, whether it can be used again, and what of the duty it cannot do.",
    "It compares orders of size, not designs. What `trade` in valve.yaml does not declare is a usual value, listed with its reason.",
  ],
  arguments: [folderArgument],
  options: [caseOption],
  examples: [{ command: "coldturn trade demo/petrel-oxygen-main", says: "Why a motor, and not a solenoid?" }],
  act: async (input) => {
    const open = await openDossier(folderIn(input), caseIn(input));
    const trade = tradeOf(open.dossier, open.caseId);
    return withNotices(open, {
      status: open.faults.length > 0 ? 2 : 0,
      faults: open.faults,
      result: { valve: open.dossier.valve.name ?? null, ...trade },
      text: (page) => pageText(page, titleOf(open), trade),
    });
  },
};

function pageText(page: Page, title: string, trade: Trade): string {
  const { concepts, inputs, cautions } = trade;
  const heads = ["concept", "opening takes", "power", "gas", "actuator", "throttles", "without power"];
  const rows = concepts.map((concept) => [
    concept.name,
    valueText(concept.opening),
    concept.power === undefined ? "none" : valueText(concept.power),
    concept.gas === undefined ? "none" : valueText(concept.gas),
    valueText(concept.mass),
    concept.throttles ? "yes" : "no",
    concept.withoutPower,
  ]);
  const ruled = concepts.map((concept) => [
    concept.name,
    concept.reuse,
    concept.against.length === 0 ? "nothing that is asked here" : concept.against.join("; "),
  ]);
  return [
    ...paragraph(page, `${title}.`),
    ...paragraph(
      page,
      trade.difference === null
        ? "The pressure across the shut valve is not known."
        : `All of them open against ${formatQuantity(trade.difference, "pressure difference", { digits: 3 })} across the shut valve: the supply over what the case says of its start, else over the atmosphere.`,
    ),
    ...section(page, "What each takes", tableLines(page, heads, rows)),
    ...section(
      page,
      "What each cannot do of the duty",
      tableLines(page, ["concept", "can be used again", "cannot"], ruled),
    ),
    ...section(
      page,
      "By which equation",
      concepts.flatMap((concept) => equationLines(page, concept)),
    ),
    ...section(
      page,
      "Inputs beside the valve file's own",
      tableLines(
        page,
        ["input", "value", "from", "because"],
        inputs.map(({ name, words, origin, because, reference }) => [
          name,
          words,
          origin === "declared" ? "valve file" : "usual value",
          reference === undefined ? because : `${because} ${reference}`,
        ]),
      ),
    ),
    ...section(
      page,
      "Cautions",
      cautions.flatMap((words) => paragraph(page, words, "  ! ")),
    ),
    "",
    ...paragraph(page, `model ${trade.model}; masses are of the actuators alone, without body and supply`),
  ].join("\n");
}

function valueText({ value, dimension }: ConceptFigure): string {
  return value === null ? "not known" : formatQuantity(value, dimension, { digits: 3 });
}

function equationLines(
  page: Page,
  { name, opening, power, gas, mass, further, needs }: Concept,
): readonly string[] {
  const figures = [opening, power, gas, mass, ...further].filter((each) => each !== undefined);
  const words = figures.map((each) => `${each.what} ${valueText(each)} (${each.equation})`);
  const lacking = needs.length === 0 ? "" : ` Not known: ${needs.join(", ")}.`;
  return paragraph(page, `${name}: ${words.join("; ")}.${lacking}`, "  ");
}
