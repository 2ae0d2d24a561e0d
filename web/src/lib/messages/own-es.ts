// What a person reads on their own page, in Spanish.

import type { OwnMessages } from "./own-en";

export const ownEs: OwnMessages = {
  shared: "Otras personas usan también este dispositivo",
  sharedNote: "Así no queda nada suyo en él, y usted dice cuándo ha terminado.",
  hello: (hour, name) =>
    `${hour < 12 ? "Buenos días" : hour < 20 ? "Buenas tardes" : "Buenas noches"}, ${name}.`,
  isOn: "Su clase está abierta.",
  comeIn: "Entrar",
  next: "Su próxima clase",
  noClass: "Por ahora no hay ninguna clase prevista para usted.",
  opens: (time) => `Se abre a las ${time}. Deje esta página abierta: seguirá por sí sola.`,
  cancelled: (why) => `No hay clase: ${why}`,
  moved: "no a la hora de siempre",
  cannotCome: "No puedo ir",
  canCome: "Al final sí puedo ir",
  absent: "Ha dicho que no puede venir.",
  practice: "Practicar en casa",
  then: "Después",
  ended: "Este enlace ya no sirve.",
  endedNote: "Pida uno nuevo a quien dirige la clase, o entre con el código de la clase.",
  useCode: "Escribir el código",
  place: (name, title) => `${name} · ${title}`,
  sending: "Algo que ha dicho está aún en camino. Vuelva a su clase y espere un momento.",
  failed: "No ha funcionado. Compruebe su conexión e inténtelo de nuevo.",
};
