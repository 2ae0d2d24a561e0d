import { describe, expect, it } from "vitest";
import { isForSafety, Outbox, type Parcel, type Shelf } from "./outbox";

class Memory implements Shelf {
  readonly items = new Map<string, string>();
  full = false;

  getItem(name: string): string | null {
    return this.items.get(name) ?? null;
  }

  setItem(name: string, value: string): void {
    if (this.full) throw new Error("full");
    this.items.set(name, value);
  }
}

const done: Parcel = { kind: "seat", id: "1", command: { do: "done", step: 3 } };
const stop: Parcel = { kind: "seat", id: "2", command: { do: "stop", reason: null, whose: "own" } };

describe("the outbox", () => {
  it("keeps what was not settled across reloads, in order", () => {
    const shelf = new Memory();
    const outbox = new Outbox(shelf, "o");
    outbox.add(done);
    outbox.add(stop);
    expect(new Outbox(shelf, "o").parcels).toEqual([done, stop]);
    expect(outbox.settle("1")).toBe(true);
    expect(outbox.settle("1")).toBe(false);
    expect(new Outbox(shelf, "o").parcels).toEqual([stop]);
    expect(new Outbox(shelf, "another").parcels).toEqual([]);
  });

  it("survives storage that is full, forbidden or holds rubbish", () => {
    const shelf = new Memory();
    shelf.items.set("o", '[{"kind":"seat"},7,null');
    expect(new Outbox(shelf, "o").parcels).toEqual([]);
    shelf.items.set("o", `[7,null,{"kind":"seat"},${JSON.stringify(done)}]`);
    const outbox = new Outbox(shelf, "o");
    expect(outbox.parcels).toEqual([done]);
    shelf.full = true;
    outbox.add(stop);
    expect(outbox.parcels).toEqual([done, stop]);
  });

  it("knows what is for safety", () => {
    expect([done, stop].map(isForSafety)).toEqual([false, true]);
  });
});
