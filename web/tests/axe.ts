import type { Page } from "@playwright/test";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import type axe from "axe-core";

const source = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

const levels = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];

/** What axe finds against levels A and AA and good practice, one line a rule and place. */
export async function violations(page: Page, exclude: string[] = []): Promise<string[]> {
  await page.evaluate(source);
  return page.evaluate(
    async ([tags, out]) => {
      const run = (window as unknown as { axe: typeof axe }).axe.run;
      const where = { include: ["html"], exclude: out };
      const result = await run(where, {
        runOnly: { type: "tag", values: tags },
        resultTypes: ["violations"],
      });
      return result.violations.flatMap((v) =>
        v.nodes.slice(0, 5).map((n) => `${v.id}: ${n.target.join(" ")}: ${n.failureSummary ?? ""}`),
      );
    },
    [levels, exclude] as const,
  );
}
