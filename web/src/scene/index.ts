export { mountEngine, MountedEngine } from "./mount";
export {
  plainOptions,
  type ArrowChoice,
  type BodyPart,
  type CrankUse,
  type OptionChange,
  type SceneOptions,
  type View,
} from "./options";
export { paints, useColour, useSteps, type Theme } from "./palette";
export { CameraRig } from "./rig";
export { commonScale } from "./scale";
export { NoGraphics, theStage } from "./stage";
