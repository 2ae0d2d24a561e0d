import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { brotliCompressSync, constants } from "node:zlib";
import { svelte } from "@sveltejs/vite-plugin-svelte";
import { playwright } from "@vitest/browser-playwright";
import type { Plugin } from "vite";
import { defineConfig } from "vitest/config";

const BEFORE = readFileSync(new URL("src/before.html", import.meta.url), "utf8");

/** What every page says where its script does not run. */
const before = {
  name: "before",
  transformIndexHtml: (html: string) => html.replace("<!-- before -->", () => BEFORE),
};

/** Lays each script and style sheet beside itself as small as it gets, which takes too long to do for every request. */
const packed: Plugin = {
  name: "packed",
  writeBundle: ({ dir = "" }, bundle) => {
    for (const name of Object.keys(bundle).filter((file) => /\.(js|css)$/.test(file))) {
      const plain = readFileSync(join(dir, name));
      const params = {
        [constants.BROTLI_PARAM_QUALITY]: constants.BROTLI_MAX_QUALITY,
        [constants.BROTLI_PARAM_SIZE_HINT]: plain.length,
      };
      writeFileSync(join(dir, `${name}.br`), brotliCompressSync(plain, { params }));
    }
  },
};

/**
 * The pages are built in two parts that share no script: what only staff need is then in no file of a participant's
 * page. `vite build` makes the first part, `vite build --mode participants` adds the second.
 */
const STAFF = ["desk.html", "wall.html", "planner.html", "sign-in.html"];
const PARTICIPANTS = ["index.html", "own.html", "class.html"];

/** Tests of components need a real browser: the one that all tests of this project use. */
const COMPONENTS = "src/lib/components/**/*.svelte.test.ts";

export default defineConfig(({ mode }) => ({
  // The program may lie below a path of its host: the server makes the addresses in a page whole.
  base: "./",
  plugins: [svelte(), before, packed],
  build: {
    emptyOutDir: mode !== "participants",
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    rollupOptions: {
      input: mode === "participants" ? PARTICIPANTS : STAFF,
    },
  },
  test: {
    projects: [
      {
        extends: true,
        test: {
          name: "rules",
          include: ["src/**/*.test.ts"],
          exclude: [COMPONENTS],
          environment: "node",
        },
      },
      {
        extends: true,
        test: {
          name: "components",
          include: [COMPONENTS],
          browser: {
            enabled: true,
            headless: true,
            screenshotFailures: false,
            provider: playwright({
              launchOptions: {
                executablePath: "/usr/bin/chromium",
                args: ["--no-sandbox"],
              },
            }),
            instances: [{ browser: "chromium" }],
          },
        },
      },
    ],
  },
}));
