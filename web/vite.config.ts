import { svelte } from "@sveltejs/vite-plugin-svelte";
import type { Plugin } from "vite";
import { defineConfig } from "vitest/config";

// Lists in packages.json the npm packages of which the bundle holds something, as the lock file names them: what a
// release says of its parts comes from there.
export function packages(): Plugin {
  return {
    name: "packages",
    generateBundle(_, bundle) {
      const found = Object.values(bundle)
        .flatMap((file) => (file.type === "chunk" ? file.moduleIds : []))
        .map((id) => /.*[/\\]node_modules[/\\]((?:@[^/\\]+[/\\])?[^/\\]+)/.exec(id)?.[1])
        .filter((name) => name !== undefined)
        .map((name) => name.replace("\\", "/"));
      const source = JSON.stringify([...new Set(found)].sort()) + "\n";
      this.emitFile({ type: "asset", fileName: "packages.json", source });
    },
  };
}

// The page must run under a policy that forbids inline scripts and every other host, so nothing
// is inlined into index.html and assets stay files.
export default defineConfig({
  plugins: [svelte(), packages()],
  build: {
    outDir: "dist",
    emptyOutDir: true,
    target: "es2022",
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    chunkSizeWarningLimit: 900,
  },
  server: {
    port: 5173,
    proxy: { "/api": "http://127.0.0.1:8377" },
  },
  test: {
    include: ["src/**/*.test.ts"],
    environment: "node",
  },
});
