import { defineConfig } from "vitest/config";
import { BaseSequencer, type TestSpecification } from "vitest/node";

/** Files that take a minute or more: begun last, one of them would keep one thread busy and the other idle. */
const LONG = [
  "project/errors/pages",
  "project/tour",
  "cli/importAndReconcile",
  "question/faulty",
  "evidence/event/coverage",
  "evidence/event/moreCoverage",
  "cli/predictAndSeal",
  "predict/missing",
  "browser/workbench",
  "browser/testsPage",
  "host/sweep/sweep",
  "browser/story",
  "browser/parts",
  "predict/property",
  "browser/sheet",
  "dossier/property",
];

class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const place = ({ moduleId }: TestSpecification): number => {
      const at = LONG.findIndex((name) => moduleId.endsWith(`test/${name}.test.ts`));
      return at < 0 ? LONG.length : at;
    };
    return (await super.sort(files)).toSorted((a, b) => place(a) - place(b));
  }
}

export default defineConfig({
  test: {
    include: ["test/**/*.test.ts"],
    setupFiles: ["test/propertySeed.ts"],
    testTimeout: 180_000,
    hookTimeout: 180_000,
    pool: "threads",
    // The core keeps no state in its modules, and no test may: files share one module graph, loaded once a thread.
    isolate: false,
    // As many as CI has cores: with three the same work took longer.
    maxWorkers: 2,
    sequence: { sequencer: LongestFirst },
  },
});
