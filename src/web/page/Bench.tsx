/** The frame of every page: name of the valve, the twelve questions as the way, what can be done. */
import { lazy, Suspense } from "react";
import { Link, Route, Switch } from "wouter";
import { Awaiting } from "./Awaiting.js";
import { css } from "./look.js";
import { Overview } from "./Overview.js";
import { QuestionPage } from "./QuestionPage.js";
import { Strip } from "./Strip.js";
import { Tools } from "./Tools.js";
import { Trouble } from "./Trouble.js";
import { useBench } from "./useBench.js";
import { WayIn } from "./WayIn.js";

/** What is not needed for the first answer is fetched when it is first looked at. */
const TestsPage = lazy(async () => ({ default: (await import("./tests/TestsPage.js")).TestsPage }));
const PartsPage = lazy(async () => ({ default: (await import("./parts/PartsPage.js")).PartsPage }));
const ValuesPage = lazy(async () => ({ default: (await import("./ValuesPage.js")).ValuesPage }));
const Variants = lazy(async () => ({ default: (await import("./Variants.js")).Variants }));
const Keys = lazy(async () => ({ default: (await import("./Keys.js")).Keys }));
const RunPage = lazy(async () => ({ default: (await import("./tests/RunPage.js")).RunPage }));

/** The page. */
export function Bench() {
  const status = useBench((bench) => bench.status);
  const name = useBench((bench) => bench.reading?.name ?? bench.folder);
  const said = useBench((bench) => bench.said);
  return (
    <>
      <a className="skip" href="#answers">
        To the answers
      </a>
      <header className={css.head}>
        <h1>{status === "open" ? <Link href="/">{name}</Link> : "Coldturn"}</h1>
        {status === "open" && <Tools />}
      </header>
      {status === "open" && <Strip />}
      <Awaiting />
      <Trouble />
      <p className="unseen" role="status">
        {said}
      </p>
      <main id="answers" tabIndex={-1}>
        {status === "loading" && <p>Reading the dossier.</p>}
        {status === "none" && <WayIn />}
        {status === "open" && (
          <Suspense fallback={<p>Loading this part of the page.</p>}>
            <Switch>
              <Route path="/question/:number">
                {({ number }) => <QuestionPage number={Number(number)} />}
              </Route>
              <Route path="/values" component={ValuesPage} />
              <Route path="/variants" component={Variants} />
              <Route path="/tests" component={TestsPage} />
              <Route path="/tests/:run">{({ run }) => <RunPage id={run} />}</Route>
              <Route path="/parts/:choice?">{({ choice }) => <PartsPage choice={choice} />}</Route>
              <Route path="/keys" component={Keys} />
              <Route component={Overview} />
            </Switch>
          </Suspense>
        )}
      </main>
    </>
  );
}
