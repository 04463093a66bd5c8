/** An event moved by hand, written into the text of run.yaml; its comments stay. */
import { parseDocument } from "yaml";
import type { EventMove } from "../event/index.js";
import { readRun } from "./runFile.js";

/**
 * The text of run.yaml with another move of one event.
 *
 * @param path  shown in faults;  @param event  id of the event
 * @param move  undefined takes the moves of this event back
 * Refuses      a text that cannot be read, before or after
 */
export function withMove(text: string, path: string, event: string, move: EventMove | undefined): string {
  const others = readRun(text, path).moves.filter(({ id }) => id !== event);
  const moves = move === undefined ? others : [...others, move];
  const document = parseDocument(text);
  if (moves.length === 0) document.delete("moved_events");
  else
    document.set(
      "moved_events",
      document.createNode(
        moves.map(({ id, time_s, standardUncertainty_s: u, who, why }) => ({
          event: id,
          time: `${time_s} s`,
          ...(u === undefined ? {} : { uncertainty: `${u} s` }),
          who,
          why,
        })),
      ),
    );
  const edited = document.toString({ lineWidth: 110 });
  readRun(edited, path);
  return edited;
}
