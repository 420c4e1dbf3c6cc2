import { test as base, expect, type BrowserContext, type Page } from "@playwright/test";
import { spawn, type ChildProcess } from "node:child_process";
import { once } from "node:events";
import { cpSync, mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { command, exampleFolder as examples } from "../machine.ts";

const ending = ".engine.yaml";

/** A folder of engines of its own, and a server on it. */
class Bench {
  readonly folder: string;
  #server: ChildProcess | undefined;
  #address = "";

  /** With all examples, or some of them by their short names. */
  constructor(names?: string[]) {
    this.folder = mkdtempSync(join(tmpdir(), "workbench-"));
    const all = readdirSync(examples).filter((f) => f.endsWith(ending));
    const files = names?.map((n) => n + ending) ?? all;
    for (const f of files) cpSync(join(examples, f), join(this.folder, f));
  }

  /** Where the workbench is, without a slash at the end. */
  get address(): string {
    return this.#address;
  }

  /** Starts the server: on a free port, and on the same one again after an end. */
  async start(): Promise<void> {
    const addr = this.#address ? new URL(this.#address).host : "127.0.0.1:0";
    const server = spawn(command, ["serve", this.folder, "--addr", addr], {
      stdio: ["ignore", "ignore", "pipe"],
    });
    this.#server = server;
    this.#address = await new Promise<string>((resolve, reject) => {
      let said = "";
      server.stderr.setEncoding("utf8").on("data", (part: string) => {
        said += part;
        const found = /is at (http:\S+)\/\n/.exec(said);
        if (found?.[1]) resolve(found[1]);
      });
      server.once("exit", () => reject(new Error(`The server did not start: ${said}`)));
      server.once("error", reject);
    });
  }

  /** Ends the server, at once or as Ctrl-C does; returns its exit code. */
  async end(signal: "SIGKILL" | "SIGINT" = "SIGKILL"): Promise<number | null> {
    const server = this.#server;
    this.#server = undefined;
    if (!server || server.exitCode !== null || server.signalCode !== null) return null;
    const gone = once(server, "exit");
    server.kill(signal);
    return ((await gone) as [number | null])[0];
  }

  path(name: string): string {
    return join(this.folder, name + ending);
  }

  read(name: string): string {
    return readFileSync(this.path(name), "utf8");
  }

  /** Writes a file as another program would. */
  write(name: string, text: string): void {
    writeFileSync(this.path(name), text);
  }

  /** Replaces one piece of a file, which must be there. */
  change(name: string, from: string, to: string): void {
    const text = this.read(name);
    expect(text).toContain(from);
    this.write(name, text.replace(from, to));
  }

  remove(name: string): void {
    rmSync(this.path(name));
  }

  files(): string[] {
    return readdirSync(this.folder)
      .filter((f) => f.endsWith(ending))
      .map((f) => f.slice(0, -ending.length))
      .sort();
  }

  async dispose(): Promise<void> {
    await this.end();
    rmSync(this.folder, { recursive: true, force: true });
  }
}

/** The address of an engine's page. */
export function engine(name: string): string {
  return `/engine/${name}${ending}`;
}

/** What went wrong in the browser: errors on its console, and requests to other machines. */
class Watch {
  readonly complaints: string[] = [];
  readonly strangers: string[] = [];

  /** A complaint that a test brings about and expects. */
  expected: RegExp | undefined;

  async on(context: BrowserContext): Promise<void> {
    const away = (url: URL) => /^(http|ws)s?:$/.test(url.protocol) && url.hostname !== "127.0.0.1";
    await context.route(away, (route) => {
      this.strangers.push(route.request().url());
      return route.abort();
    });
    context.on("page", (page) => this.#listen(page));
    for (const page of context.pages()) this.#listen(page);
  }

  /** Nothing counts from here on. */
  over(): void {
    this.#over = true;
  }

  #over = false;

  #listen(page: Page): void {
    const say = (what: string) => {
      if (!this.#over) this.complaints.push(`${page.url()}: ${what}`);
    };
    page.on("console", (m) => {
      if (m.type() === "error") say(`${m.text()} ${m.location().url}`);
    });
    page.on("pageerror", (e) => say(e.stack ?? e.message));
  }

  clean(): void {
    const left = this.complaints.filter((c) => !this.expected?.test(c));
    expect(left, "errors on the console").toEqual([]);
    expect(this.strangers, "requests off the machine").toEqual([]);
  }
}

interface Each {
  /** Short names of the examples in the folder; undefined: all. */
  engines: string[] | undefined;
  /** A folder and a server that this test may change. */
  bench: Bench;
  watch: Watch;
}
interface Shared {
  /** A folder of all examples and a server, common to the tests of a worker: only to look at. */
  gallery: Bench;
}

export const test = base.extend<Each, Shared>({
  engines: [undefined, { option: true }],
  bench: async ({ engines, watch }, use) => {
    const bench = new Bench(engines);
    await bench.start();
    await use(bench);
    watch.over(); // what the browser says of a server that ends is no complaint
    await bench.dispose();
  },
  gallery: [
    // eslint-disable-next-line no-empty-pattern -- Playwright asks for the pattern
    async ({}, use) => {
      const bench = new Bench();
      await bench.start();
      await use(bench);
      await bench.dispose();
    },
    { scope: "worker" },
  ],
  watch: [
    async ({ context }, use) => {
      const watch = new Watch();
      await watch.on(context);
      await use(watch);
      watch.clean();
    },
    { auto: true },
  ],
});

export { expect };

/** Opens a page and waits until what it is about stands on it, engines in three dimensions included. */
export async function ready(page: Page, address: string): Promise<void> {
  await page.goto(address);
  const path = new URL(address).pathname;
  const heading = page.getByRole("heading", { level: 1 });
  if (path === "/" && (await lineupIsThere(page))) {
    await expect(page.getByRole("table", { name: "Figures of the engines" })).toBeVisible();
    const flat = page.getByRole("img", { name: /from the drive end$/ });
    if (!address.includes("view=flat")) await expect(flat).toHaveCount(0, { timeout: 20_000 });
  } else if (path === "/evidence") {
    await expect(page.getByRole("table").first()).toBeVisible();
  } else await expect(heading).toBeVisible();
  await expect(page.locator(".skeleton")).toHaveCount(0);
}

/** Whether the folder has engines, once the page knows. */
async function lineupIsThere(page: Page): Promise<boolean> {
  const heading = page.getByRole("heading", { level: 1 });
  await expect(heading).toBeVisible();
  await expect(page.getByText("Loading the line-up")).toHaveCount(0);
  return !/begin/i.test(await heading.innerText());
}

/** Waits until the page has drawn some frames. */
export async function frames(page: Page, count: number): Promise<void> {
  await page.evaluate(
    (left) =>
      new Promise<void>((done) => {
        const next = () => (left-- > 0 ? requestAnimationFrame(next) : done());
        next();
      }),
    count,
  );
}
