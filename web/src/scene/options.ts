import type { OrderChoice } from "../kin";
import type { BoreLook } from "./bores";
import type { Theme } from "./palette";

export type View = "orbit" | "drive-end" | "side" | "top";

/** Which arrows are shown. */
export interface ArrowChoice {
  /** The force of each cylinder's piston and rod. */
  readonly pistons: boolean;
  /** The shaking force, at the place about which moments are taken. */
  readonly resultant: boolean;
  /** The shaking moment as a pair of opposite forces at the ends of the crank. */
  readonly couple: boolean;
  /** The two parts of the resultant, with the crank and against it, one on the tip of the other. */
  readonly parts: boolean;
  /** The forces of throws and counterweights. */
  readonly crankMasses: boolean;
  readonly shafts: boolean;
}

/** How much of what it bears each part of the crank takes, along the crank; 1 is all of it, null is not known. */
export interface CrankUse {
  /** Webs beside the mains. */
  readonly webs: readonly (number | null)[];
  readonly mains: readonly (number | null)[];
  /** By throw. */
  readonly pins: readonly (number | null)[];
}

/** A solid that stands round the crank train [m], in the axes of the engine. */
export type BodyPart =
  | {
      readonly kind: "prism";
      /** Corners y, z of what is drawn out along x. */
      readonly section: readonly (readonly [number, number])[];
      readonly from: number;
      readonly to: number;
    }
  | {
      readonly kind: "tube";
      readonly a: readonly [number, number, number];
      readonly b: readonly [number, number, number];
      readonly outer: number;
    };

export interface SceneOptions {
  /** What stands round the crank train, shown as glass; null: nothing. */
  readonly body: readonly BodyPart[] | null;
  /** Colours the crank by its use and shows nothing else; null: the whole engine in its own colours. */
  readonly crank: CrankUse | null;
  readonly theme: Theme;
  readonly bores: BoreLook;
  readonly flywheel: boolean;
  /** Names of the cylinders, and words at the arrows. */
  readonly labels: boolean;
  readonly arrows: ArrowChoice;
  readonly orders: OrderChoice;
  /** Length of an arrow per newton [m/N]; use one for all engines that are compared, see commonScale. */
  readonly metresPerNewton: number;
  readonly trace: boolean;
  readonly flashes: boolean;
  /** How many times larger than true the block moves; 0: not at all. */
  readonly vibration: number;
  readonly reducedMotion: boolean;
  /** High draws soft shadows and every pixel of the screen; auto finds out. */
  readonly quality: "auto" | "high" | "low";
}

/** A change of options; arrows may be given in part. */
export type OptionChange = Partial<Omit<SceneOptions, "arrows">> & {
  readonly arrows?: Partial<ArrowChoice>;
};

export const plainOptions: SceneOptions = {
  body: null,
  crank: null,
  theme: "light",
  bores: "glass",
  flywheel: true,
  labels: true,
  arrows: {
    pistons: false,
    resultant: true,
    couple: true,
    parts: false,
    crankMasses: false,
    shafts: false,
  },
  orders: "all",
  metresPerNewton: 0,
  trace: true,
  flashes: true,
  vibration: 0,
  reducedMotion: false,
  quality: "auto",
};

export function changed(o: SceneOptions, change: OptionChange): SceneOptions {
  return { ...o, ...change, arrows: { ...o.arrows, ...change.arrows } };
}
