// What the planner asks of the server.

import type { Begun, Cards, Kind, Kinds } from "./kinds";
import type {
  BeginClass,
  ClassCard,
  ClassLinks,
  ComingClass,
  GroupLook,
  GroupLookAt,
  LibraryBook,
  Look,
  LookAt,
  Remove,
  RoundLook,
  RoundLookAt,
  Save,
  Saved,
  Unreadable,
  Versioned,
} from "../wire/types";

export interface PlannerServer {
  library(): Promise<LibraryBook>;
  cards<K extends Kind>(kind: K): Promise<Cards[K][]>;
  make<K extends Kind>(kind: K, from: Begun[K], where?: string): Promise<Versioned<Kinds[K]>>;
  read<K extends Kind>(kind: K, id: string): Promise<Versioned<Kinds[K]>>;
  save<K extends Kind>(kind: K, id: string, change: Save<Kinds[K]>): Promise<Saved<Kinds[K]>>;
  remove<K extends Kind>(kind: K, id: string, which: Remove): Promise<Versioned<Kinds[K]>>;
  look(at: LookAt): Promise<Look>;
  lookAtGroup(at: GroupLookAt): Promise<GroupLook>;
  week(): Promise<ComingClass[]>;
  lookAtRound(at: RoundLookAt): Promise<RoundLook>;
  beginClass(id: string, how: Omit<BeginClass, "request">): Promise<ClassLinks>;
  unreadable(): Promise<Unreadable[]>;
  classes(): Promise<ClassCard[]>;
  classLinks(id: string): Promise<ClassLinks>;
}
