// What stands on a home sheet, in English.

import type { Form } from "../wire/types";

export const sheetEn = {
  title: (name: string) => `${name}: practice at home`,
  from: (day: string) => `From the class on ${day}.`,
  until: (day: string) => `Good until ${day}. After that, ask for a new sheet.`,
  old: "This sheet is old. Ask for a new one before you go on.",
  often: (times: number, days: number) =>
    `${times === 1 ? "Once a day" : times === 2 ? "Twice a day" : `${times} times a day`}, ${days === 7 ? "every day" : days === 1 ? "one day a week" : `${days} days a week`}`,
  eachTime: (dose: string) => `Each time: ${dose}.`,
  reps: (n: number) => (n === 1 ? "once" : `${n} times`),
  sets: (n: number, reps: string) => `${n} rounds, ${reps} in each`,
  each: (n: number, sides: string) => `${n === 1 ? "once" : `${n} times`} each: ${sides}`,
  setRest: (s: number) => `Rest for ${s === 1 ? "1 second" : `${s} seconds`} after each round.`,
  seconds: (s: number) => (s === 1 ? "1 second" : `${s} seconds`),
  upTo: (s: number) => `as long as is good for you, up to ${s === 1 ? "1 second" : `${s} seconds`}`,
  say: "Say",
  needs: (what: string) => `You need: ${what}.`,
  forms: {
    full: "",
    seated: "Stay seated for this.",
    easier: "Do it smaller, and rest more.",
    harder: "",
    mouth_first: "",
    rest: "",
  } satisfies Record<Form, string>,
  mouth: "First make sure that your mouth is empty.",
  caution: "Take care",
  hurtOn: (day: string) =>
    `It hurt on ${day}. Speak with somebody who looks after you before you do this again.`,
  days: ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"],
  tick: "Tick each time that you did it.",
  stopTitle: "Stop when",
  stop: ["it hurts", "you feel dizzy or short of breath", "you cough or choke, or your voice turns hoarse"],
  stopThen: "Rest. If it does not pass, do not go on today, and tell your facilitator.",
  emergency: (number: string | null) =>
    `If you cannot breathe, have pain in your chest, feel faint or suddenly weak: call ${number ?? "your emergency number"} now.`,
  call: "Questions? Call",
  notAdvice: "This sheet was made for you. Nobody else should use it.",
  nothing: "There is nothing for you to do at home at the moment.",
};

export type SheetMessages = typeof sheetEn;
