// What staff read on the page with the home sheets of a class, in English.

export const sheetsPageText = {
  open: "Home sheets",
  title: "Home sheets of the class",
  back: "To the start",
  loading: "Reading the sheets …",
  failed: "The sheets could not be read. Go back and try again.",
  paper: "Paper",
  print: (n: number) => (n === 1 ? "Print one sheet" : `Print ${n} sheets`),
  note: "Each has what the class was given to take home, in that person's form and dose as they are set now. Whether somebody is to practise at home is for a clinician to decide; check each sheet before you hand it out.",
  nothing: "The class was given nothing to take home, or nothing of it is for anybody.",
  without: (names: string) => `Without a sheet: ${names}.`,
  leftOut: (titles: string) =>
    `Not on this sheet: ${titles}. It is not for this person, is over a limit that was set for them, is not in the library any more, or the class is of an earlier version of this program.`,
};
