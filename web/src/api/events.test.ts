import { expect, test } from "vitest";
import { ApiError } from "./client";
import { parseEvents } from "./events";

test("events come whole or wait for the rest", () => {
  const [events, left] = parseEvents(': alive\n\nevent: change\ndata: {"a":1}\n\ndata: x\ndata: y');
  expect(events).toEqual([{ name: "change", data: '{"a":1}' }]);
  expect(left).toBe("data: x\ndata: y");
  expect(parseEvents(left + "\r\n\r\n")).toEqual([[{ name: "message", data: "x\ny" }], ""]);
});

test("problem details become errors that say what can be done", () => {
  const e = new ApiError(409, {
    title: "Conflict",
    detail: "the file changed",
    errors: [{ location: "body.etag", message: "old" }],
  });
  expect(e.fault).toBe("conflict");
  expect(e.message).toBe("the file changed");
  expect(e.places).toEqual([{ location: "body.etag", message: "old" }]);
  expect(new ApiError(0, undefined).fault).toBe("gone");
  expect(new ApiError(401, null).fault).toBe("denied");
  expect(new ApiError(404, "text").message).toBe("The server answered 404");
  expect(new ApiError(422, {}).fault).toBe("refused");
  expect(new ApiError(500, {}).fault).toBe("broken");
});
