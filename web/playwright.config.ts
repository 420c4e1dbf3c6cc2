import { defineConfig } from "@playwright/test";
import { chromium } from "./tests/machine.ts";

// Every test runs in four windows: wide and narrow, light and dark. The tests use the Chromium of
// the machine and never download one.
const windows = [
  { name: "wide light", width: 1440, height: 900, colorScheme: "light" },
  { name: "wide dark", width: 1440, height: 900, colorScheme: "dark" },
  { name: "narrow light", width: 390, height: 844, colorScheme: "light" },
  { name: "narrow dark", width: 390, height: 844, colorScheme: "dark" },
] as const;

export default defineConfig({
  testDir: "tests",
  globalSetup: "./tests/setup.ts",
  outputDir: "test-results/traces",
  workers: 2,
  fullyParallel: true,
  retries: 0,
  forbidOnly: true,
  timeout: 30_000,
  reporter: [["list"]],
  use: {
    browserName: "chromium",
    contextOptions: { reducedMotion: "reduce" },
    launchOptions: {
      executablePath: chromium(),
      args: ["--no-sandbox", "--disable-dev-shm-usage"],
    },
  },
  projects: [
    ...windows.map(({ name, width, height, colorScheme }) => ({
      name,
      testIgnore: "print.spec.ts",
      use: { viewport: { width, height }, colorScheme },
    })),
    // A4 less its margins; dark, because paper must be white all the same.
    {
      name: "paper",
      testMatch: "print.spec.ts",
      use: { viewport: { width: 703, height: 1000 }, colorScheme: "dark" },
    },
  ],
});
