import { expect, test } from "vitest";
import { readPlaces } from "./places";

test("places with semicolons, coordinates with commas", () => {
  expect(readPlaces("60, -40; −60, 20;", 2)).toEqual({
    list: [
      [60, -40],
      [-60, 20],
    ],
    wrong: "",
  });
  expect(readPlaces(" -100;0 ; 100", 1).list).toEqual([[-100], [0], [100]]);
  expect(readPlaces("", 2)).toEqual({ list: [], wrong: "" });
});

test("what is no place is said", () => {
  expect(readPlaces("60", 2).wrong).toContain("“60”");
  expect(readPlaces("60, x", 2).wrong).toContain("y and z in mm");
  expect(readPlaces("1, 2", 1).wrong).toContain("x in mm");
  expect(readPlaces("1,,2", 2).list).toEqual([]);
});
