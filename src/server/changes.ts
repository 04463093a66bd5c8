/** Tells the windows what changes in the folder of the dossier, whoever changes it. */
import { basename, relative, sep } from "node:path";
import { type FSWatcher, watch } from "chokidar";
import { Refusal } from "../fault/index.js";
import { isTextPath } from "./place.js";
import type { EventStream } from "./stream.js";
import { dossierText } from "./texts.js";

/** A writer that has paused this long is done [ms]. */
const settled = 60;
/** An import or a reconciliation writes several files [ms]. */
const settledEvidence = 200;
/** Folders whose files are evidence; hand-written files are too, since findings rest on them. */
const evidenceFolders = /^(runs|predictions|next|plan)\//;

export class Changes {
  private readonly streams = new Set<EventStream>();
  private readonly timers = new Map<string, NodeJS.Timeout>();
  private watcher: FSWatcher | undefined;

  add(stream: EventStream): void {
    this.streams.add(stream);
  }

  remove(stream: EventStream): void {
    this.streams.delete(stream);
  }

  /** Tells all windows. */
  tell(event: string, data: unknown): void {
    for (const stream of this.streams) stream.send(event, data);
  }

  /** Watches this folder from now on; resolves when it does. */
  async watch(folder: string): Promise<void> {
    await this.watcher?.close();
    const watcher = watch(folder, {
      ignoreInitial: true,
      followSymlinks: false,
      depth: 3,
      ignored: (path) => path !== folder && /^\.|\.(parquet|part)$/.test(basename(path)),
    });
    this.watcher = watcher;
    watcher.on("all", (_, path) => this.changed(folder, relative(folder, path).split(sep).join("/")));
    // A folder that cannot be watched any more is still served; the page asks again when it saves.
    watcher.on("error", () => undefined);
    await new Promise<void>((resolve) => {
      watcher.once("ready", resolve);
    });
  }

  async end(): Promise<void> {
    for (const timer of this.timers.values()) clearTimeout(timer);
    await this.watcher?.close();
    for (const stream of this.streams) stream.end();
  }

  private changed(folder: string, path: string): void {
    const isText = isTextPath(path);
    if (isText) this.later(path, settled, async () => await this.tellFile(folder, path));
    if (isText || evidenceFolders.test(path))
      this.later("evidence", settledEvidence, async () => this.tell("evidence", {}));
  }

  private async tellFile(folder: string, path: string): Promise<void> {
    try {
      const file = await dossierText(folder, path);
      this.tell("file", { path, sha256: file?.sha256 ?? null });
    } catch (thrown) {
      // What cannot be read is told when the page asks for it.
      if (!(thrown instanceof Refusal)) throw thrown;
      this.tell("file", { path, sha256: null });
    }
  }

  private later(key: string, pause: number, act: () => Promise<void>): void {
    clearTimeout(this.timers.get(key));
    const timer = setTimeout(() => {
      // A folder sees many names in a long day: none is kept once it has been told.
      this.timers.delete(key);
      void act();
    }, pause);
    timer.unref();
    this.timers.set(key, timer);
  }
}
