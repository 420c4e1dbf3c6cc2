import { execFileSync } from "node:child_process";
import { existsSync, readdirSync, statSync } from "node:fs";
import { join } from "node:path";
import { command, root } from "./places.ts";

/**
 * Builds the front end and the command that holds it, once a run and only if a source is newer.
 * CRANKWRIGHT names a command that is built already.
 */
export default function build(): void {
  if (process.env["CRANKWRIGHT"]) return;
  const built = existsSync(command) ? statSync(command).mtimeMs : 0;
  if (newest(root) < built) return;
  run("npm", ["run", "build", "--silent"], join(root, "web"));
  run("go", ["build", "-trimpath", "-o", command, "./cmd/crankwright"], root);
}

function run(program: string, args: string[], cwd: string): void {
  try {
    execFileSync(program, args, { cwd, stdio: "pipe", encoding: "utf8" });
  } catch (e) {
    const said = e as { stdout?: string; stderr?: string };
    throw new Error(`${program} ${args.join(" ")}\n${said.stdout ?? ""}${said.stderr ?? ""}`, {
      cause: e,
    });
  }
}

const others = new Set(["node_modules", "dist", "test-results", "tests", "bin", "out", "docs"]);

/** When the youngest source was written. */
function newest(folder: string): number {
  let time = 0;
  for (const e of readdirSync(folder, { withFileTypes: true })) {
    if (e.name.startsWith(".") || others.has(e.name)) continue;
    const path = join(folder, e.name);
    if (e.isDirectory()) time = Math.max(time, newest(path));
    else if (/\.(go|mod|sum|ts|svelte|css|html|json|svg|yaml|cwcheck)$/.test(e.name))
      time = Math.max(time, statSync(path).mtimeMs);
  }
  return time;
}
