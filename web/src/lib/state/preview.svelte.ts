// Plays one drill on this screen's own clock: what a class screen would show, without a class.

import { on, stageAlone, wholeSeconds } from "../player";
import type { Content, Stage } from "../wire/types";
import type { Scene } from "../player";

export class Preview {
  scene = $state.raw<Scene | null>(null);
  stage = $state.raw<Stage | null>(null);
  #content: Content | null = null;
  #from = 0;

  constructor(private readonly now: () => number) {}

  play(content: Content): void {
    this.#content = content;
    this.#from = this.now() + content.timeline.ready_ms;
    const move = { at: 0, step: content.id, rev: content.rev, offset_ms: 0, running: true, stretch: [] };
    this.stage = stageAlone([move], 0);
    this.tick();
  }

  stop(): void {
    this.#content = null;
    this.scene = null;
    this.stage = null;
  }

  /** Draws this instant, if it differs from the last one drawn. */
  tick(): void {
    const { stage } = this;
    const content = this.#content;
    const move = stage?.moves[0];
    if (!content || !move) return;
    const offsetMs = this.now() - this.#from;
    const what = on(content.timeline, offsetMs);
    const leftMs = what.kind === "ready" || what.kind === "span" ? what.leftMs : null;
    const seconds = leftMs === null ? null : wholeSeconds(leftMs);
    const place = what.kind === "span" ? what.index : what.kind;
    const before = this.scene?.on;
    const placeBefore = before?.kind === "span" ? before.index : before?.kind;
    if (place === placeBefore && seconds === this.scene?.seconds) return;
    const at = { move, offsetMs, paused: false, resumesInMs: null };
    this.scene = { content, way: "", timeline: content.timeline, at, on: what, seconds, resumesIn: null };
  }
}
