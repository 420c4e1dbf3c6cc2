import { describe, expect, it, vi } from "vitest";
import type { StudyColumn, StudyRefine } from "../api/types";
import { chosen, joined, read, within, withRanges, written } from "./brush";
import { Cloud, coarse, spanOf } from "./cloud";
import { densityBetween, grown, largest, tint } from "./paint";
import { Painter, type Pixels } from "./painter";
import { insertItem } from "./insert";
import { parsePoints } from "./points";
import { Refining } from "./refining.svelte";
import { duration, filterWords, many, refinedWords, wordsWithUnit } from "./words";

/** Numbers that look random and are the same every time. */
function numbers(count: number, seed: number, step = 0): Float32Array {
  let state = seed >>> 0;
  return Float32Array.from({ length: count }, () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    const v = state / 4294967296;
    return step ? Math.floor(v / step) * step : v;
  });
}

function same(a: Pixels | undefined, b: Pixels | undefined): boolean {
  return !!a && !!b && Buffer.compare(Buffer.from(a.data), Buffer.from(b.data)) === 0;
}

describe("brushes", () => {
  it("join, are written into the address and read from it", () => {
    expect(
      joined([
        { low: 3, high: 5 },
        { low: 2, high: 1 },
        { low: 1.5, high: 3 },
      ]),
    ).toEqual([{ low: 1, high: 5 }]);
    const brushes = withRanges(
      withRanges({}, "layout.bank_angle", [
        { low: 60, high: 90 },
        { low: 100, high: 120.25 },
      ]),
      "length",
      [{ low: -1.5, high: 620 }],
    );
    expect(written(brushes)).toBe(
      "layout.bank_angle~60~90 layout.bank_angle~100~120.25 length~-1.5~620",
    );
    expect(read(written(brushes))).toEqual(brushes);
    expect(read("nonsense a~1 b~x~2 ~1~2 c~~3")).toEqual({});
    expect(withRanges(brushes, "length", [])).not.toHaveProperty("length");
  });

  it("choose what is within every column, and nothing that has no value", () => {
    const columns = [{ key: "a" }, { key: "b" }];
    const brushes = { a: [{ low: 1, high: 2 }], c: [{ low: 9, high: 9 }] };
    expect(chosen([1, null], columns, brushes)).toBe(true);
    expect(chosen([2.1, 5], columns, brushes)).toBe(false);
    expect(chosen([null, 5], columns, brushes)).toBe(false);
  });
});

describe("a cloud", () => {
  it("keeps the same candidates as a look at each of them, whatever is brushed in what sequence", () => {
    const columns = [numbers(5000, 1), numbers(5000, 2, 1 / 64), numbers(5000, 3)];
    for (let i = 0; i < 5000; i += 7) columns[2]![i] = NaN;
    const cloud = new Cloud(columns);
    const random = numbers(600, 9);
    const ranges: ({ low: number; high: number }[] | undefined)[] = [
      undefined,
      undefined,
      undefined,
    ];
    const wrong: string[] = [];
    for (let turn = 0; turn + 6 < 600; turn += 6) {
      const column = Math.floor(random[turn]! * 3);
      const [a, b, c, d] = [
        random[turn + 1]!,
        random[turn + 2]!,
        random[turn + 3]!,
        random[turn + 4]!,
      ];
      ranges[column] =
        random[turn + 5]! < 0.2
          ? undefined
          : joined(
              random[turn + 5]! < 0.5
                ? [
                    { low: a, high: b },
                    { low: c, high: d },
                  ]
                : [{ low: a, high: b }],
            );
      // Ends that are values of candidates count.
      if (turn % 30 === 0) ranges[column] = [{ low: columns[column]![turn + 1]!, high: 2 }];
      cloud.brush(column, ranges[column]);
      let count = 0;
      for (let i = 0; i < 5000; i++) {
        const keeps = ranges.every((r, c) => !r || within(columns[c]![i]!, r));
        if ((cloud.fails[i] === 0) !== keeps) wrong.push(`candidate ${i} after turn ${turn}`);
        if (keeps) count++;
      }
      if (cloud.chosen !== count) wrong.push(`${cloud.chosen} after turn ${turn}`);
    }
    expect(wrong).toEqual([]);
  });

  it("has a span where it holds nothing, one value or none that counts", () => {
    expect(spanOf(new Float32Array())).toEqual({ low: 0, high: 1 });
    expect(spanOf(Float32Array.of(NaN))).toEqual({ low: 0, high: 1 });
    expect(spanOf(Float32Array.of(4, 4))).toEqual({ low: 3.5, high: 4.5 });
    expect(spanOf(Float32Array.of(4, -2, NaN))).toEqual({ low: -2, high: 4 });
  });

  it("counts what goes from bin to bin and what falls into each pixel", () => {
    const cloud = new Cloud([Float32Array.of(0, 1, 1, NaN), Float32Array.of(5, 9, 9, 9)]);
    const [between = new Uint32Array()] = cloud.between([0, 1], false);
    expect(between[0]).toBe(1);
    expect(between[coarse * coarse - 1]).toBe(2);
    expect(between.reduce((a, b) => a + b)).toBe(3);
    cloud.brush(0, [{ low: 0, high: 0.5 }]);
    expect(cloud.chosen).toBe(1);
    expect(cloud.between([0, 1], true)[0]?.reduce((a, b) => a + b)).toBe(1);
    const plane = {
      x: 0,
      y: 1,
      across: { low: 0, high: 1 },
      up: { low: 5, high: 9 },
      width: 3,
      height: 3,
    };
    const places = cloud.place(plane);
    expect([...places]).toEqual([6, 2, 2, -1]);
    const counts = new Uint32Array(9);
    cloud.fall(places, counts, false);
    expect(counts[2]).toBe(2);
    cloud.brush(0, undefined);
    expect(cloud.nearest(plane, places, 1, 0, 2)).toBe(1);
    expect(cloud.nearest(plane, places, 1, 1, 0)).toBe(-1);
  });
});

