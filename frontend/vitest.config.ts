/* How the tests run: in Node, next to the file they test, with the case files of ../fixtures. */
import { defineConfig } from "vitest/config";

export default defineConfig({
  server: { fs: { allow: [".."] } },
  resolve: { alias: { "@fixtures": new URL("../fixtures", import.meta.url).pathname } },
  oxc: { jsx: { runtime: "automatic", importSource: "#html", development: false } },
  test: {
    environment: "node",
    include: ["src/**/*.test.ts", "src/**/*.test.tsx"],
    passWithNoTests: true,
    pool: "threads",
    maxWorkers: 2,
    // A busy machine is no fault of the code.
    testTimeout: 30_000,
  },
});
