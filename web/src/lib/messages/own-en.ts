// What a person reads on their own page, in English.

export const ownEn = {
  shared: "Others use this device too",
  sharedNote: "Then nothing of yours stays on it, and you say when you are done.",
  hello: (hour: number, name: string) =>
    `${hour < 12 ? "Good morning" : hour < 18 ? "Good afternoon" : "Good evening"}, ${name}.`,
  isOn: "Your class is on.",
  comeIn: "Come in",
  next: "Your next class",
  noClass: "No class is planned for you at the moment.",
  opens: (time: string) => `It opens at ${time}. Leave this page open: it goes on by itself.`,
  cancelled: (why: string) => `There is no class: ${why}`,
  moved: "not at the usual time",
  cannotCome: "I can’t come",
  canCome: "I can come after all",
  absent: "You said that you can’t come.",
  then: "After that",
  practice: "Practice at home",
  ended: "This link no longer works.",
  endedNote: "Ask your facilitator for a new one, or come in with the class’s code.",
  useCode: "Type the code",
  place: (name: string, title: string) => `${name} · ${title}`,
  sending: "Something you said is still on its way. Go back to your class and wait a moment.",
  failed: "That did not work. Check your network and try again.",
};

export type OwnMessages = typeof ownEn;