describe("pictures", () => {
  it("hold every candidate once in every column of pixels, as lines and as bands", () => {
    for (const count of [200, 20_000]) {
      const cloud = new Cloud([numbers(count, 4), numbers(count, 5), numbers(count, 6)]);
      const axes = { columns: [0, 2, 1], at: [0, 30, 59], width: 60, height: 64 };
      const density = densityBetween(cloud, axes, cloud.between(axes.columns, false), false);
      for (const x of [0, 15, 29, 30, 45, 59]) {
        let sum = 0;
        for (let y = 0; y < 64; y++) sum += density[y * 60 + x]!;
        // Bands at the upper and lower edge are cut where they reach beyond the picture.
        expect(sum / count, `pixel column ${x} of ${count}`).toBeGreaterThan(0.97);
        expect(sum / count).toBeLessThan(1.06);
      }
    }
  });

  it("are opaque where candidates are, and nowhere else", () => {
    const pixels = tint(Float32Array.of(0, 1, 16), 16, [1, 2, 3], 0.2, 0.8);
    expect([...pixels.slice(0, 4)]).toEqual([0, 0, 0, 0]);
    expect([...pixels.slice(8, 12)]).toEqual([1, 2, 3, 204]);
    expect(pixels[7]).toBeGreaterThan(51);
    expect(largest(pixels)).toBe(204);
    const one = new Uint32Array(25);
    one[12] = 1;
    expect([...grown(one, 5, 5, 3)].filter(Boolean)).toHaveLength(9);
    expect([...grown(one, 5, 5, 5)].filter(Boolean)).toHaveLength(21);
    expect(grown(one, 5, 5, 1)).toBe(one);
  });

  it("are the same however the brushes came to where they are", () => {
    const columns = [numbers(9000, 7), numbers(9000, 8), numbers(9000, 9, 1 / 16)];
    const axes = { columns: [0, 1, 2], at: [0, 19, 39], width: 40, height: 30 };
    const plane = {
      x: 0,
      y: 1,
      across: { low: 0, high: 0.8 },
      up: { low: 0, high: 1 },
      width: 40,
      height: 40,
    };
    const ask = { axes, plane, all: [9, 9, 9] as const, chosen: [0, 0, 9] as const };
    const painter = new Painter(columns);
    for (let i = 12; i < 26; i++) {
      const brushes = [
        i % 7 === 6 ? undefined : [{ low: i / 60, high: 0.5 + i / 60 }],
        i > 20 ? [{ low: 0.1, high: 0.3 }] : undefined,
        i % 2 ? [{ low: 0, high: 0.6 }] : [{ low: 0, high: 0.55 }],
      ];
      const grew = painter.look({ ...ask, seq: i, brushes });
      const fresh = new Painter(columns).look({ ...ask, seq: i, brushes });
      expect(grew.chosen).toBe(fresh.chosen);
      expect(same(grew.axesChosen, fresh.axesChosen), `axes ${i}`).toBe(true);
      expect(same(grew.planeChosen, fresh.planeChosen), `plane ${i}`).toBe(true);
    }
  });

  it("are drawn anew only where something changed", () => {
    const painter = new Painter([numbers(500, 7), numbers(500, 8)]);
    const axes = { columns: [0, 1], at: [0, 19], width: 20, height: 30 };
    const plane = {
      x: 0,
      y: 1,
      across: { low: 0, high: 1 },
      up: { low: 0, high: 1 },
      width: 40,
      height: 40,
    };
    const ask = { axes, plane, all: [9, 9, 9] as const, chosen: [0, 0, 9] as const };
    const first = painter.look({ ...ask, seq: 1, brushes: [] });
    expect(first.chosen).toBe(500);
    expect(first.axesAll && first.axesChosen && first.planeAll && first.planeChosen).toBeTruthy();
    const brushed = painter.look({ ...ask, seq: 2, brushes: [[{ low: 0, high: 0.5 }]] });
    expect(brushed.chosen).toBeLessThan(300);
    expect(brushed.axesAll ?? brushed.planeAll).toBeUndefined();
    expect(brushed.axesChosen && brushed.planeChosen).toBeTruthy();
    const again = painter.look({ ...ask, seq: 3, brushes: [[{ low: 0, high: 0.5 }]] });
    expect(again.axesChosen ?? again.planeChosen).toBeUndefined();
    const picked = painter.pick(10, 20, 40);
    expect(picked.row).toBeGreaterThanOrEqual(0);
    expect(picked.values[0]).toBeLessThanOrEqual(0.5);
  });
});

