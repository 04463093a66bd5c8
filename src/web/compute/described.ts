/** The description of a field. */
import type { FieldDescription } from "../../dossier/index.js";

/** The description of the field at a path of the file. */
export function descriptionOf(
  fields: readonly FieldDescription[],
  path: string,
): FieldDescription | undefined {
  const general = path.replaceAll(/\[\d+\]/g, "[]");
  return fields.find((field) => field.path === general);
}
