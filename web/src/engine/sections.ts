import type { Component } from "svelte";
import type { EngineDocument, EngineView, Geometry } from "../api/types";
import type { EngineSession } from "./session.svelte";
import BalancingSection from "./sections/BalancingSection.svelte";
import DriveSection from "./sections/DriveSection.svelte";
import FiringSection from "./sections/FiringSection.svelte";
import ForceSection from "./sections/ForceSection.svelte";
import LastingSection from "./sections/LastingSection.svelte";
import MassesSection from "./sections/MassesSection.svelte";
import MomentSection from "./sections/MomentSection.svelte";
import MotionSection from "./sections/MotionSection.svelte";
import MountsSection from "./sections/MountsSection.svelte";
import PartsSection from "./sections/PartsSection.svelte";
import SoundSection from "./sections/SoundSection.svelte";
import SpaceSection from "./sections/SpaceSection.svelte";
import TextSection from "./sections/TextSection.svelte";
import TorqueSection from "./sections/TorqueSection.svelte";

// The chapters of the engine page. A new chapter adds itself here, and nowhere else: its heading, its
// component, when it applies, and which of the document's figures are its main numbers.

/** What a section is given. Sections out of sight keep what they had. */
export interface SectionProps {
  session: EngineSession;
  view: EngineView;
  doc: EngineDocument;
  geometry: Geometry;
  /** Crank angle [deg], 0 up to 720. */
  deg: number;
}

export interface Section {
  id: string;
  title: string;
  component: Component<SectionProps>;
  /** Whether the engine has anything to show here. */
  applies: (view: EngineView) => boolean;
  /** Keys of document.figures that are its main numbers, by their beginnings. */
  figures: string[];
  /** It works without a result, on the text alone. */
  alone?: boolean;
}

const sound = (v: EngineView): boolean => !!v.result && !!v.geometry;

export const sections: Section[] = [
  {
    id: "force",
    title: "Shaking force",
    component: ForceSection,
    applies: sound,
    figures: ["free_force", "peak_free_force", "force_order"],
  },
  {
    id: "moment",
    title: "Shaking moment",
    component: MomentSection,
    applies: sound,
    figures: ["free_moment", "peak_free_moment", "moment_order"],
  },
  {
    id: "balancing",
    title: "Balancing",
    component: BalancingSection,
    applies: sound,
    figures: [],
  },
  {
    id: "torque",
    title: "Inertia torque and roll",
    component: TorqueSection,
    applies: sound,
    figures: ["peak_inertia_torque", "peak_roll_moment"],
  },
  {
    id: "drive",
    title: "Gas and torque",
    component: DriveSection,
    applies: sound,
    figures: [
      "mean_torque",
      "brake_torque",
      "brake_power",
      "peak_torque",
      "torque_unevenness",
      "inertia_share",
      "impulses",
      "friction_mep",
      "speed_fluctuation",
      "flywheel_inertia",
    ],
  },
  {
    id: "firing",
    title: "Firing",
    component: FiringSection,
    applies: sound,
    figures: ["firing", "longest_firing", "shortest_firing", "neighbours"],
  },
  {
    id: "sound",
    title: "Sound",
    component: SoundSection,
    applies: sound,
    figures: [],
  },
  {
    id: "lasting",
    title: "Crank and bearings",
    component: LastingSection,
    applies: sound,
    figures: [],
  },
  {
    id: "mounts",
    title: "Mounts and people",
    component: MountsSection,
    applies: sound,
    figures: [],
  },
  {
    id: "space",
    title: "Room and mass",
    component: SpaceSection,
    applies: sound,
    figures: ["length", "width", "height", "dry_mass", "centre_height", "bank_width"],
  },
  {
    id: "parts",
    title: "Parts and cost",
    component: PartsSection,
    applies: sound,
    figures: [
      "part_count",
      "heads",
      "camshaft",
      "main_bearings",
      "machined_faces",
      "exhaust_length",
      "cost_index",
      "service_score",
    ],
  },
  {
    id: "motion",
    title: "Motion",
    component: MotionSection,
    applies: sound,
    figures: ["displacement", "mean_piston_speed", "peak_piston_speed"],
  },
  {
    id: "masses",
    title: "Masses and estimates",
    component: MassesSection,
    applies: sound,
    figures: [],
  },
  {
    id: "text",
    title: "File text",
    component: TextSection,
    applies: () => true,
    figures: [],
    alone: true,
  },
];

/** The main numbers of a section, in the document's order. */
export function figuresOf(
  s: Pick<Section, "figures">,
  doc: EngineDocument,
): EngineDocument["figures"] {
  return doc.figures.filter((f) => s.figures.some((start) => f.key.startsWith(start)));
}
