import { defineConfig } from "vitest/config";

export default defineConfig({
  test: {
    include: ["test/**/*.test.ts"],
    setupFiles: ["test/propertySeed.ts"],
    testTimeout: 180_000,
    hookTimeout: 180_000,
    pool: "threads",
    maxWorkers: 2,
  },
});
