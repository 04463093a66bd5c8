/** The page of tests: logs come in, runs are held against the prediction, values accepted, predictions sealed. */
import { Link } from "wouter";
import { css } from "../look.js";
import { DropLogs } from "./DropLogs.js";
import { Finding } from "./Finding.js";
import { HoldRuns, Seals } from "./HoldRuns.js";
import { Progress } from "./Progress.js";
import { Runs } from "./Runs.js";
import { Staged } from "./Staged.js";
import { useTests } from "./useTests.js";

/** The page. */
export function TestsPage() {
  const logs = useTests((bench) => bench.logs);
  const chosen = useTests((bench) => bench.chosen);
  return (
    <>
      <h2>Tests</h2>
      <DropLogs />
      <Progress at="drop" />
      {logs.map((log) => (
        <Staged key={log.seen.id} log={log} />
      ))}
      <h3>Runs</h3>
      <Runs />
      {chosen.length > 1 && (
        <p>
          <Link className="press" href={`/tests/${chosen[0]}`}>
            Show the chosen runs over each other
          </Link>
        </p>
      )}
      <h3>Held against the prediction</h3>
      <HoldRuns />
      <Progress at="hold" />
      <Finding />
      <h3>Sealed predictions</h3>
      <div className={css.pictures}>
        <Seals />
        <Progress at="seal" />
      </div>
    </>
  );
}