describe("points", () => {
  const head = { kept: 3, count: 2, columns: [{ key: "a" }, { key: "b" }] };
  function packed(extra = 0): ArrayBuffer {
    let text = JSON.stringify(head);
    while ((text.length + 4) % 8 !== 0) text += " ";
    const data = new ArrayBuffer(4 + text.length + 16 + 16 + extra);
    new DataView(data).setUint32(0, text.length, true);
    new Uint8Array(data, 4).set(new TextEncoder().encode(text));
    new Float64Array(data, 4 + text.length, 2).set([7, 2 ** 52]);
    new Float32Array(data, 4 + text.length + 16, 4).set([1, 2, 3, 4]);
    return data;
  }
  it("are read as they are sent", () => {
    const points = parsePoints(packed());
    expect([...points.index]).toEqual([7, 2 ** 52]);
    expect(points.columns.map((c) => [...c])).toEqual([
      [1, 2],
      [3, 4],
    ]);
    expect(points.head.kept).toBe(3);
  });
  it("are refused where they are cut off", () => {
    expect(() => parsePoints(packed(4))).toThrow("cut off");
    expect(() => parsePoints(packed().slice(0, 40))).toThrow();
    expect(() => parsePoints(new ArrayBuffer(2))).toThrow("cut off");
  });
});

describe("words", () => {
  const column = (c: Partial<StudyColumn>): StudyColumn => ({
    key: "length",
    name: "Length",
    unit: "mm",
    kind: "figure",
    better: "less",
    values: 0,
    ...c,
  });
  const words = ["inline", "vee", "opposed"];
  const columns = [
    column({}),
    column({ key: "layout.arrangement", kind: "input", unit: "1", values: 3, words }),
    column({ key: "firing_evenness", unit: "1" }),
  ];

  it("say what is brushed as a filter", () => {
    const brushes = {
      length: [
        { low: 500, high: 620.5 },
        { low: 700, high: 700 },
      ],
      "layout.arrangement": [{ low: -0.4, high: 1.2 }],
      firing_evenness: [{ low: 0.9, high: 1 }],
      gone: [{ low: 1, high: 2 }],
    };
    expect(filterWords(brushes, columns)).toBe(
      "(length >= 500 mm and length <= 620.5 mm or length = 700 mm) and (layout.arrangement = 'inline' or layout.arrangement = 'vee') and firing_evenness >= 0.9 and firing_evenness <= 1",
    );
    expect(filterWords({}, columns)).toBe("");
  });

  it("say how long and how many", () => {
    expect([0.2, 2.4, 130, 7500, 1e6, 0, NaN].map(duration)).toEqual([
      "less than 1 s",
      "2 s",
      "2 min",
      "2 h 5 min",
      "12 days",
      "",
      "",
    ]);
    expect(many(1, "candidate")).toBe("1 candidate");
    expect(many(68796, "candidate")).toBe("68\u202f796 candidates");
  });
});

