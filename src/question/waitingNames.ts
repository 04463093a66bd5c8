/** The checks that wait for a gap, by their whole names: several may share an id, as the fill times of both sides. */
import type { Answer, Gap } from "./answer.js";

/** @param answers those whose checks are looked at */
export function waitingNames(
  answers: readonly Pick<Answer, "checks">[],
  { path, blocks }: Gap,
): readonly string[] {
  const names = blocks.flatMap((id) => {
    const own = answers.flatMap(({ checks }) =>
      checks.flatMap((check) =>
        check.kind === "unknown" && check.id === id && check.needs.includes(path) ? [check.name] : [],
      ),
    );
    return own.length === 0 ? [id] : own;
  });
  return [...new Set(names)];
}
