import { api, ok } from "./client";
import type { Edit } from "./types";

// What the pages ask the server, by name. Types come from the server's own description.

export const getLineup = () => ok(api.GET("/api/lineup"));

export const undo = () => ok(api.POST("/api/undo"));

export const redo = () => ok(api.POST("/api/redo"));

/** All that is known of an engine. speed in rpm; 0: the rated speed of the file. */
export const getEngine = (file: string, speed: number, reasons = true) =>
  ok(
    api.GET("/api/engines/{file}", {
      params: { path: { file }, query: { speed_rpm: speed, reasons } },
    }),
  );

/** Engines side by side. */
export const getComparison = (files: string[], speed: number) =>
  ok(api.GET("/api/compare", { params: { query: { files: files.join(","), speed_rpm: speed } } }));

export const getGallery = () => ok(api.GET("/api/gallery"));

/** A new engine file from one line of shorthand, or as a copy. */
export const newEngine = (from: { shorthand: string } | { copy_of: string }) =>
  ok(api.POST("/api/engines", { body: from }));

/** Takes an engine out of the folder, if it still is what the reader saw; undo brings it back. */
export const removeEngine = (file: string, etag: string) =>
  ok(api.DELETE("/api/engines/{file}", { params: { path: { file }, query: { etag } } }));

export const takeSnapshot = (name: string) => ok(api.POST("/api/snapshots", { body: { name } }));

export const restoreSnapshot = (name: string) =>
  ok(api.POST("/api/snapshots/{name}/restore", { params: { path: { name } } }));

export const dropSnapshot = (name: string) =>
  ok(api.DELETE("/api/snapshots/{name}", { params: { path: { name } } }));

export const getSources = () => ok(api.GET("/api/sources"));

export const getChecks = () => ok(api.GET("/api/checks"));

export const getBrief = (file: string) =>
  ok(api.GET("/api/briefs/{file}", { params: { path: { file } } }));

/** What a brief may say. */
export const getBriefWords = () => ok(api.GET("/api/brief-words"));

/** A new brief, from nothing or as a copy. */
export const newBrief = (from: { name: string; copy_of?: string }) =>
  ok(api.POST("/api/briefs", { body: from }));

/** Saves edits, or a whole text, over the version that the etag names. */
export const saveBrief = (file: string, etag: string, what: { edits: Edit[] } | { text: string }) =>
  ok(api.PUT("/api/briefs/{file}", { params: { path: { file } }, body: { etag, ...what } }));

/** Takes a brief out of the folder, if it still is what the reader saw; undo brings it back. */
export const removeBrief = (file: string, etag: string) =>
  ok(api.DELETE("/api/briefs/{file}", { params: { path: { file }, query: { etag } } }));
