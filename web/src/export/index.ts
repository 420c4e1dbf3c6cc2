export { columnsFor, drawLineUp, lineUpPng, type PictureOptions, type Subject } from "./compose";
export { codecFor, film, filmAngles, type Film, type FilmOptions } from "./film";
export { engineGlb, type GlbOptions } from "./gltf";
