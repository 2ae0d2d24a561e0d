import { expect, test } from "vitest";
import { browserShelf, forgiving, MemoryShelf } from "./shelf";
import { pageOf, stayIn } from "./stay";

/** A browser that blocks its storage throws as soon as the storage is touched. */
const blocked = () => {
  throw new Error("The operation is insecure.");
};

test("a page works where storage is blocked, and forgets with itself", () => {
  expect(browserShelf(blocked)).toBeNull();
  const shelf = forgiving(browserShelf(blocked));
  shelf.setItem("a", "1");
  expect([shelf.getItem("a"), shelf.getItem("b"), shelf.names()]).toEqual(["1", null, ["a"]]);
  shelf.removeItem("a");
  expect(shelf.getItem("a")).toBeNull();
});

test("what the device cannot keep any more is kept by the page", () => {
  const device = new MemoryShelf();
  let full = false;
  const shelf = forgiving({
    getItem: (name) => device.getItem(name),
    removeItem: (name) => device.removeItem(name),
    names: () => device.names(),
    setItem: (name, text) => {
      if (full) throw new Error("full");
      device.setItem(name, text);
    },
  });
  shelf.setItem("a", "old");
  full = true;
  shelf.setItem("a", "new");
  expect([shelf.getItem("a"), device.getItem("a")]).toEqual(["new", "old"]);
  full = false;
  shelf.setItem("a", "newest");
  expect([shelf.getItem("a"), device.getItem("a"), shelf.names()]).toEqual(["newest", "newest", ["a"]]);
});

test("an address names a place in a session, or none", () => {
  const stay = "0190aaaaaaaa7000800000000000000f.12";
  expect(stayIn(pageOf("seat", stay))).toBe(stay);
  expect(stayIn(pageOf("helper", stay.replace("12", "helper")))).toBe(stay.replace("12", "helper"));
  for (const other of ["/class", "/class/", "/class/x", `/class/${stay}x`, "/"])
    expect(stayIn(other)).toBeNull();
});
