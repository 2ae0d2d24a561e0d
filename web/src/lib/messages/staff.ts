// What staff read about accounts and signing in, in English.

import type { StaffRole } from "../wire/types";

export const staffText = {
  product: "Samebreath",
  /** Signing in. */
  signIn: "Sign in",
  signInName: "Sign-in name",
  password: "Password",
  show: "Show the password",
  code: "Code from your app",
  codeNote: "Six digits, new every half minute.",
  forgot: "I cannot sign in",
  forgotNote:
    "With one of your recovery codes you choose a new password here. Without one, ask a coordinator for a link, or whoever runs the server: `samebreath account reset NAME`.",
  recoveryCode: "Recovery code",
  newPassword: "New password",
  passwordNote:
    "At least 15 characters. Four or five words that do not belong together are easy to keep in mind.",
  recover: "Choose this password",
  backToSignIn: "Back to signing in",
  working: "One moment.",
  failed: "The server cannot be reached. Nothing is lost; try again.",
  deadLink: "This link has been used, or it is too old. Ask for a new one, or sign in.",
  /** The first account, and a password by a link. */
  first: "Begin",
  firstNote:
    "You make the first account. It is a coordinator's: you will invite your colleagues, and say which groups are theirs.",
  yourName: "Your name, as colleagues call you",
  isClinician: "I am a licensed clinician",
  isColleagueClinician: "This person is a licensed clinician",
  clinicianNote: "Only clinicians’ accounts set precautions and decide who may do what.",
  clinicianTitle: "Title",
  licence: "Licence or registration",
  makeAccount: "Make the account",
  welcome: (name: string) => `Hello ${name}`,
  choosePassword: "Choose this password",
  signsInAs: (name: string) => `signs in as ${name}`,
  signInAs: (name: string) => `You will sign in as ${name}.`,
  /** Recovery codes. */
  codes: "Your recovery codes",
  codesNote:
    "Each lets you in once when you cannot sign in. Print them, or write them down, and keep them where you keep keys. They are shown only now.",
  print: "Print them",
  kept: "I have saved them",
  /** The bar at the top. */
  staffPages: "Pages",
  today: "Today",
  staff: "Staff",
  sums: "For funders",
  whatIsKept: "What is kept",
  account: "Your account",
  /** One's own account. */
  roles: {
    coordinator: "Coordinator",
    facilitator: "Facilitator",
    helper: "Helper",
  } satisfies Record<StaffRole, string>,
  clinician: "Clinician",
  trial: "This is a trial: nobody signs in here, and everybody who has the link may do everything.",
  changePassword: "Change the password",
  passwordNow: "Current password",
  change: "Change it",
  changed: "The password is changed. Other browsers are signed out.",
  second: "Second factor",
  secondOn: "A code from an app is asked for when you sign in.",
  secondOff:
    "With a second factor, nobody gets in who has only your password. You need an app for one-time codes on your phone.",
  setUpSecond: "Set it up",
  secondSecret: "Let the app read this square, or type the secret into it:",
  secondQr: "QR code of the secret for the app",
  openInApp: "Open it in an app on this device",
  turnOn: "Turn it on",
  turnOff: "Turn it off",
  alreadyIn: "I am signed in here already",
  signInWith: (provider: string) => `Sign in with ${provider}`,
  identity: "Your organisation’s sign-in",
  identityNote: (provider: string) =>
    `Once it is linked, you can sign in here with ${provider}. Keep your password all the same: it is your way in when ${provider} does not answer, and it is asked for before what cannot be undone.`,
  identityLinked: (since: string, used: string | null) =>
    `Linked since ${since}; ${used === null ? "not used yet" : `last used ${used}`}.`,
  linkIdentity: (provider: string) => `Link with ${provider}`,
  unlinkIdentity: "End the link",
  passkeys: "Passkeys",
  passkeysNote:
    "With a passkey you sign in by your device’s own lock: a fingerprint, your face or its PIN. Nobody can steal it from you by asking, and no code is asked for besides. Keep your password and recovery codes all the same.",
  passkeyCannot:
    "This browser makes no passkeys here. It needs a newer browser, and https or this machine itself.",
  noPasskeys: "None yet.",
  passkeyName: "What you call it, such as your laptop",
  makePasskey: "Make a passkey on this device",
  removePasskey: (name: string) => `Remove the passkey ${name}`,
  usePasskey: "Use a passkey",
  passkeyNot: "nothing was signed: the device did not answer, or you stopped it",
  passkeyUsed: (when: string | null) => (when === null ? "not used yet" : `last used ${when}`),
  codesLeft: (n: number) => (n === 1 ? "1 recovery code is left." : `${n} recovery codes are left.`),
  newCodes: "Make new codes",
  newCodesNote: "New codes take the place of all that you have.",
  browsers: "Where you are signed in",
  thisBrowser: "this browser",
  lastUsed: (when: string) => `last used ${when}`,
  unknownDevice: "A browser that does not say what it is",
  signOut: "Sign out",
  signOutOne: (device: string) => `Sign out: ${device}`,
  signOutOthers: "Sign out everywhere else",
  left: "You are signed out.",
  signedOut: "You are signed out. What you have not saved is kept in this browser.",
  /** Proving again who one is. */
  again: "To go on, enter your password again",
  goOn: "Go on",
  notNow: "Not now",
  /** Everybody's accounts. */
  staffNote:
    "Coordinators run groups, people and accounts. Facilitators plan and lead. Helpers watch the people of a class. Being a clinician is a property of an account.",
  invite: "Invite a colleague",
  name: "Name",
  role: "Role",
  makeLink: "Make a link",
  linkFor: (name: string) => `Give this link to ${name}. It opens once, for a day, and is shown only now:`,
  copy: "Copy it",
  noPassword: "has not chosen a password yet",
  hasSecond: "second factor",
  ended: "ended",
  edit: (name: string) => `Change ${name}`,
  save: "Save",
  cancel: "Cancel",
  newLink: (name: string) => `A new link for ${name}`,
  end: (name: string) => `End ${name}’s account`,
  endSure: "Yes, end it",
  keepAccount: "Keep it",
  /** To whom a group is entrusted. */
  entrusted: "Entrusted to",
  entrustedToAll: "To nobody in particular: all staff plan and lead this group.",
  entrustedNote:
    "Only they see this group and its people, besides coordinators, who see no health notes of it.",
  goneColleague: "Somebody who is not here any more",
  healthHidden:
    "Precautions and decisions are seen only by the staff to whom this person’s groups are entrusted.",
  notClinician: "Only clinicians’ accounts set precautions and decide.",
  behind: "Somebody else changed this account first. Here is how it is now.",
};

/** What the server says, as a sentence. */
export function asSentence(text: string): string {
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}.`;
}

/** What a browser calls itself, in words that help to tell it from another. */
export function deviceText(agent: string): string {
  const browsers: [RegExp, string][] = [
    [/Firefox\//, "Firefox"],
    [/Edg\//, "Edge"],
    [/OPR\//, "Opera"],
    [/Chrom(e|ium)\//, "Chrome"],
    [/Safari\//, "Safari"],
  ];
  const systems: [RegExp, string][] = [
    [/Android/, "Android"],
    [/iPhone|iPad/, "iOS"],
    [/Windows/, "Windows"],
    [/Mac OS X/, "macOS"],
    [/Linux/, "Linux"],
  ];
  const found = (of: [RegExp, string][]) => of.find(([known]) => known.test(agent))?.[1];
  const words = [found(browsers), found(systems)].filter((word) => word !== undefined);
  return words.length > 0 ? words.join(", ") : staffText.unknownDevice;
}
