import { defineConfig } from "@playwright/test";
import { chromium } from "./tests/machine.ts";

// Every test of the comparison page runs in four windows: wide and narrow, light and dark. The tests use
// the Chromium of the machine and never download one.
const windows = [
  { name: "wide light", width: 1440, height: 900, colorScheme: "light" },
  { name: "wide dark", width: 1440, height: 900, colorScheme: "dark" },
  { name: "narrow light", width: 390, height: 844, colorScheme: "light" },
  { name: "narrow dark", width: 390, height: 844, colorScheme: "dark" },
] as const;

const launch = {
  executablePath: chromium(),
  args: ["--no-sandbox", "--disable-dev-shm-usage"],
};

// WebGL in software, so that the workbench draws the same on a machine without a graphics card.
const drawing = {
  launchOptions: {
    ...launch,
    args: [
      ...launch.args,
      "--use-gl=angle",
      "--use-angle=swiftshader",
      "--enable-unsafe-swiftshader",
    ],
  },
  contextOptions: { reducedMotion: "no-preference" as const },
  viewport: { width: 1440, height: 900 },
};

export default defineConfig({
  testDir: "tests",
  globalSetup: "./tests/setup.ts",
  outputDir: "test-results/traces",
  workers: 2,
  fullyParallel: true,
  // What fails once, on a machine that stood still for a while, is tried once more and named as flaky in the end.
  retries: 1,
  forbidOnly: true,
  // Patience for a machine that does other things too: no test is about how long something takes.
  timeout: 90_000,
  expect: { timeout: 20_000 },
  reporter: [["list"]],
  use: {
    browserName: "chromium",
    contextOptions: { reducedMotion: "reduce" },
    launchOptions: launch,
  },
  projects: [
    ...windows.map(({ name, width, height, colorScheme }) => ({
      name,
      testIgnore: ["print.spec.ts", "workbench/**"],
      use: { viewport: { width, height }, colorScheme },
    })),
    // A4 less its margins; dark, because paper must be white all the same.
    {
      name: "paper",
      testMatch: "print.spec.ts",
      use: { viewport: { width: 703, height: 1000 }, colorScheme: "dark" },
    },
    {
      name: "workbench",
      testDir: "tests/workbench",
      testIgnore: "speed.spec.ts",
      timeout: 90_000,
      // Software drawing of six engines takes its time on a machine with two cores.
      expect: { timeout: 15_000 },
      use: drawing,
    },
    // Measure, so nothing else may run beside them: each waits for the rest. The pages that need no WebGL
    // are measured in a browser as it comes, since painting pages through WebGL in software is no one's use.
    {
      name: "speed of pages",
      testMatch: "workbench/speed.spec.ts",
      grepInvert: /software/,
      dependencies: ["workbench", ...windows.map((w) => w.name), "paper"],
      fullyParallel: false,
      timeout: 60_000,
      use: { ...drawing, launchOptions: launch },
    },
    {
      name: "speed of drawing",
      testMatch: "workbench/speed.spec.ts",
      grep: /software/,
      dependencies: ["speed of pages"],
      timeout: 60_000,
      use: drawing,
    },
  ],
});
