/** What a worker says of a search and of the trade of concepts; fetched when it is first asked for. */
import { readDossier } from "../../dossier/index.js";
import { Refusal } from "../../fault/index.js";
import { choiceOf, seekScope, tradeOf } from "../../seek/index.js";
import type { SeekAsked, SeekTold, Texts } from "./protocol.js";
import { partsIn } from "./texts.js";

/** Answers one of the three; what the core refuses comes as its faults. */
export function tellOfSeek(asked: SeekAsked): SeekTold {
  const order = orderOf(asked.texts);
  try {
    switch (asked.what) {
      case "scope":
        return { what: "scope", scope: seekScope({ ...order, caseId: asked.caseId }) };
      case "choice":
        return { what: "choice", choice: choiceOf(order, asked.index) };
      case "trade":
        return { what: "trade", trade: tradeOf(readDossier(order).dossier, asked.caseId) };
    }
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    return { what: "refused", of: asked.what, faults: thrown.faults };
  }
}

function orderOf(texts: Texts) {
  return { valve: { path: "valve.yaml", text: texts["valve.yaml"] ?? "" }, parts: partsIn(texts) };
}
