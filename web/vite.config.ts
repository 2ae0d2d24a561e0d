import { readFileSync } from "node:fs";
import { svelte } from "@sveltejs/vite-plugin-svelte";
import { defineConfig } from "vitest/config";

const BEFORE = readFileSync(new URL("src/before.html", import.meta.url), "utf8");

/** What every page says where its script does not run. */
const before = {
  name: "before",
  transformIndexHtml: (html: string) => html.replace("<!-- before -->", () => BEFORE),
};

export default defineConfig({
  // The program may lie below a path of its host: the server makes the addresses in a page whole.
  base: "./",
  plugins: [svelte(), before],
  build: {
    emptyOutDir: true,
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    rollupOptions: { input: ["index.html", "class.html", "desk.html", "wall.html", "planner.html"] },
  },
  test: { include: ["src/**/*.test.ts"], environment: "node" },
});
