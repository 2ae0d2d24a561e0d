// What staff read about lasting links, in English; and what is given to a person with a link, in the person's language.

import type { Language } from "../choices";
import type { Medium } from "../wire/types";

export const linksText = {
  links: "Links",
  note: "Each works again and again, and only for this person. Make one for each place where it will be kept, so that you can end one and leave the others.",
  calendars: "Your calendar",
  calendarsNote:
    "An address that your calendar program fetches every few hours. It shows the classes of your groups, and opens nothing.",
  media: {
    paper: "On a card",
    mail: "In a message",
    tablet: "On their own device",
    care_partner: "With somebody who helps",
    calendar: "In a calendar",
  } satisfies Record<Medium, string>,
  none: "No link yet.",
  newLink: "New link",
  make: "Make it",
  made: (day: string) => `made ${day}`,
  used: (day: string) => `last used ${day}`,
  neverUsed: "not used yet",
  devices: (n: number) => (n === 1 ? "on one device" : `on ${n} devices`),
  end: (medium: string) => `End it: ${medium}`,
  endSure: "End it",
  keep: "Keep it",
  endNote: "Whoever came by this link is out at once, and it never works again.",
  shownOnce: "Shown only now; it closes by itself after two minutes.",
  copy: "Copy the link",
  copyText: "Copy a message",
  copied: "Copied",
  printCard: "Print a card",
  close: "Close",
  mailTo: (address: string) => `Send it to ${address}`,
  letters: "Mail",
  letter: { link: "Their link", cancelled: "A cancelled class" },
  letterState: { waits: "on its way", sent: "taken by the mail server", failed: "not delivered" },
  letterAgain: "it is tried again",
  mailCancelled: "Tell them by mail",
  mailed: (posted: number, again: number, without: string[]) =>
    [
      posted > 0 ? `${posted} ${posted === 1 ? "letter is" : "letters are"} on the way.` : "",
      again > 0 ? `${again} had been asked for today already.` : "",
      without.length > 0 ? `No mail address: ${without.join(", ")}. Tell them another way.` : "",
    ]
      .filter(Boolean)
      .join(" ") || "Nobody is in this group.",
  language: "Language of the message and the card",
  qr: (name: string) => `QR code of the link for ${name}`,
  calendarNote: "Give this address to a calendar program as one to subscribe to.",
};

export interface CardWords {
  title: (name: string) => string;
  how: string;
  when: string;
  weekly: (day: string, time: string) => string;
  call: string;
  help: string;
  own: string;
  message: (name: string, link: string) => string;
}

export const cardText: Record<Language, CardWords> = {
  en: {
    title: (name) => `${name}: your way into the class`,
    how: "Point the camera of your tablet or telephone at this square, and touch the address that appears. It works every time. There is nothing to remember.",
    when: "When",
    weekly: (day, time) => `${day} at ${time}`,
    call: "Video call",
    help: "Telephone, if it does not work",
    own: "This card opens your place in the class. Give it to nobody else; if it is lost, tell us, and we end it.",
    message: (name, link) =>
      `Hello ${name}, this link opens your place in the class: ${link}\nIt works every time. Keep this message, and pass the link to nobody else.`,
  },
  es: {
    title: (name) => `${name}: su entrada a la clase`,
    how: "Apunte con la cámara de su tableta o teléfono a este cuadrado y toque la dirección que aparece. Sirve siempre. No hay nada que recordar.",
    when: "Cuándo",
    weekly: (day, time) => `${day} a las ${time}`,
    call: "Videollamada",
    help: "Teléfono, si no funciona",
    own: "Esta tarjeta abre su lugar en la clase. No se la dé a nadie más; si la pierde, avísenos y la anulamos.",
    message: (name, link) =>
      `Hola, ${name}: este enlace abre su lugar en la clase: ${link}\nSirve siempre. Guarde este mensaje y no pase el enlace a nadie más.`,
  },
};
