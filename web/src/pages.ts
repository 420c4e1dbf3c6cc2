import type { Component } from "svelte";

/** A page beside the line-up and those of the engines. */
interface Page {
  path: string;
  title: string;
  /** What is being loaded, in words. */
  what: string;
  /** How wide it becomes at most. */
  width: string;
  body: () => Promise<{ default: Component }>;
}

export const pages: readonly Page[] = [
  {
    path: "/choice",
    title: "Choice",
    what: "the choice",
    width: "96rem",
    body: () => import("./choice/ChoicePage.svelte"),
  },
  {
    path: "/search",
    title: "Search",
    what: "the search",
    width: "112rem",
    body: () => import("./search/SearchPage.svelte"),
  },
  {
    path: "/evidence",
    title: "Evidence",
    what: "the evidence",
    width: "84rem",
    body: () => import("./evidence/EvidencePage.svelte"),
  },
];
