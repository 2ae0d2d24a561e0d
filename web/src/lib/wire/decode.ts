// Reads what the server sent. Anything from the network is unknown until it has passed through here.

import type { ServerMessage } from "./types";

/** The parts that each kind of message must have. */
const PARTS: Record<ServerMessage["kind"], readonly string[]> = {
  welcome: ["role", "clock_id"],
  clock: ["sent_ms", "received_ms", "answered_ms", "clock_id"],
  stage: ["stage"],
  mine: ["mine"],
  desk: ["desk"],
  taken: ["id"],
  refused: ["id", "code", "text"],
  not_recording: ["now"],
  restart: ["in_ms"],
};

/** The message in a text frame; null when this page does not know such a message. */
export function decode(text: unknown): ServerMessage | null {
  if (typeof text !== "string") return null;
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    return null;
  }
  if (typeof value !== "object" || value === null || !("kind" in value)) return null;
  const kind = value.kind;
  if (typeof kind !== "string" || !Object.hasOwn(PARTS, kind)) return null;
  const parts = PARTS[kind as ServerMessage["kind"]];
  return parts.every((part) => part in value) ? (value as ServerMessage) : null;
}
