import { describe, expect, test } from "vitest";
import { fullFile, params, readAll, shortFile, withValues, type Name } from "./params";

describe("states in the address", () => {
  test("an empty address gives the fallbacks", () => {
    const v = readAll("");
    for (const name of Object.keys(params) as Name[])
      expect(v[name], name).toEqual(params[name].fallback);
  });

  test("what is written is read again", () => {
    const changes = {
      show: ["vee-twin-90.engine.yaml", "b.engine.yaml"],
      baseline: "b.engine.yaml",
      speed: 4500,
      angle: 123.5,
      orders: [0.5, 2, 4],
      arrows: ["parts", "shafts"],
      view: "drive-end",
      linked: false,
      trace: false,
      shake: true,
      pace: 8,
      theme: "dark",
      curve: "roll",
      find: "a b&c",
    } as const;
    const query = withValues("", changes as unknown as Parameters<typeof withValues>[1]);
    expect(readAll(query)).toMatchObject(changes);
  });

  test("fallbacks and strange keys: the first are left out, the second stay", () => {
    expect(withValues("?x=1&view=top", { view: "free" })).toBe("?x=1");
    expect(withValues("", { theme: "system", speed: 0 })).toBe("");
  });

  test("a list can be empty although its fallback is not", () => {
    const query = withValues("", { arrows: [] });
    expect(query).toBe("?arrows=none");
    expect(readAll(query).arrows).toEqual([]);
  });

  test("nonsense falls back, and numbers stay within their bounds", () => {
    const v = readAll("?view=inside-out&speed=fast&angle=9999&order=2,2,17,0.3,1&linked=perhaps");
    expect(v.view).toBe("free");
    expect(v.speed).toBe(0);
    expect(v.angle).toBe(720);
    expect(v.orders).toEqual([1, 2]);
    expect(v.linked).toBe(true);
  });

  test("at most six engines, none twice", () => {
    expect(readAll("?show=a,b,c,a,d,e,f,g").show).toHaveLength(6);
  });

  test("commas stay readable", () => {
    expect(withValues("", { show: ["a.engine.yaml", "b.engine.yaml"] })).toBe("?show=a,b");
  });
});

test("short names of files", () => {
  expect(shortFile("a b.engine.yaml")).toBe("a b");
  expect(fullFile("a b")).toBe("a b.engine.yaml");
  expect(fullFile(shortFile("odd.yaml"))).toBe("odd.yaml");
});
