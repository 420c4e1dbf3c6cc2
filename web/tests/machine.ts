import { existsSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

export const root = fileURLToPath(new URL("../..", import.meta.url));

/** The command under test, which `make build` writes. */
export const command = join(root, "bin", "crankwright");

/** Where the setup puts the pages under test. */
export const pages = join(root, "web", "test-results", "pages");

/** The page that compares all examples. */
export const comparison = join(pages, "all.html");

/** The page of three engines unlike each other: balance shafts, split pins, linked rods. */
export const few = join(pages, "few.html");

/** The page of one engine. */
export const single = join(pages, "one.html");

/** The brief for which the report chooses. */
export const brief = join(root, "examples", "sports-coupe.brief.yaml");

/** The report of the same few, with the choice for a brief. */
export const report = join(pages, "report.html");

/** Where the example engines are. */
export const exampleFolder = join(root, "examples");

/** The example engines, in the sequence in which the shell lists them. */
export const examples = readdirSync(exampleFolder)
  .filter((name) => name.endsWith(".engine.yaml"))
  .sort()
  .map((name) => join(exampleFolder, name));

/** The engines of the page of a few. */
export const threeUnlike = ["inline-four-flat-shafts", "vee-six-60-split", "radial-five"].map(
  (name) => join(exampleFolder, `${name}.engine.yaml`),
);

/** The Chromium of this machine; a missing one is an error that says how to get it. */
export function chromium(): string {
  const path = process.env["CHROMIUM"] ?? "/usr/bin/chromium";
  if (!existsSync(path)) {
    throw new Error(
      `There is no Chromium at ${path}. Run "make setup" (on Debian it installs the package ` +
        `chromium), or set CHROMIUM to the path of one.`,
    );
  }
  return path;
}
