import { join } from "node:path";
import { fileURLToPath } from "node:url";

export const root = fileURLToPath(new URL("../../..", import.meta.url));

/** The command under test, with the front end in it. */
export const command =
  process.env["CRANKWRIGHT"] ?? join(root, "web", "test-results", "workbench", "crankwright");

export const examples = join(root, "examples");
