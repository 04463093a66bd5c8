/** The page of tests: logs come in, runs are held against the prediction, values accepted, predictions sealed. */
import { Link } from "wouter";
import { css } from "../look.js";
import { DropLogs } from "./DropLogs.js";
import { Faults } from "./Faults.js";
import { Finding } from "./Finding.js";
import { HoldRuns, Seals } from "./HoldRuns.js";
import { Progress } from "./Progress.js";
import { Runs } from "./Runs.js";
import { Staged } from "./Staged.js";
import { useTests } from "./useTests.js";

/** The page. */
export function TestsPage() {
  const logs = useTests((bench) => bench.logs);
  const faults = useTests((bench) => bench.faults);
  const chosen = useTests((bench) => bench.chosen);
  return (
    <>
      <h2>Tests</h2>
      <DropLogs />
      <Faults faults={faults} />
      {logs.map((log) => (
        <Staged key={log.seen.id} log={log} />
      ))}
      <Progress />
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
      <Finding />
      <h3>Sealed predictions</h3>
      <div className={css.pictures}>
        <Seals />
      </div>
    </>
  );
}
