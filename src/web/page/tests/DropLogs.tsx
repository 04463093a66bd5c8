/** Where log files are dropped; a button opens the chooser of files. */
import { useRef, useState } from "react";
import { dropFiles } from "../../state/testActs.js";
import { own } from "./look.js";

/** The place for logs. */
export function DropLogs() {
  const [isOver, setOver] = useState(false);
  const chooser = useRef<HTMLInputElement>(null);
  return (
    <section
      className={`${own.drop} ${isOver ? own.over : ""}`}
      aria-label="Logs of a test"
      data-drop
      onDragOver={(event) => {
        event.preventDefault();
        setOver(true);
      }}
      onDragLeave={() => setOver(false)}
      onDrop={(event) => {
        event.preventDefault();
        setOver(false);
        void dropFiles([...event.dataTransfer.files]);
      }}
    >
      <p>
        Drop the logs of a test here: text with comma, semicolon, tab or blank separated values, Parquet or
        HDF5. The original is kept as it is.
      </p>
      <button type="button" onClick={() => chooser.current?.click()}>
        Choose log files
      </button>
      <input
        ref={chooser}
        type="file"
        multiple
        hidden
        aria-label="Log files"
        onChange={({ target }) => {
          void dropFiles([...(target.files ?? [])]);
          target.value = "";
        }}
      />
    </section>
  );
}
