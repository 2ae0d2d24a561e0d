// The golden messages of the server's wire crate, decoded here as the server encodes them.

import { readdirSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { decode } from "./decode";
import type { ClientMessage } from "./types";

const GOLDEN = fileURLToPath(new URL("../../../../server/wire/golden/", import.meta.url));
const read = (path: string) => readFileSync(GOLDEN + path, "utf8");

describe("golden messages", () => {
  const kinds = readdirSync(GOLDEN + "server").map((file) => file.replace(".json", ""));

  it("are there", () => expect(kinds).toHaveLength(9));

  it.each(kinds)("from the server: %s", (kind) => {
    const text = read(`server/${kind}.json`);
    expect(decode(text)).toEqual(JSON.parse(text));
    expect(decode(text)?.kind).toBe(kind);
  });

  it("from the browser have the shapes that this code sends", () => {
    const ask: ClientMessage = { kind: "clock_ask", sent_ms: 10_000.5, visible: true, round_trip_ms: 64.25 };
    expect(JSON.parse(read("client/clock_ask.json"))).toEqual(ask);
    const id = "01900000-0000-7000-8000-000000000001";
    const pressed = { step: 7, clue: 0, hints: 0, at: 1_790_000_000_900 };
    const desk: ClientMessage = { kind: "desk", id, pressed, command: { do: "more_time", seconds: 10 } };
    expect(JSON.parse(read("client/desk.json"))).toEqual(desk);
    const report = "01900000-0000-7000-8000-000000000002";
    const seat: ClientMessage = {
      kind: "seat",
      id,
      command: {
        do: "report",
        report,
        said: { whose: "own", where: "neck", strength: { number: 5 }, urgent: null, words: "left side" },
      },
    };
    expect(JSON.parse(read("client/seat.json"))).toEqual(seat);
  });

  it("refuses what is no message", () => {
    const wrong = [7, "", "{", "null", "[]", "{}", '{"kind":7}', '{"kind":"toString"}', '{"kind":"taken"}'];
    expect(wrong.map(decode)).toEqual(wrong.map(() => null));
  });
});
