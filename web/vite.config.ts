import { svelte } from "@sveltejs/vite-plugin-svelte";
import { defineConfig } from "vitest/config";

export default defineConfig({
  plugins: [svelte()],
  build: {
    emptyOutDir: true,
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    rollupOptions: { input: ["index.html", "class.html", "desk.html", "wall.html", "planner.html"] },
  },
  test: { include: ["src/**/*.test.ts"], environment: "node" },
});
