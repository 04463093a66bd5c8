/** A log on its way to become a run: its head as parsed, the mapping, what would be found, the import. */
import { useId } from "react";
import type { Fault } from "../../../fault/index.js";
import { withRole } from "../../state/corrections.js";
import { forgetLog, importLog, sayOfColumns, sayOfLog } from "../../state/testActs.js";
import type { StagedLog } from "../../state/tests.js";
import { css } from "../look.js";
import { useBench } from "../useBench.js";
import { Column, Typed } from "./Column.js";
import { Faults } from "./Faults.js";
import { LogHead } from "./LogHead.js";
import { LogShown } from "./LogShown.js";
import { own } from "./look.js";
import { Progress } from "./Progress.js";
import { useTests } from "./useTests.js";

/** Faults by the channel that their field begins with. */
function faultsOfRole(faults: readonly Fault[], role: string): readonly Fault[] {
  return faults.filter(({ where }) => where.field === role || where.field?.startsWith(`${role}.`));
}

/** One log. */
export function Staged({ log }: { readonly log: StagedLog }) {
  const id = useId();
  const { seen, said, caseId, shown, faults, isAsking, partOf } = log;
  const cases = useBench((bench) => bench.reading?.cases) ?? [];
  const others = useTests((bench) => bench.logs).filter((one) => one !== log && one.partOf === undefined);
  const isWorking = useTests((bench) => bench.works.some((work) => work.at === seen.id));
  const { inspection } = seen;
  const roles = Object.values(said.columns).map(({ role }) => role);
  const mapped = [...roles, "time"].filter((role) => role !== "other");
  const elsewhere = faults.filter(
    ({ where }) => !mapped.some((role) => faultsOfRole([{ where } as Fault], role).length > 0),
  );
  const time = inspection.mapping.time;
  return (
    <section className={own.staged} aria-label={`Log ${seen.name}`} aria-busy={isAsking}>
      <h3>{seen.name}</h3>
      <LogHead seen={seen} />
      <div className={own.columns}>
        <fieldset className={own.column}>
          <legend>The test</legend>
          {partOf === undefined && (
            <div>
              <label htmlFor={`${id}-case`}>Case that was tested</label>
              <select
                id={`${id}-case`}
                value={caseId}
                onChange={({ target }) => sayOfLog(seen.id, { caseId: target.value })}
              >
                <option value="">choose the case</option>
                {cases.map((one) => (
                  <option key={one.id} value={one.id}>
                    {one.id}
                  </option>
                ))}
              </select>
            </div>
          )}
          {partOf === undefined && (
            <>
              <Typed
                label="Date"
                value={log.date}
                example="2031-04-18T09:30:00Z"
                faults={elsewhere.filter(({ code }) => code.includes("date"))}
                onSay={(date) => sayOfLog(seen.id, { date })}
              />
              <Typed
                label="Name of the run"
                value={log.run}
                example={shown?.run.id ?? "2031-04-18-nitrogen-03"}
                faults={elsewhere.filter(({ code }) => code.startsWith("run-"))}
                onSay={(run) => sayOfLog(seen.id, { run })}
              />
              <Typed
                label="Note"
                value={log.note}
                faults={[]}
                onSay={(note) => sayOfLog(seen.id, { note })}
              />
            </>
          )}
          {others.length > 0 && (
            <div>
              <label htmlFor={`${id}-part`}>Same test as</label>
              <select
                id={`${id}-part`}
                value={partOf ?? ""}
                onChange={({ target }) =>
                  sayOfLog(seen.id, { partOf: target.value === "" ? undefined : target.value })
                }
              >
                <option value="">none: a test of its own</option>
                {others.map((one) => (
                  <option key={one.seen.id} value={one.seen.id}>
                    {one.seen.name}
                  </option>
                ))}
              </select>
            </div>
          )}
        </fieldset>
        <fieldset className={own.column}>
          <legend>
            Time: {"column" in time && time.column !== undefined ? time.column.name : "row number"}
          </legend>
          {time.kind === "elapsed" && (
            <Typed
              label="Unit"
              value={said.time.unit}
              faults={faultsOfRole(faults, "time.unit")}
              onSay={(unit) => sayOfColumns(seen.id, (so) => ({ ...so, time: { ...so.time, unit } }))}
            />
          )}
          {time.kind === "sample number" && (
            <Typed
              label="Sampling rate"
              value={said.time.rate}
              example="1000 Hz"
              faults={faultsOfRole(faults, "time.rate")}
              onSay={(rate) => sayOfColumns(seen.id, (so) => ({ ...so, time: { ...so.time, rate } }))}
            />
          )}
          <Faults
            faults={faults.filter(
              ({ where }) =>
                where.field?.startsWith("time") && where.field !== "time.unit" && where.field !== "time.rate",
            )}
          />
          {time.because !== undefined && (
            <p>
              <small>Proposed because {time.because}.</small>
            </p>
          )}
        </fieldset>
        {inspection.columns.flatMap((column) => {
          const now = said.columns[column.index];
          if (now === undefined) return [];
          const proposed = inspection.mapping.channels.find((one) => one.column.index === column.index);
          return [
            <Column
              key={column.index}
              name={column.name === "" ? `column ${column.index}` : column.name}
              said={now}
              because={proposed?.because}
              faults={now.role === "other" ? [] : faultsOfRole(faults, now.role)}
              onRole={(role) => sayOfColumns(seen.id, (so) => withRole(so, column.index, role))}
              onSay={(part) =>
                sayOfColumns(seen.id, (so) => ({
                  ...so,
                  columns: { ...so.columns, [column.index]: { ...now, ...part } },
                }))
              }
            />,
          ];
        })}
      </div>
      <Faults faults={elsewhere.filter(({ code }) => !code.includes("date") && !code.startsWith("run-"))} />
      {partOf === undefined && caseId === "" && <p>Nothing is found in it before the case is said.</p>}
      {isAsking && <p>Reading it by this mapping.</p>}
      {shown !== undefined && <LogShown shown={shown} isStale={isAsking} />}
      <Progress at={seen.id} />
      <div className={css.acts}>
        {partOf === undefined && (
          <button
            type="button"
            disabled={caseId === "" || shown === undefined || isAsking || isWorking}
            onClick={() => void importLog(seen.id)}
          >
            Keep {seen.name} as a run
          </button>
        )}
        <button type="button" onClick={() => void forgetLog(seen.id)}>
          Forget {seen.name}
        </button>
      </div>
    </section>
  );
}
