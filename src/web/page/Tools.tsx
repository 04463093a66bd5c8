/** What can be done from everywhere: save, undo, redo, keep, case, theme; and their keys. */
import { useEffect, useState } from "react";
import { Link, useLocation } from "wouter";
import { pinVariant, redoEdit, setState, undoEdit } from "../state/acts.js";
import { save } from "../state/disk.js";
import { shownAnswers, unsavedFiles, workbench } from "../state/workbench.js";
import { verdictsOf } from "./headline.js";
import { css } from "./look.js";
import { chosenTheme, type Theme, themes, wearTheme } from "./theme.js";
import { useBench } from "./useBench.js";

/** Keeps the answers of now under the first number that is free. */
function pin(): void {
  const bench = workbench.getState();
  const names = new Set(bench.variants.map(({ name }) => name));
  let n = 1;
  while (names.has(`variant ${n}`)) n++;
  pinVariant(`variant ${n}`, verdictsOf(shownAnswers(bench)));
}

const isTyping = (target: EventTarget | null): boolean =>
  target instanceof HTMLElement && /^(INPUT|SELECT|TEXTAREA)$/.test(target.tagName);

/** The row of buttons. */
export function Tools() {
  const [, go] = useLocation();
  const [theme, setTheme] = useState<Theme>(chosenTheme);
  const [isUnfolded, setUnfolded] = useState(false);
  const history = useBench((bench) => bench.history);
  const unsaved = useBench((bench) => unsavedFiles(bench).length);
  const cases = useBench((bench) => bench.reading?.cases);
  const caseId = useBench((bench) => bench.caseId);
  useEffect(() => {
    const press = (event: KeyboardEvent): void => {
      const isCommand = event.ctrlKey || event.metaKey;
      const key = event.key.toLowerCase();
      const act = isCommand
        ? { z: event.shiftKey ? redoEdit : undoEdit, y: redoEdit, s: () => void save() }[key]
        : isTyping(event.target) || event.altKey
          ? undefined
          : {
              o: () => go("/"),
              v: () => go("/values"),
              t: () => go("/tests"),
              p: () => go("/parts"),
              k: pin,
              "?": () => go("/keys"),
              c: () => go("/variants"),
            }[key];
      const question =
        !isCommand && !isTyping(event.target)
          ? ({ "0": 10, "-": 11, "=": 12 }[key] ?? (/^[1-9]$/.test(key) ? Number(key) : undefined))
          : undefined;
      if (act === undefined && question === undefined) return;
      event.preventDefault();
      if (act !== undefined) act();
      else go(`/question/${question}`);
    };
    window.addEventListener("keydown", press);
    return () => window.removeEventListener("keydown", press);
  }, [go]);
  return (
    <fieldset className={css.tools} aria-label="Edits and looks" data-unfolded={isUnfolded}>
      <button
        type="button"
        className={css.fold}
        aria-expanded={isUnfolded}
        onClick={() => setUnfolded(!isUnfolded)}
      >
        {isUnfolded ? "Fewer" : unsaved === 0 ? "Edit, look, go to" : "Save, edit, look, go to"}
      </button>
      <select
        aria-label="Case"
        value={caseId}
        onChange={({ target }) => setState(workbench.getState().files, history, target.value)}
      >
        {(cases ?? [{ id: caseId, words: caseId }]).map(({ id }) => (
          <option key={id} value={id}>
            {id}
          </option>
        ))}
      </select>
      <button type="button" disabled={history.done.length === 0} onClick={undoEdit}>
        Undo
      </button>
      <button type="button" disabled={history.undone.length === 0} onClick={redoEdit}>
        Redo
      </button>
      <button type="button" disabled={unsaved === 0} onClick={() => void save()}>
        {unsaved === 0 ? "Saved" : "Save"}
      </button>
      <button type="button" onClick={pin}>
        Keep as variant
      </button>
      <select
        aria-label="Theme"
        value={theme}
        onChange={({ target }) => {
          const chosen = themes.find((one) => one === target.value) ?? "as the system";
          setTheme(chosen);
          wearTheme(chosen);
        }}
      >
        {themes.map((one) => (
          <option key={one}>{one}</option>
        ))}
      </select>
      <Link href="/values">Values</Link> <Link href="/tests">Tests</Link>{" "}
      <Link href="/parts">Other parts</Link> <Link href="/variants">Variants</Link>{" "}
      <Link href="/keys">Keys</Link>
    </fieldset>
  );
}
