/** The way in, where no dossier is open. */
import { useState } from "react";
import { enter } from "../state/disk.js";
import { css } from "./look.js";

/** Start from the demo, from an empty file with guidance, or open a folder. */
export function WayIn() {
  const [folder, setFolder] = useState("");
  const isNamed = folder.trim() !== "";
  return (
    <>
      <h2>Which valve?</h2>
      <p>
        A dossier is a folder of plain files about one valve. It lies below the folder in which the server was
        started.
      </p>
      <label htmlFor="folder">Folder</label>{" "}
      <input
        id="folder"
        type="text"
        value={folder}
        placeholder="our-valve"
        onChange={({ target }) => setFolder(target.value)}
      />
      <div className={css.acts}>
        <button type="button" disabled={!isNamed} onClick={() => void enter(folder)}>
          Open this folder
        </button>
        <button type="button" disabled={!isNamed} onClick={() => void enter(folder, "empty")}>
          Begin an empty dossier there
        </button>
        <button type="button" disabled={!isNamed} onClick={() => void enter(folder, "demo")}>
          Copy the demo there
        </button>
      </div>
    </>
  );
}
