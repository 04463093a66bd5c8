/** Which line is what: dash and colour of each. */
import { type Role, roleStyles } from "../../../picture/index.js";
import { own } from "./look.js";

/** @param runs in the order in which they are drawn */
export function Legend({
  runs,
  isPredicted,
}: {
  readonly runs: readonly string[];
  readonly isPredicted: boolean;
}) {
  return (
    <ul className={own.legend} aria-label="Lines">
      {isPredicted && <Entry of="prediction" order={0} words="predicted by the values as they are now" />}
      {isPredicted && <Entry of="band" order={0} words="95 % of strokes" isArea />}
      {runs.map((run, order) => (
        <Entry key={run} of="measurement" order={order} words={run} />
      ))}
    </ul>
  );
}

interface EntryProps {
  readonly of: Role;
  readonly order: number;
  readonly words: string;
  readonly isArea?: boolean;
}

function Entry({ of, order, words, isArea }: EntryProps) {
  const { dashes, lineWidth } = roleStyles[of];
  return (
    <li>
      <svg className="picture" width="48" height="14" viewBox="0 0 48 14" aria-hidden="true">
        {isArea ? (
          <rect className={`f-${of}`} width="48" height="14" opacity="0.4" />
        ) : (
          <line
            className={`s-${of}`}
            x2="48"
            y1="7"
            y2="7"
            strokeWidth={lineWidth}
            strokeDasharray={dashes[order % dashes.length]}
          />
        )}
      </svg>{" "}
      {words}
    </li>
  );
}
