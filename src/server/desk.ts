/** What one server has on its desk: the dossier that is open, and what goes on with it. */
import { resolve } from "node:path";
import { refuse } from "../fault/index.js";
import { Changes } from "./changes.js";
import { TextSaver } from "./texts.js";
import { WorkList } from "./work.js";

export class ServerDesk {
  readonly changes = new Changes();
  readonly saver = new TextSaver();
  readonly work = new WorkList();
  private folder: string | undefined;

  /** @param start  folder below which another dossier may be opened or made */
  constructor(readonly start: string) {}

  /** The folder of the open dossier; undefined where none is open. */
  get open(): string | undefined {
    return this.folder;
  }

  /** The folder of the open dossier. Refuses where none is open. */
  get dossier(): string {
    return (
      this.folder ??
      refuse(
        "serve-no-dossier",
        "no dossier is open",
        "Every other call is about the dossier that is open.",
        "Open one, or start one from the demo or from an empty file",
      )
    );
  }

  /** Opens a folder for all windows. */
  async openFolder(folder: string): Promise<void> {
    this.folder = resolve(folder);
    await this.changes.watch(this.folder);
    this.changes.tell("opened", { path: this.folder });
  }

  async end(): Promise<void> {
    await this.changes.end();
    await this.work.end();
  }
}
