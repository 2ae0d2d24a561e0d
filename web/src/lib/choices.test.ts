import { expect, test } from "vitest";
import { applyChoices, keepChoices, languageOf, recallChoices } from "./choices";
import { ChoicesState } from "./state/choices.svelte";
import { en } from "./messages/en";
import { es } from "./messages/es";

function shelf(kept: Record<string, string> = {}) {
  return {
    kept,
    getItem: (name: string) => kept[name] ?? null,
    setItem: (name: string, text: string) => void (kept[name] = text),
  };
}

test("the first known language of the browser is the first choice", () => {
  expect([languageOf(["es-MX", "en"]), languageOf(["de", "es"]), languageOf(["fr"]), languageOf([])]).toEqual(
    ["es", "es", "en", "en"],
  );
});

test("choices are kept for each name, and the last of the device are the first of a new one", () => {
  const place = shelf();
  const usual = recallChoices(place, "Ann", ["en"]);
  keepChoices(place, "Ann", { ...usual, text: "largest", language: "es" });
  keepChoices(place, "Ben", { ...usual, voice: true });
  expect(recallChoices(place, "Ann", ["en"])).toEqual({ ...usual, text: "largest", language: "es" });
  expect(recallChoices(place, "Cleo", ["en"]).voice).toBe(true);
});

test("what is not understood is as usual", () => {
  const place = shelf({ "samebreath.choices": '{"text":"huge","volume":9,"voice":"yes","contrast":"more"}' });
  const read = recallChoices(place, null, ["en"]);
  expect([read.text, read.volume, read.voice, read.contrast]).toEqual(["usual", 2, false, "more"]);
  expect(recallChoices(shelf({ "samebreath.choices": "{" }), null, ["en"]).text).toBe("usual");
});

test("a choice shows at once, and another language starts the page anew", () => {
  const shown: string[] = [];
  let reloads = 0;
  const place = shelf();
  place.setItem("samebreath.choices.Ann", '{"language":"en","text":"larger"}');
  const state = new ChoicesState(
    place,
    ["en"],
    (now) => shown.push(now.text),
    () => reloads++,
  );
  state.change({ text: "larger" });
  state.meet("Ann");
  state.change({ language: "es" });
  expect([shown, reloads]).toEqual([["usual", "larger", "larger", "larger"], 1]);
  expect(recallChoices(place, "Ann", ["en"]).language).toBe("es");
  expect(
    place.kept["samebreath.choices.Ben"],
    "nothing is kept for a name that chose nothing",
  ).toBeUndefined();
  const root = { dataset: {}, lang: "" } as unknown as HTMLElement;
  applyChoices(root, state.now);
  expect([root.lang, root.dataset["text"]]).toEqual(["es", "larger"]);
});

test("the language chosen at the door goes before what this name had", () => {
  const place = shelf({ "samebreath.choices.Ann": '{"language":"en","voice":true}' });
  const door = new ChoicesState(
    place,
    ["en"],
    () => undefined,
    () => undefined,
  );
  door.change({ language: "es" });
  door.chose("Ann", { language: "es" });
  let reloads = 0;
  const inside = new ChoicesState(
    place,
    ["en"],
    () => undefined,
    () => reloads++,
  );
  inside.meet("Ann");
  expect([inside.now.language, inside.now.voice, reloads]).toEqual(["es", true, 0]);
});

test("a device that keeps nothing does not load the page for ever", () => {
  let reloads = 0;
  const full = {
    getItem: () => null,
    setItem: () => {
      throw new Error("full");
    },
  };
  const state = new ChoicesState(
    full,
    ["en"],
    () => undefined,
    () => reloads++,
  );
  state.change({ language: "es" });
  expect([state.now.language, reloads]).toEqual(["es", 0]);
});

/** Every text of a catalogue, by its path. Functions are called with one, with many and without a number. */
function texts(of: object, path = ""): Map<string, string> {
  const all = new Map<string, string>();
  for (const [key, value] of Object.entries(of)) {
    const at = `${path}.${key}`;
    if (typeof value === "string") all.set(at, value);
    else if (typeof value === "function") {
      for (const sample of [[1, 7], [2, 7], [null]]) {
        all.set(`${at}(${sample.join()})`, String((value as (...of: unknown[]) => unknown)(...sample)));
      }
    } else for (const [deeper, text] of texts(value as object, at)) all.set(deeper, text);
  }
  return all;
}

test("Spanish has every text of the screens, each in its own words", () => {
  const [own, other] = [texts(en), texts(es)];
  const missing = [...own.keys()].filter((path) => !other.has(path));
  expect(missing).toEqual([]);
  const SAME = new Set([
    ".product",
    ".minutesSeconds(1,7)",
    ".minutesSeconds(2,7)",
    ".minutesSeconds()",
    ".checkIn.no",
    ".choices.off",
    ".seat.reached(1,7)",
    ".seat.reached(2,7)",
    ".seat.reached()",
  ]);
  const untranslated = [...own].filter(([path, text]) => other.get(path) === text && !SAME.has(path));
  expect(untranslated).toEqual([]);
});
