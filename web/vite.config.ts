import { readFileSync } from "node:fs";
import { svelte } from "@sveltejs/vite-plugin-svelte";
import { playwright } from "@vitest/browser-playwright";
import { defineConfig } from "vitest/config";

const BEFORE = readFileSync(new URL("src/before.html", import.meta.url), "utf8");

/** What every page says where its script does not run. */
const before = {
  name: "before",
  transformIndexHtml: (html: string) => html.replace("<!-- before -->", () => BEFORE),
};

/** Tests of components need a real browser: the one that all tests of this project use. */
const COMPONENTS = "src/lib/components/**/*.svelte.test.ts";

export default defineConfig({
  // The program may lie below a path of its host: the server makes the addresses in a page whole.
  base: "./",
  plugins: [svelte(), before],
  build: {
    emptyOutDir: true,
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    rollupOptions: {
      input: ["index.html", "class.html", "desk.html", "wall.html", "planner.html"],
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
});
