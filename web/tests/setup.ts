import { execFileSync } from "node:child_process";
import { existsSync, mkdirSync } from "node:fs";
import {
  brief,
  command,
  comparison,
  examples,
  few,
  pages,
  report,
  single,
  threeUnlike,
} from "./machine.ts";

/** Writes the pages under test with the command, as a user would. */
export default function setup(): void {
  if (!existsSync(command)) {
    throw new Error(`There is no ${command}. Run "make build" first.`);
  }
  mkdirSync(pages, { recursive: true });
  write("compare", examples, "--html", comparison);
  write("compare", threeUnlike, "--html", few);
  write("compare", threeUnlike.slice(0, 1), "--html", single);
  write("report", threeUnlike, "--output", report, "--brief", brief);
}

function write(
  verb: string,
  engines: string[],
  flag: string,
  page: string,
  ...more: string[]
): void {
  execFileSync(command, [verb, ...engines, flag, page, ...more], {
    stdio: ["ignore", "ignore", "inherit"],
  });
  if (!existsSync(page)) {
    throw new Error(`crankwright ${verb} ${flag} wrote no ${page}`);
  }
}
