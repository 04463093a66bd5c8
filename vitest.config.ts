import { defineConfig } from "vitest/config";

export default defineConfig({
  test: {
    include: ["test/**/*.test.ts"],
    setupFiles: ["test/propertySeed.ts"],
    testTimeout: 60_000,
    hookTimeout: 60_000,
    pool: "threads",
    maxWorkers: 2,
  },
});
