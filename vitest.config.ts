import { defineConfig } from "vitest/config";

export default defineConfig({
  test: {
    include: ["test/**/*.test.ts"],
    setupFiles: ["test/propertySeed.ts"],
    testTimeout: 180_000,
    hookTimeout: 180_000,
    pool: "threads",
    // The core keeps no state in its modules, and no test may: files share one module graph, loaded once a thread.
    isolate: false,
    maxWorkers: 2,
  },
});
