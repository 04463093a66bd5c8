/** How the definitions of opening and closing time are spoken of. */
import { type TimeDefinition, timeDefinitions } from "../physics/motion/index.js";

/** The definition of an id, if there is one. */
export function definitionOf(id: string): TimeDefinition | undefined {
  return timeDefinitions.find((row) => row.id === id);
}

/** "command to 90 % flow"; the id itself where it names none. */
export function definitionLabel(id: string): string {
  return definitionOf(id)?.label ?? id;
}
