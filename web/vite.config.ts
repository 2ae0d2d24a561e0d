import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { brotliCompressSync, constants } from "node:zlib";
import { svelte } from "@sveltejs/vite-plugin-svelte";
import { playwright } from "@vitest/browser-playwright";
import type { Plugin, Rolldown } from "vite";
import { VitePWA } from "vite-plugin-pwa";
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
 * The pages are built in three parts that share no script: what only staff need is then in no file of a participant's page,
 * and the class screen has nothing of practice at home. `vite build` makes the first part; the modes `participants` and
 * `practice` add one each.
 */
const STAFF = ["desk.html", "wall.html", "planner.html", "sign-in.html"];
const PARTICIPANTS = ["index.html", "own.html", "class.html"];
const PRACTICE = ["practice.html"];

/** What the practice page is made of, by name: its worker keeps these files on the device and no others. */
const ofPractice = new Set(["practice.html", "before.css", "icon.svg"]);
const practiceFiles: Plugin = {
  name: "practice-files",
  generateBundle: (_, bundle) => {
    const add = (name: string): void => {
      const file = bundle[name];
      if (!file || ofPractice.has(name)) return;
      ofPractice.add(name);
      if (file.type !== "chunk") return;
      file.imports.forEach(add);
      file.viteMetadata?.importedCss.forEach((css) => ofPractice.add(css));
      file.viteMetadata?.importedAssets.forEach((asset) => ofPractice.add(asset));
    };
    const isPage = (file: Rolldown.OutputAsset | Rolldown.OutputChunk): boolean =>
      file.type === "chunk" && file.facadeModuleId?.endsWith("practice.html") === true;
    Object.values(bundle)
      .filter(isPage)
      .forEach((file) => add(file.fileName));
  },
};

/** The practice page's worker. It is not for other pages, so nothing is written into them. */
const worker = VitePWA({
  strategies: "injectManifest",
  srcDir: "src",
  filename: "sw.ts",
  injectRegister: false,
  manifest: false,
  injectManifest: {
    globPatterns: ["practice.html", "before.css", "icon.svg", "assets/*.{js,css,woff2}"],
    dontCacheBustURLsMatching: /^assets\//,
    manifestTransforms: [
      (entries) => ({ manifest: entries.filter(({ url }) => ofPractice.has(url)), warnings: [] }),
    ],
  },
});

/** Tests of components need a real browser: the one that all tests of this project use. */
const COMPONENTS = "src/lib/components/**/*.svelte.test.ts";

export default defineConfig(({ mode }) => ({
  // The program may lie below a path of its host: the server makes the addresses in a page whole.
  base: "./",
  plugins: [svelte(), before, packed, ...(mode === "practice" ? [practiceFiles, worker] : [])],
  build: {
    emptyOutDir: mode !== "participants" && mode !== "practice",
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    rollupOptions: {
      input: mode === "practice" ? PRACTICE : mode === "participants" ? PARTICIPANTS : STAFF,
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
