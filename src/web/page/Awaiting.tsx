/** Marks all that is shown as stale from an edit on, until its answer is there. */
import { useLayoutEffect } from "react";
import { css } from "./look.js";
import { useBench } from "./useBench.js";

/** An attribute of the page, so that no answer is drawn again for a mark that lasts some hundredths of a second. */
export function Awaiting() {
  const isAwaiting = useBench((bench) => bench.isAwaiting);
  useLayoutEffect(() => {
    document.documentElement.toggleAttribute("data-awaiting", isAwaiting);
  }, [isAwaiting]);
  return isAwaiting ? (
    <p className={css.awaiting}>The edit is being worked out; what is shown is from before it.</p>
  ) : null;
}