describe("an inserted item", () => {
  const text =
    'name: Vees\nbase: vee.engine.yaml\nvary:\n  layout.bank_angle: [60, 90] deg # two\n\n# what must be\nrequire: {length: "<= 620 mm"}\nminimise: [length]\n';

  it("stands at the end of its block", () => {
    expect(insertItem(text, "vary", "stroke: {from: 60 mm, to: 80 mm, step: 5 mm}")).toBe(
      text.replace("deg # two\n", "deg # two\n  stroke: {from: 60 mm, to: 80 mm, step: 5 mm}\n"),
    );
    expect(insertItem(text, "minimise", "height")).toContain("minimise: [length, height]\n");
    expect(insertItem(text, "require", 'height: "<= 500 mm"')).toContain(
      'require: {length: "<= 620 mm", height: "<= 500 mm"}\n',
    );
    expect(insertItem(text, "maximise", "brake_power")).toBe(`${text}maximise: [brake_power]\n`);
    expect(insertItem("minimise:\n  - length\n", "minimise", "height")).toBe(
      "minimise:\n  - length\n  - height\n",
    );
    expect(insertItem("vary:\n", "vary", "bore: [80, 82] mm")).toBe("vary:\n  bore: [80, 82] mm\n");
    expect(insertItem("vary: {}\nspeed: 1 rpm", "vary", "bore: [80, 82] mm")).toBe(
      "vary:\n  bore: [80, 82] mm\nspeed: 1 rpm",
    );
  });

  it("is not put in twice, nor where its place cannot be told", () => {
    expect(insertItem(text, "vary", "layout.bank_angle: [1] deg")).toBe(text);
    expect(insertItem(text, "minimise", "length")).toBe(text);
    expect(insertItem("vary: &anchor\n", "vary", "bore: [80] mm")).toBeUndefined();
  });
});

describe("a refinement", () => {
  const figure = { key: "a", name: "A", unit: "N", before: "2", after: "1" } as const;
  it("says what became of a figure against what is wanted of it", () => {
    expect(refinedWords({ ...figure, wanted: "less", change: "less" })).toBe("less, better");
    expect(refinedWords({ ...figure, wanted: "more", change: "less" })).toBe("less, worse");
    expect(refinedWords({ ...figure, wanted: "limit", change: "more" })).toBe(
      "more, within its limit",
    );
    expect(refinedWords({ ...figure, wanted: "less", change: "same" })).toBe("the same");
    expect(wordsWithUnit("88.5062", "deg")).toBe("88.5062°");
    expect(wordsWithUnit("0.8", "1")).toBe("0.8");
    expect(wordsWithUnit("2", "N")).toBe("2\u00a0N");
  });

  const none: StudyRefine = { index: 1, state: "none", done: 0, most: 0 };
  const going: StudyRefine = { index: 1, state: "running", done: 3, most: 400 };
  /** Calls that are answered by hand. */
  function hands() {
    const log: string[] = [];
    let answer: StudyRefine | Error = none;
    const ask = (what: string) => {
      log.push(what);
      return answer instanceof Error ? Promise.reject(answer) : Promise.resolve(answer);
    };
    return {
      log,
      say: (next: StudyRefine | Error) => (answer = next),
      calls: {
        start: (toward: string) => ask(`start ${toward}`),
        look: () => ask("look"),
        stop: () => ask("stop"),
      },
    };
  }

  it("is followed while it goes on, and no longer", async () => {
    vi.useFakeTimers();
    const h = hands();
    const job = new Refining(h.calls);
    h.say(going);
    await job.start("length");
    expect(job.running).toBe(true);
    await vi.advanceTimersByTimeAsync(900);
    expect(h.log).toEqual(["start length", "look", "look"]);
    h.say({ ...going, state: "failed", failure: "why" });
    await vi.advanceTimersByTimeAsync(5000);
    expect(h.log).toHaveLength(4);
    expect(job.fault).toBe("why");
    job.end();
    expect(h.log).toHaveLength(4); // nothing is left to be stopped
    vi.useRealTimers();
  });

  it("is stopped when nobody looks any more", async () => {
    vi.useFakeTimers();
    const h = hands();
    const job = new Refining(h.calls);
    h.say(going);
    await job.look();
    job.end();
    await vi.advanceTimersByTimeAsync(5000);
    expect(h.log).toEqual(["look", "stop"]);
    vi.useRealTimers();
  });

  it("says what did not work", async () => {
    const h = hands();
    const job = new Refining(h.calls);
    h.say(new Error("two are being refined already"));
    await job.start("");
    expect(job.fault).toContain("two are being refined already");
    expect(job.asking).toBe(false);
  });
});
