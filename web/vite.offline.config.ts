import { defineConfig } from "vite";
import { packages } from "./vite.config.ts";

// The player of the page that is taken away: one script without imports, which the workbench puts into
// the page as text. It is built after the workbench and lies beside it.
export default defineConfig({
  publicDir: false,
  plugins: [packages()],
  build: {
    outDir: "dist/offline",
    emptyOutDir: true,
    target: "es2022",
    lib: {
      entry: "src/offline/player.ts",
      formats: ["iife"],
      name: "player",
      fileName: () => "player.js",
    },
  },
});
