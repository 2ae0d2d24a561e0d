// What stands on a home sheet, in Spanish.

import type { SheetMessages } from "./sheet-en";

export const sheetEs: SheetMessages = {
  title: (name) => `${name}: práctica en casa`,
  from: (day) => `De la clase del ${day}.`,
  until: (day) => `Válida hasta el ${day}. Después, pida una hoja nueva.`,
  old: "Esta hoja ya no es actual. Pida una nueva antes de seguir.",
  often: (times, days) =>
    `${times === 1 ? "Una vez al día" : times === 2 ? "Dos veces al día" : `${times} veces al día`}, ${days === 7 ? "todos los días" : days === 1 ? "un día a la semana" : `${days} días a la semana`}`,
  eachTime: (dose) => `Cada vez: ${dose}.`,
  reps: (n) => (n === 1 ? "una vez" : `${n} veces`),
  sets: (n, reps) => `${n} series, ${reps} en cada una`,
  each: (n, sides) => `${n === 1 ? "una vez" : `${n} veces`} cada una: ${sides}`,
  setRest: (s) => `Descanse ${s === 1 ? "1 segundo" : `${s} segundos`} después de cada serie.`,
  seconds: (s) => (s === 1 ? "1 segundo" : `${s} segundos`),
  upTo: (s) => `el tiempo que le vaya bien, hasta ${s === 1 ? "1 segundo" : `${s} segundos`}`,
  say: "Diga",
  needs: (what) => `Necesita: ${what}.`,
  forms: {
    full: "",
    seated: "Hágalo sentado o sentada.",
    easier: "Hágalo más pequeño y descanse más.",
    harder: "",
    mouth_first: "",
    rest: "",
  },
  mouth: "Primero compruebe que tiene la boca vacía.",
  caution: "Cuidado",
  hurtOn: (day) => `Le dolió el ${day}. Hable con alguien de su equipo antes de volver a hacerlo.`,
  days: ["lun", "mar", "mié", "jue", "vie", "sáb", "dom"],
  tick: "Marque cada vez que lo haya hecho.",
  stopTitle: "Pare si",
  stop: ["le duele", "se marea o le falta el aire", "tose, se atraganta o se le pone ronca la voz"],
  stopThen: "Descanse. Si no se le pasa, no siga hoy y dígaselo a quien dirige su clase.",
  emergency: (number) =>
    `Si no puede respirar, le duele el pecho, siente que se va a desmayar o pierde fuerza de repente: llame ahora ${number === null ? "a su número de emergencias" : `al ${number}`}.`,
  call: "¿Preguntas? Llame al",
  notAdvice: "Esta hoja es solo para usted. No la use otra persona.",
  nothing: "Por ahora no hay nada que hacer en casa.",
};
