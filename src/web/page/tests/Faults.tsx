/** Faults in the words of the server: found, allowed, how to mend it. */
import type { Fault } from "../../../fault/index.js";
import { css } from "../look.js";

/** @param faults each is said once */
export function Faults({ faults, id }: { readonly faults: readonly Fault[]; readonly id?: string }) {
  if (faults.length === 0) return null;
  return (
    <div id={id} role="alert">
      {faults.map(({ code, where, found, allowed, mend }) => (
        <p key={`${code} ${where.field} ${found}`} className={css.fault}>
          {[
            where.field === undefined ? "" : `${where.field}: `,
            sentence(found),
            sentence(allowed),
            sentence(mend),
          ].join("")}
        </p>
      ))}
    </div>
  );
}

const sentence = (text: string): string => (text === "" ? "" : `${text.replace(/\.$/, "")}. `);
