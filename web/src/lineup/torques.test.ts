import { expect, test } from "vitest";
import { ApiError } from "../api/client";
import type { TorqueAnswer } from "../api/types";
import { atOnce, mostKept, Torques, type Asked } from "./torques.svelte";

type Doc = TorqueAnswer["torque"];

const asked = (file: string, speed = 0, etag = "1"): Asked => ({ file, etag, text: "", speed });
const settle = async () => {
  for (let i = 0; i < 10; i++) await Promise.resolve();
};

function setUp() {
  const running: {
    a: Asked;
    give: (mean: number) => Promise<void>;
    fail: (e: Error) => Promise<void>;
  }[] = [];
  const all: string[] = [];
  const store = new Torques(
    (a) =>
      new Promise<Doc>((resolve, reject) => {
        all.push(`${a.file} ${a.speed}`);
        running.push({
          a,
          give: (mean) => {
            resolve({ mean_Nm: mean } as Doc);
            return settle();
          },
          fail: (e) => {
            reject(e);
            return settle();
          },
        });
      }),
  );
  return { store, running, all };
}

test("few at a time, each once, and kept", async () => {
  const { store, running, all } = setUp();
  const list = ["a", "b", "c", "d"].map((f) => asked(f));
  store.want(list);
  store.want(list);
  expect(all).toEqual(["a 0", "b 0"]);
  expect(running.length).toBe(atOnce);
  await running[0]?.give(10);
  expect(all).toEqual(["a 0", "b 0", "c 0"]);
  for (const i of [1, 2, 3]) await running[i]?.give(i);
  expect(all.length).toBe(4);
  store.want(list);
  expect(all.length).toBe(4);
  expect(store.at(asked("a")).doc?.mean_Nm).toBe(10);
  store.want([asked("a", 0, "2")]); // the file changed
  expect(all.length).toBe(5);
});

test("speeds that were passed over are not asked for; the old answer stays until the new one", async () => {
  const { store, running, all } = setUp();
  store.want([asked("a", 1000), asked("b", 1000)]);
  for (const speed of [2000, 3000, 4000]) store.want([asked("a", speed), asked("b", speed)]);
  await running[0]?.give(1);
  await running[1]?.give(1);
  expect(all).toEqual(["a 1000", "b 1000", "a 4000", "b 4000"]);
  expect(store.at(asked("a", 4000)).doc?.mean_Nm).toBe(1);
  await running[2]?.give(4);
  expect(store.at(asked("a", 4000)).doc?.mean_Nm).toBe(4);
  expect(store.at(asked("a", 1000)).doc?.mean_Nm).toBe(1);
});

test("a refusal is kept in words; a server that is away is asked again", async () => {
  const { store, running, all } = setUp();
  store.want([asked("a"), asked("b")]);
  await running[0]?.fail(new ApiError(422, { detail: "no compression ratio" }));
  await running[1]?.fail(new ApiError(0, undefined));
  expect(store.at(asked("a")).error).toBe("no compression ratio");
  expect(store.at(asked("b")).error).toMatch(/does not answer/);
  store.want([asked("a"), asked("b")]);
  expect(all).toEqual(["a 0", "b 0", "b 0"]);
  await running[2]?.give(2);
  expect(store.at(asked("b"))).toEqual({ doc: { mean_Nm: 2 } });
});

test("old answers go", async () => {
  const { store, running } = setUp();
  for (let n = 1; n <= mostKept + 2; n++) {
    store.want([asked("a", n)]);
    await running[n - 1]?.give(n);
  }
  expect(store.at(asked("a", 1)).doc?.mean_Nm).toBe(mostKept + 2); // the newest stands in
  expect(store.at(asked("a", 3)).doc?.mean_Nm).toBe(3);
});
