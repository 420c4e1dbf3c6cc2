import { url } from "./url.svelte";

/** Light or dark: what the address says, else what the system prefers. */
class Appearance {
  #systemDark = $state(false);
  #lessMotion = $state(false);

  /** The theme that is shown. */
  get shown(): "light" | "dark" {
    const asked = url.values.theme;
    return asked === "system" ? (this.#systemDark ? "dark" : "light") : asked;
  }

  /** The reader asks for less motion. */
  get lessMotion(): boolean {
    return this.#lessMotion;
  }

  /** Follows the system; returns how to stop. */
  listen(): () => void {
    const dark = matchMedia("(prefers-color-scheme: dark)");
    const still = matchMedia("(prefers-reduced-motion: reduce)");
    const read = () => {
      this.#systemDark = dark.matches;
      this.#lessMotion = still.matches;
    };
    read();
    dark.addEventListener("change", read);
    still.addEventListener("change", read);
    return () => {
      dark.removeEventListener("change", read);
      still.removeEventListener("change", read);
    };
  }
}

export const appearance = new Appearance();
