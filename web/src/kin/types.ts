// What the motion and the phasors need of the API's types. They are stated here by shape, so that this
// folder stands on its own; the generated types of src/api fit them.

/** A complex number as [real part, imaginary part]. */
export type Complex = readonly number[];

interface Throw {
  readonly name: string;
  readonly at_mm: number;
  readonly angle_deg: number;
  readonly radius_mm: number;
  readonly pair: number;
}

export interface Cylinder {
  readonly name: string;
  readonly bank: number;
  readonly throw: number;
  readonly at_mm: number;
  readonly axis_deg: number;
  readonly offset_mm: number;
  readonly bore_offset_mm: number;
  readonly rod_mm: number;
  readonly linked: boolean;
  readonly master: number;
  readonly knuckle_mm: number;
  readonly knuckle_deg: number;
  readonly crown_mm: number;
  readonly stroke_mm: number;
  readonly tdc_deg: number;
  readonly fires_at_deg: number;
  readonly reciprocating_kg: number;
}

interface Unbalance {
  readonly at_mm: number;
  readonly angle_deg: number;
  readonly unbalance_kgmm: number;
  readonly throw: number;
}

export interface Shaft {
  readonly speed_ratio: number;
  readonly y_mm: number;
  readonly z_mm: number;
  readonly masses: readonly Unbalance[];
}

interface Journal {
  readonly diameter_mm: number;
  readonly width_mm: number;
}

/** The crank train in numbers that a drawing needs, as written in the file: not yet mirrored. */
export interface Geometry {
  readonly clockwise: boolean;
  readonly cycle_deg: number;
  readonly bore_mm: number;
  readonly reference_mm: number;
  readonly throws: readonly Throw[];
  readonly cylinders: readonly Cylinder[];
  readonly counterweights: readonly Unbalance[];
  readonly shafts: readonly Shaft[];
  readonly main_journal: Journal;
  readonly crankpin: Journal;
  readonly web_thickness_mm: number;
  readonly web_width_mm: number;
  readonly flywheel_mm: number;
}

export interface Contribution {
  readonly part: string;
  readonly kind: "cylinder" | "throw" | "counterweight" | "shaft";
  readonly at_mm: number;
  readonly force_with_crank_N: Complex;
  readonly force_against_crank_N: Complex;
  readonly moment_with_crank_Nm: Complex;
  readonly moment_against_crank_Nm: Complex;
}

export interface Order {
  readonly order: number;
  readonly force: { readonly with_crank_N: Complex; readonly against_crank_N: Complex };
  readonly moment: { readonly with_crank_Nm: Complex; readonly against_crank_Nm: Complex };
  readonly roll_Nm: Complex;
  readonly inertia_torque_Nm: Complex;
  readonly contributions?: readonly Contribution[] | undefined;
}

/** The part of a result document that moves arrows and blocks. */
export interface Result {
  readonly name: string;
  readonly speed_rpm: number;
  readonly rotation: "anticlockwise" | "clockwise";
  readonly balance: {
    readonly reference_mm: number;
    readonly orders: readonly Order[];
    readonly peak_force_N: number;
    readonly peak_moment_Nm: number;
  };
}
