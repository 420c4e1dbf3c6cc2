import { execFileSync } from "node:child_process";
import { existsSync, mkdirSync } from "node:fs";
import { command, comparison, examples, few, pages, single, threeUnlike } from "./machine.ts";

/** Writes the pages under test with the command, as a user would. */
export default function setup(): void {
  if (!existsSync(command)) {
    throw new Error(`There is no ${command}. Run "make build" first.`);
  }
  mkdirSync(pages, { recursive: true });
  write(examples, comparison);
  write(threeUnlike, few);
  write(threeUnlike.slice(0, 1), single);
}

function write(engines: string[], page: string): void {
  execFileSync(command, ["compare", ...engines, "--html", page], {
    stdio: ["ignore", "ignore", "inherit"],
  });
  if (!existsSync(page)) {
    throw new Error(`crankwright compare --html wrote no ${page}`);
  }
}
