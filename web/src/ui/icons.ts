/** Strokes of the icons on a grid of 20, drawn with the pen of the figures. */
export const icons = {
  play: "M6 3.5v13l11-6.5z",
  pause: "M6 4v12M13.5 4v12",
  back: "M12.5 4 6.5 10l6 6",
  forward: "M7.5 4l6 6-6 6",
  previous: "M14 4 8 10l6 6M5.5 4v12",
  next: "M6 4l6 6-6 6M14.5 4v12",
  undo: "M4 8h8a4.5 4.5 0 0 1 0 9H8M4 8l4-4M4 8l4 4",
  redo: "M16 8H8a4.5 4.5 0 0 0 0 9h4M16 8l-4-4M16 8l-4 4",
  plus: "M10 4v12M4 10h12",
  close: "M5 5l10 10M15 5 5 15",
  download: "M10 3v9M6 8.5l4 4 4-4M4 16.5h12",
  link: "M8.5 11.5l3-3M9 6l1.8-1.8a3.5 3.5 0 0 1 5 5L14 11M11 14l-1.8 1.8a3.5 3.5 0 0 1-5-5L6 9",
  light:
    "M10 6.5a3.5 3.5 0 1 0 0 7 3.5 3.5 0 0 0 0-7M10 2v2M10 16v2M2 10h2M16 10h2M4.3 4.3l1.4 1.4M14.3 14.3l1.4 1.4M15.7 4.3l-1.4 1.4M5.7 14.3l-1.4 1.4",
  dark: "M16 12.5A7 7 0 0 1 7.5 4a6.5 6.5 0 1 0 8.5 8.5z",
  system: "M3 4.5h14v9H3zM7 17h6M10 13.5V17",
  keyboard: "M2.5 5.5h15v9h-15zM5.5 8.5h.5M9 8.5h.5M12.5 8.5h.5M15 8.5h.1M6.5 11.5h7",
  warn: "M10 3.5 17.5 16.5h-15zM10 8.5v4M10 14.2v.6",
  camera: "M3 6.5h3.5L8 4.5h4l1.5 2H17v9H3zM10 8.5a2.5 2.5 0 1 0 0 5 2.5 2.5 0 0 0 0-5",
  film: "M3 4.5h14v11H3zM6.5 4.5v11M13.5 4.5v11M3 8.2h3.5M3 11.8h3.5M13.5 8.2H17M13.5 11.8H17",
  box: "M10 3l6.5 3.5v7L10 17l-6.5-3.5v-7zM3.5 6.5 10 10l6.5-3.5M10 10v7",
  table: "M3 4.5h14v11H3zM3 8.2h14M3 11.9h14M8 4.5v11",
  page: "M5 2.5h7l3.5 3.5v11.5H5zM12 2.5V6h3.5",
  gear: "M10 7a3 3 0 1 0 0 6 3 3 0 0 0 0-6M10 2.5v2.2M10 15.3v2.2M2.5 10h2.2M15.3 10h2.2M4.7 4.7l1.6 1.6M13.7 13.7l1.6 1.6M15.3 4.7l-1.6 1.6M6.3 13.7l-1.6 1.6",
  flag: "M5 17.5v-15M5 3.5h10l-2.5 3.5L15 10.5H5",
  left: "M16 10H4.5M9 5l-5 5 5 5",
  right: "M4 10h11.5M11 5l5 5-5 5",
  history: "M10 5.5V10l3 2M4.2 7A6.5 6.5 0 1 1 3.5 10M3.5 4v3.5H7",
} as const;

export type IconName = keyof typeof icons;
