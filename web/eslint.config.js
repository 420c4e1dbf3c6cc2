import js from "@eslint/js";
import svelte from "eslint-plugin-svelte";
import globals from "globals";
import ts from "typescript-eslint";
import svelteConfig from "./svelte.config.js";

export default ts.config(
  { ignores: ["dist/", "node_modules/", "test-results/", "src/api/schema.d.ts"] },
  js.configs.recommended,
  ts.configs.recommended,
  svelte.configs.recommended,
  { languageOptions: { globals: { ...globals.browser, ...globals.node } } },
  {
    files: ["**/*.svelte", "**/*.svelte.ts"],
    languageOptions: { parserOptions: { parser: ts.parser, svelteConfig } },
  },
  {
    rules: {
      "no-undef": "off", // TypeScript knows better
      // A Map or Set that is not shown does not need to be reactive.
      "svelte/prefer-svelte-reactivity": "off",
      "svelte/no-navigation-without-resolve": "off", // a rule for another router
    },
  },
);
