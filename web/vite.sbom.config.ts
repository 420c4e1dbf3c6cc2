import { fileURLToPath } from "node:url";
import sbom from "rollup-plugin-sbom";
import { defineConfig, mergeConfig } from "vite";
import workbench from "./vite.config";

// Lists the npm packages that the front end is made of, as CycloneDX, in out/sbom/front.json: the workbench and
// the player are bundled once more, beside what is handed out. A release has the list in its bill of materials.
export default mergeConfig(
  workbench,
  defineConfig({
    plugins: [
      sbom({
        specVersion: "1.6",
        outDir: ".",
        outFilename: "front",
        outFormats: ["json"],
        saveTimestamp: false,
        includeWellKnown: false,
      }),
    ],
    build: {
      outDir: "../out/sbom",
      rolldownOptions: {
        input: ["index.html", "src/offline/player.ts"].map((name) =>
          fileURLToPath(new URL(name, import.meta.url)),
        ),
      },
    },
  }),
);
