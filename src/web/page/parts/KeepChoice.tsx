/** Keeps a choice as a variant in one press; the variant can be dropped, or taken as an edit that can be undone. */
import { Link } from "wouter";
import { dropVariant, takeVariant } from "../../state/acts.js";
import type { ShownChoice } from "../../state/seek.js";
import { keepChoice, variantName } from "../../state/seekActs.js";
import { workbench } from "../../state/workbench.js";
import { verdictsOf } from "../headline.js";
import { css } from "../look.js";
import { useBench } from "../useBench.js";
import { useIsStale } from "./useSeek.js";

/** @param choice that is looked at */
export function KeepChoice({ choice }: { readonly choice: ShownChoice }) {
  const name = variantName(choice.index);
  const kept = useBench(({ variants }) =>
    variants.find((one) => one.name === name && one.files["valve.yaml"] === choice.text),
  );
  const isStale = useIsStale();
  if (kept === undefined)
    return (
      <>
        <div className={`${css.acts} noprint`}>
          <button
            type="button"
            disabled={isStale}
            onClick={() =>
              keepChoice((key) =>
                verdictsOf([...(workbench.getState().results.get(key)?.answers.values() ?? [])]),
              )
            }
          >
            Keep choice {choice.index} as a variant
          </button>
        </div>
        {isStale && (
          <p>
            <small>
              Values were changed since the search: a variant of it would take them back. Search again, then
              keep it.
            </small>
          </p>
        )}
      </>
    );
  return (
    <div className="noprint" data-kept>
      <p>
        Kept as {name}, beside the present values in <Link href="/variants">Variants</Link>. The file is as it
        was.
      </p>
      <div className={css.acts}>
        <button type="button" onClick={() => takeVariant(kept)}>
          Work with {name}
        </button>
        <button type="button" onClick={() => dropVariant(name)}>
          Drop {name}
        </button>
      </div>
    </div>
  );
}
