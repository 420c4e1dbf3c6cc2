import { svelte } from "@sveltejs/vite-plugin-svelte";
import { defineConfig } from "vitest/config";

// The page must run under a policy that forbids inline scripts and every other host, so nothing
// is inlined into index.html and assets stay files.
export default defineConfig({
  plugins: [svelte()],
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
