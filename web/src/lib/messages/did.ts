// What the planner says of what a group did with a drill, in English.

import type { NotchReason } from "../wire/types";

export const didText = {
  title: "With this group",
  times: (n: number) => (n === 1 ? "1 repetition" : `${n} repetitions`),
  held: (seconds: number) => `${seconds} s held`,
  done: (did: number, asked: number) => `done ${did} of ${asked}`,
  reached: (reached: number, marked: number) => `${reached} of ${marked} reached the target`,
  stopped: (n: number) => `stopped ${n}`,
  effort: (of: number, by: number) => `effort ${of} of 10 (${by} said it)`,
  reports: (n: number) => (n === 1 ? "1 report" : `${n} reports`),
  more: (dose: string) => `One notch more: ${dose}`,
  less: (dose: string) => `One notch less: ${dose}`,
  reps: (n: number) => (n === 1 ? "1 repetition" : `${n} repetitions`),
  sets: (n: number) => (n === 1 ? "1 set" : `${n} sets`),
  hold: (seconds: number) => `hold ${seconds} s`,
  because: {
    reported: "Somebody reported something during it last time.",
    stopped: "A quarter of the group or more stopped during it last time.",
    very_hard: "Last time it was very hard, by the word of a quarter of the group or more.",
    went_well:
      "In the last two classes with it most people did it, nobody stopped or reported anything, and it was not hard.",
  } satisfies Record<NotchReason, string>,
  decides: "This goes by what people tapped. You decide.",
};
