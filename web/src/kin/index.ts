export * from "./firing";
export * from "./phasors";
export * from "./plane";
export * from "./train";
export type * from "./types";
export * from "./vibration";
