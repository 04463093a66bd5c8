/** One field of the valve file: as typed, with its default, its fault, and a slider for what-if. */
import { memo, useEffect, useId, useRef, useState } from "react";
import { descriptionOf } from "../compute/described.js";
import { changeValue, newGesture } from "../state/acts.js";
import { css } from "./look.js";
import { useBench } from "./useBench.js";

/** @param path of the field, list items by number */
export const Field = memo(function Field({ path }: { readonly path: string }) {
  const id = useId();
  const value = useBench((bench) => bench.reading?.values.find((one) => one.path === path));
  const description = useBench((bench) => descriptionOf(bench.fields, path));
  const standIn = useBench((bench) => bench.reading?.defaults.find(({ field }) => field === path));
  const refused = useBench((bench) => bench.refused[path]);
  const found = useBench((bench) => bench.reading?.faults.find(({ where }) => where.field === path));
  const written = value?.written ?? "";
  const name = path.replaceAll(".", " ").replaceAll("_", " ");
  const [typed, setTyped] = useState(written);
  const [at, setAt] = useState(value?.slide?.value);
  const gesture = useRef(newGesture());
  /** What was given last: a field that is left right after Enter gives nothing twice. */
  const given = useRef<string | undefined>(undefined);
  const latest = useRef(written);
  latest.current = written;
  useEffect(() => {
    given.current = undefined;
    setTyped(written);
    setAt(value?.slide?.value);
  }, [written, value?.slide?.value]);
  const undone = useBench((bench) => bench.history.undone.length);
  useEffect(() => {
    // An edit that is undone before it was ever read leaves no other trace than the list of what is undone.
    if (undone === 0) return;
    given.current = undefined;
    setTyped(latest.current);
  }, [undone]);
  const fault = refused?.[0] ?? found;
  const commit = (): void => {
    // An emptied box may be a slip: the field is left out by its button alone.
    if (typed.trim() === "") setTyped(written);
    if (typed.trim() === written || typed.trim() === "" || typed === given.current) return;
    given.current = typed;
    changeValue(path, { text: typed });
  };
  const leaveOut = (): void => {
    given.current = undefined;
    changeValue(path, "left out");
  };
  if (description === undefined) return null;
  return (
    <div className={css.field} data-path={path}>
      <label htmlFor={id}>{name}</label>
      <input
        id={id}
        type="text"
        value={typed}
        placeholder={description.example ?? description.words?.join(" | ") ?? ""}
        aria-describedby={`${id}-words`}
        aria-invalid={fault !== undefined}
        onChange={({ target }) => {
          given.current = undefined;
          setTyped(target.value);
        }}
        onBlur={commit}
        onKeyDown={({ key }) => {
          if (key === "Enter") commit();
          if (key === "Escape") setTyped(written);
        }}
      />
      <div id={`${id}-words`}>
        {fault !== undefined && (
          <p className={css.fault} role="alert">
            {fault.found}. {fault.allowed} {fault.mend}.
          </p>
        )}
        <small>
          {value?.readAs !== undefined &&
            `Read as ${value.readAs}${value.from === undefined ? "" : ` (${value.from})`}. `}
          {standIn !== undefined &&
            `Left out: ${standIn.value} stands in, ${standIn.reason} [${standIn.references.join("; ")}]. `}
          {description.description} {description.bounds !== undefined && `(${description.bounds})`}
        </small>
      </div>
      {value?.slide !== undefined && at !== undefined && (
        <input
          type="range"
          aria-label={`What if ${path} were different`}
          min={value.slide.low}
          max={value.slide.high}
          step="any"
          value={at}
          onFocus={() => {
            gesture.current = newGesture();
          }}
          onPointerDown={() => {
            gesture.current = newGesture();
          }}
          onChange={({ target }) => {
            setAt(Number(target.value));
            changeValue(path, { si: Number(target.value) }, gesture.current);
          }}
        />
      )}
      {value?.written !== undefined && (
        <button type="button" className={css.clear} onClick={leaveOut}>
          Leave out<span className="unseen"> {name}</span>
        </button>
      )}
    </div>
  );
});
