import { api, ok } from "../api/client";
import type { StudyEvolve } from "../api/types";

// What the search asks the server, by name.

const at = (file: string) => ({ params: { path: { file } } });

export const getStudies = () => ok(api.GET("/api/studies"));

export const getStudy = (file: string, signal: AbortSignal) =>
  ok(api.GET("/api/studies/{file}", { ...at(file), signal }));

/** Saves a text over the version that the etag names. */
export const saveStudy = (file: string, etag: string, text: string) =>
  ok(api.PUT("/api/studies/{file}", { ...at(file), body: { etag, text } }));

export const newStudy = (
  from: { name: string; base: string } | { name: string; copy_of: string },
) => ok(api.POST("/api/studies", { body: from }));

/** Takes a study out of the folder, if it still is what the reader saw; undo brings it back. */
export const removeStudy = (file: string, etag: string) =>
  ok(api.DELETE("/api/studies/{file}", { params: { path: { file }, query: { etag } } }));

/** What a study says; its text may be one that nobody has saved. */
export const checkStudy = (file: string, text: string, signal: AbortSignal) =>
  ok(api.POST("/api/study-check", { body: { file, text }, signal }));

export const getStudyWords = (base: string) =>
  ok(api.GET("/api/study-words", { params: { query: { base } } }));

/** How the search stands, with so many points of the front at most. */
export const getRun = (file: string, front: number, signal: AbortSignal) =>
  ok(api.GET("/api/studies/{file}/run", { params: { path: { file }, query: { front } }, signal }));

/** Looks at every candidate, or at a part of them by evolution; goes on where the results are of the same search. */
export const startRun = (file: string, evolution: StudyEvolve | undefined) =>
  ok(
    api.POST("/api/studies/{file}/run", { ...at(file), ...(evolution && { body: { evolution } }) }),
  );

export const stopRun = (file: string) => ok(api.POST("/api/studies/{file}/stop", at(file)));

/** Sets the results aside, so that the search can begin anew. */
export const forgetRun = (file: string) => ok(api.DELETE("/api/studies/{file}/run", at(file)));

export interface Query {
  filter?: string;
  sql?: string;
}

export const query = (file: string, what: Query) =>
  ok(api.POST("/api/studies/{file}/query", { ...at(file), body: what }));

const one = (file: string, index: number) => ({ params: { path: { file, index } } });

export const getCandidate = (file: string, index: number) =>
  ok(api.GET("/api/studies/{file}/candidates/{index}", one(file, index)));

/** Writes a candidate as an engine file; without a name it gets a free one. */
export const keepCandidate = (file: string, index: number, name: string) =>
  ok(
    api.POST("/api/studies/{file}/candidates/{index}/keep", {
      ...one(file, index),
      body: name ? { file: name } : {},
    }),
  );

/** Begins to move a candidate between the steps of its study; an empty aim: toward all of them together. */
export const startRefine = (file: string, index: number, toward: string) =>
  ok(
    api.POST("/api/studies/{file}/candidates/{index}/refine", {
      ...one(file, index),
      body: toward ? { toward } : {},
    }),
  );

/** How that stands. */
export const getRefine = (file: string, index: number) =>
  ok(api.GET("/api/studies/{file}/candidates/{index}/refine", one(file, index)));

/** Stops it, or forgets what was found. */
export const stopRefine = (file: string, index: number) =>
  ok(api.DELETE("/api/studies/{file}/candidates/{index}/refine", one(file, index)));

/** Writes what was found as an engine file; without a name it gets a free one. */
export const keepRefined = (file: string, index: number, name: string) =>
  ok(
    api.POST("/api/studies/{file}/candidates/{index}/refine/keep", {
      ...one(file, index),
      body: name ? { file: name } : {},
    }),
  );
