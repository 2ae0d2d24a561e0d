// Finds which file uses which, reading the source as text.

import { dirname, normalize } from "node:path";

/** Splits `a::{b, c::{d, e}}` into its paths. */
function leaves(prefix, tree) {
  const items = [];
  let [depth, item] = [0, ""];
  for (const char of tree) {
    if (char === "{") depth += 1;
    if (char === "}") depth -= 1;
    if (char === "," && depth === 0) {
      items.push(item);
      item = "";
    } else item += char;
  }
  return [...items, item]
    .map((text) => text.trim().replace(/\s+as\s+\w+$/, ""))
    .filter((text) => text !== "")
    .flatMap((text) => {
      const group = /^([\w:]*)\{([^]*)\}$/.exec(text);
      return group ? leaves(prefix + group[1], group[2]) : [prefix + text];
    });
}

/** The code of a Rust file without its comments and test module. */
const code = (text) => text.replace(/\/\/.*|pub\(in [^)]*\)/g, "").split("#[cfg(test)]\nmod")[0];

/** Pairs of files in a crate, of which the first uses the second. */
export function rustImports(root, files, read) {
  const modules = new Map();
  for (const file of files) {
    const path = file.slice(root.length + 1, -3).split("/");
    if (path.at(-1) === "mod") path.pop();
    if (!["lib", "main"].includes(path.join())) modules.set(path.join("::"), file);
  }
  const fileOf = (path) => {
    for (let parts = path.split("::"); parts.length > 0; parts = parts.slice(0, -1)) {
      const file = modules.get(parts.join("::"));
      if (file !== undefined) return file;
    }
    return null;
  };
  return files.flatMap((file) => {
    const text = code(read(file));
    const used = [...text.matchAll(/\buse\s+crate::([^;]*);/g)].flatMap(([, tree]) => leaves("", tree));
    const inline = [...text.matchAll(/\bcrate::([\w:]+)/g)].map(([, path]) => path);
    return [...used, ...inline]
      .map((path) => fileOf(path.replace(/::$/, "")))
      .filter((other) => other !== null && other !== file)
      .map((other) => [file, other]);
  });
}

/** Pairs of files in the web part, of which the first imports the second or its types. */
export function webImports(files, read) {
  const known = new Set(files);
  const ends = ["", ".ts", ".svelte", ".svelte.ts", "/index.ts"];
  return files.flatMap((file) =>
    [...read(file).matchAll(/(?:from|import)\s*\(?\s*["'](\.[^"']*)["']/g)]
      .map(([, path]) => normalize(`${dirname(file)}/${path}`))
      .map((path) => ends.map((end) => path + end).find((candidate) => known.has(candidate)))
      .filter((other) => other !== undefined && other !== file)
      .map((other) => [file, other]),
  );
}

/** The functions of a Rust file, found by its formatting, with their lengths. */
export function rustFunctions(text) {
  const lines = text.split("\n");
  return lines.flatMap((line, start) => {
    const found = /^(\s*)(?:pub(?:\([^)]*\))? )?(?:const |async )*fn (\w+)/.exec(line);
    if (found === null) return [];
    const end = lines.findIndex((later, index) => index >= start && later === `${found[1]}}`);
    return end < 0 ? [] : [{ name: found[2], lines: end - start + 1 }];
  });
}
