// The colours of the figures, as in draw/palette.go, and the finishes of solid parts.

export type Theme = "light" | "dark";

export interface Paints {
  readonly ink: string;
  readonly soft: string;
  readonly with: string;
  readonly against: string;
  readonly third: string;
  readonly fourth: string;
  readonly paper: string;
  readonly band: string;
}

const light: Paints = {
  ink: "#18212b",
  soft: "#55616d",
  with: "#0a5cad",
  against: "#b84d00",
  third: "#00735a",
  fourth: "#7a1fd1",
  paper: "#ffffff",
  band: "#f1f4f6",
};

const dark: Paints = {
  ink: "#e8ecef",
  soft: "#a5b0ba",
  with: "#66b3ff",
  against: "#ff9a3d",
  third: "#3fbf8f",
  fourth: "#d66ba0",
  paper: "#12181f",
  band: "#1b232c",
};

export const paints = (theme: Theme): Paints => (theme === "dark" ? dark : light);

/** Colours of the parts themselves, the same in both themes; light does the rest. */
export const finish = {
  web: "#a3aeb8",
  journal: "#c3ccd4",
  counterweight: "#7b8894",
  rod: "#b7bfc6",
  rodDark: "#929ca5",
  bolt: "#58636e",
  piston: "#cdd3d8",
  ring: "#4b5560",
  pin: "#8a96a2",
  shaft: "#9a86b4",
  lobe: "#7d5fa8",
  flywheel: "#8d98a2",
  flywheelFace: "#a2acb5",
  gear: "#76818b",
  sleeve: "#8fa3b5",
  wall: "#b4bec7",
  cut: "#bf5a4a",
  fire: "#ff8b1a",
} as const;

/** Colours for a use of 0, 50, 100 and 150 %: darker is more, so that no eye needs the hue. */
export const useSteps = ["#d7e3ee", "#f0c48a", "#c4570c", "#5e1300"] as const;

/** Colour of a part by how much of what it bears it takes; what is not known is grey. */
export function useColour(use: number | null | undefined): string {
  if (use === null || use === undefined || !Number.isFinite(use)) return finish.counterweight;
  const at = Math.max(0, Math.min(useSteps.length - 1, use / 0.5));
  const i = Math.min(Math.floor(at), useSteps.length - 2);
  const mix = (k: number): string => {
    const a = parseInt((useSteps[i] ?? "#000000").slice(k, k + 2), 16);
    const b = parseInt((useSteps[i + 1] ?? "#000000").slice(k, k + 2), 16);
    return Math.round(a + (b - a) * (at - i))
      .toString(16)
      .padStart(2, "0");
  };
  return `#${mix(1)}${mix(3)}${mix(5)}`;
}
