import type { components } from "./schema";

// Short names for what the server speaks; the shapes are generated from its Go types.
type S = components["schemas"];

export type LineUp = S["LineUp"];
export type EngineEntry = S["EngineEntry"];
export type FolderEvent = S["Event"];
export type EngineView = S["EngineView"];
export type EngineDocument = S["Document"];
export type OrderDoc = S["OrderDoc"];
export type ContributionDoc = S["ContributionDoc"];
export type CurvesDoc = S["CurvesDoc"];
export type EstimateDoc = S["EstimateDoc"];
export type Problem = S["Problem"];
export type Field = S["Field"];
export type Reason = S["Reason"];
export type Edit = S["Edit"];
export type Geometry = S["Geometry"];
export type Comparison = S["Comparison"];
export type ComparedRow = S["ComparedRow"];
export type GalleryEntry = S["GalleryEntry"];
export type Source = S["Source"];
export type Verification = S["Verification"];
export type VerifiedItem = S["VerifiedItem"];
export type CounterweightsDoc = S["CounterweightsDoc"];
export type ShaftsDoc = S["ShaftsDoc"];
export type ShaftSetDoc = S["ShaftSetDoc"];
export type BobweightDoc = S["BobweightDoc"];
export type GradeDoc = S["GradeDoc"];
export type CorrectionAnswer = S["CorrectionAnswer"];
export type TolerancesDoc = S["TolerancesDoc"];
export type MatchDoc = S["MatchDoc"];
