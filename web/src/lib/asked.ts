// What the class screen asks of a person just now, in the picture's place.

import { waitsForLead } from "./player";
import type { SeatState } from "./state/seat.svelte";
import type { LiveSession } from "./state/session.svelte";

/** How far they got, a clue's word, or nothing but a note to read; null where the picture stays. */
export type Asked = "how_far" | "word" | "note" | null;

/** `mayAnswer` and `mayRead` say whether the class is in a step that asks, and whether nothing is held or moved. */
export function askedOf(session: LiveSession, seat: SeatState, mayAnswer: boolean, mayRead: boolean): Asked {
  const { scene, stage, clue } = session;
  if (mayAnswer && scene) {
    if (asksHowFar(session, seat)) return "how_far";
    if (clue && stage && mayAnswerClue(session)) return "word";
  }
  return seat.mine?.message && mayRead ? "note" : null;
}

/** Whether to ask how far they got: after an open hold, of whoever did it. */
function asksHowFar({ scene }: LiveSession, seat: SeatState): boolean {
  const hasMarks = scene?.timeline.spans.some((span) => span.marks !== null) ?? false;
  return seat.isDone && hasMarks && seat.mine !== null && seat.far === null && scene?.on.kind === "over";
}

/** Whether a clue may be answered: it is on the screen, and somebody is leading the round. */
export function mayAnswerClue({ scene, stage, clue, clueSeconds }: LiveSession): boolean {
  if (!scene || !stage || !clue || scene.content.kind !== "clues" || clue.answer !== null) return false;
  return !waitsForLead(stage.lead_lost, scene.at, scene.on, (clueSeconds ?? 0) > 0);
}
