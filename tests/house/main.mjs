// Draws the structure of the source: the files in each folder, arrows between the parts of each folder, the largest
// files and the longest functions. Fails if two parts of a folder use each other, directly or through others, or if a
// file is too long. `node tests/house/main.mjs` prints everything; with `--quiet`, only what is wrong.

import { readFileSync, readdirSync, statSync } from "node:fs";
import { dirname, join, relative } from "node:path";
import { fileURLToPath } from "node:url";

import { rustFunctions, rustImports, webImports } from "./imports.mjs";

const TOP = join(dirname(fileURLToPath(import.meta.url)), "../..");
const MOST_LINES = 400;
const LONGEST_FUNCTION = 60;
const CRATES = ["core", "wire", "store", "app"].map((crate) => `server/${crate}/src`);
const quiet = process.argv.includes("--quiet");

function filesIn(folder, wanted) {
  return readdirSync(join(TOP, folder)).flatMap((name) => {
    const path = `${folder}/${name}`;
    if (statSync(join(TOP, path)).isDirectory()) return filesIn(path, wanted);
    return wanted.test(name) ? [path] : [];
  });
}

const read = (path) => readFileSync(join(TOP, path), "utf8");

/** The circles of a graph, each once: its strongly connected components with more than one node (Tarjan 1972). */
function circles(arrows) {
  const found = [];
  const [index, low, stack, on] = [new Map(), new Map(), [], new Set()];
  const visit = (node) => {
    index.set(node, index.size);
    low.set(node, index.get(node));
    stack.push(node);
    on.add(node);
    for (const next of arrows.get(node) ?? []) {
      if (!index.has(next)) visit(next);
      if (on.has(next)) low.set(node, Math.min(low.get(node), low.get(next)));
    }
    if (low.get(node) !== index.get(node)) return;
    const part = stack.splice(stack.indexOf(node));
    part.forEach((member) => on.delete(member));
    if (part.length > 1) found.push(part.sort());
  };
  for (const node of arrows.keys()) if (!index.has(node)) visit(node);
  return found;
}

/** The arrows between the parts (files and folders) of one folder. */
function arrowsWithin(folder, uses) {
  const partOf = (file) => (file.startsWith(`${folder}/`) ? file.slice(folder.length + 1).split("/")[0] : null);
  const arrows = new Map();
  for (const [from, to] of uses) {
    const [one, other] = [partOf(from), partOf(to)];
    if (one === null || other === null || one === other) continue;
    arrows.set(one, (arrows.get(one) ?? new Set()).add(other));
  }
  return arrows;
}

const wrong = [];
const say = (line) => quiet || console.log(line);

function draw(root, files, uses) {
  const folders = new Set(files.flatMap((file) => {
    const parents = [];
    for (let at = dirname(file); at.length >= root.length; at = dirname(at)) parents.push(at);
    return parents;
  }));
  for (const folder of [...folders].sort()) {
    const own = files.filter((file) => dirname(file) === folder);
    const lines = own.map((file) => read(file).split("\n").length - 1);
    say(`${relative(root, folder) || root}: ${own.length} files, ${lines.reduce((a, b) => a + b, 0)} lines`);
    const arrows = arrowsWithin(folder, uses);
    for (const [part, used] of [...arrows].sort()) say(`    ${part} uses ${[...used].sort().join(", ")}`);
    for (const circle of circles(arrows)) wrong.push(`${folder}: ${circle.join(", ")} use each other in a circle`);
  }
  for (const file of files) {
    const lines = read(file).split("\n").length - 1;
    if (lines > MOST_LINES && !file.endsWith("wire/types.ts")) wrong.push(`${file} has ${lines} lines; at most ${MOST_LINES}`);
  }
}

for (const root of CRATES) {
  const files = filesIn(root, /\.rs$/);
  say(`\n== ${root}`);
  draw(root, files, rustImports(root, files, read));
  const functions = files.flatMap((file) => rustFunctions(read(file)).map((found) => ({ ...found, file })));
  const longest = functions.sort((a, b) => b.lines - a.lines).filter(({ lines }, i) => i < 3 || lines > LONGEST_FUNCTION);
  for (const { name, lines, file } of longest) say(`  ${name}: ${lines} lines (${relative(root, file)})`);
}
const web = filesIn("web/src", /\.(ts|svelte)$/).filter((file) => !/\.test\.ts$/.test(file));
say("\n== web/src");
draw("web/src", web, webImports(web, read));

for (const line of wrong) console.log(line);
if (wrong.length > 0) process.exitCode = 1;
