import { describe, expect, it } from "vitest";
import { isForSafety, Outbox, type Parcel } from "./outbox";
import { MemoryShelf } from "./shelf";

/** A device whose storage can be full. */
class Device extends MemoryShelf {
  full = false;

  override setItem(name: string, value: string): void {
    if (this.full) throw new Error("full");
    super.setItem(name, value);
  }
}

const done: Parcel = { kind: "seat", id: "1", command: { do: "done", step: 3 } };
const stop: Parcel = { kind: "seat", id: "2", command: { do: "stop", reason: null, whose: "own" } };
let now = 0;
const open = (device: MemoryShelf | null, stay = "a.1") => new Outbox(device, stay, () => ++now);

describe("the outbox", () => {
  it("keeps what was not settled across reloads, in order, for its own place in its own class", () => {
    const device = new Device();
    const outbox = open(device);
    outbox.add(done);
    outbox.add(stop);
    expect(open(device).parcels).toEqual([done, stop]);
    expect(outbox.settle("1")).toBe(true);
    expect(outbox.settle("1")).toBe(false);
    expect(open(device).parcels).toEqual([stop]);
    expect(open(device, "b.1").parcels).toEqual([]);
    expect(open(device, "a.2").parcels).toEqual([]);
    expect(open(device, "a.11").parcels).toEqual([]);
  });

  // Once, while offline, tab A reported and tab B tapped Done; the shelf kept only Done, and then A's battery
  // died.
  it("loses nothing between two tabs", () => {
    const device = new Device();
    const [a, b] = [open(device), open(device)];
    a.add(stop);
    b.add(done);
    expect(open(device).parcels).toEqual([stop, done]);
    b.lookAgain();
    expect(b.parcels, "the other tab sends it too, should the first be gone").toEqual([stop, done]);
    a.settle("2");
    b.lookAgain();
    expect(b.parcels).toEqual([done]);
    expect(open(device).parcels).toEqual([done]);
  });

  it("goes on with a storage that is full, forbidden or holds rubbish, and says what is not kept", () => {
    const device = new Device();
    device.setItem("samebreath.outbox.a.1.x", "[7,null");
    device.setItem("samebreath.outbox.a.1.y", '{"at":1,"parcel":{"kind":"seat"}}');
    const outbox = open(device);
    outbox.add(done);
    expect([outbox.parcels, outbox.isUnkept]).toEqual([[done], false]);
    device.full = true;
    outbox.add(stop);
    expect([outbox.parcels, outbox.isUnkept]).toEqual([[done, stop], true]);
    outbox.lookAgain();
    expect(outbox.parcels, "what only this page has stays").toEqual([done, stop]);
    outbox.settle("2");
    expect(outbox.isUnkept).toBe(false);
    const nowhere = open(null);
    nowhere.add(stop);
    expect([nowhere.parcels, nowhere.isUnkept]).toEqual([[stop], true]);
  });

  it("keeps the order of two taps in one millisecond", () => {
    const device = new Device();
    const outbox = new Outbox(device, "a.1", () => 5);
    outbox.add({ ...stop, id: "z" });
    outbox.add({ ...done, id: "a" });
    expect(new Outbox(device, "a.1", () => 5).parcels.map(({ id }) => id)).toEqual(["z", "a"]);
  });

  it("knows what is for safety", () => {
    expect([done, stop].map(isForSafety)).toEqual([false, true]);
  });
});
