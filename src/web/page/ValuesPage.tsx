/** Every field of the valve file, by section, with a search. */
import { useState } from "react";
import { Field } from "./Field.js";
import { useBench } from "./useBench.js";

/** Fields shown at a time: more are found by the search. */
const most = 40;

/** The page of values. */
export function ValuesPage() {
  // The default stands outside: a store that gives another empty list each time is drawn again for ever.
  const values = useBench((bench) => bench.reading?.values) ?? [];
  const [wanted, setWanted] = useState("");
  const words = wanted.toLowerCase().split(/\s+/);
  const found = values.filter(({ path }) => words.every((word) => path.replaceAll("_", " ").includes(word)));
  return (
    <>
      <h2>Values</h2>
      <label htmlFor="find">Find a field</label>{" "}
      <input id="find" type="text" value={wanted} onChange={({ target }) => setWanted(target.value)} />
      <p>
        {found.length} of {values.length} fields{found.length > most ? `; the first ${most} are shown` : ""}.
      </p>
      {found.slice(0, most).map(({ path }) => (
        <Field key={path} path={path} />
      ))}
    </>
  );
}
