// How many clicks and fields it takes from the first run to people who are invited and a class that is open, by somebody who
// takes the shortest way that the pages show: `node tests/first-use.mjs`. It prints them, and asserts nothing.

import { House } from "./browser/people.mjs";
import { INES } from "./staff.mjs";

const house = await House.open("serve");
const page = await house.linked(house.server.links.staff.first);
const rows = [];
let clicks = 0;
let fields = 0;

const press = async (name, of = page) => {
  await of.getByRole("button", { name }).first().click();
  clicks++;
};
const fill = async (label, text, of = page) => {
  await of.getByLabel(label).first().fill(text);
  fields++;
};
const choose = async (label, option, of = page) => {
  await of.getByLabel(label).first().selectOption(option);
  fields++;
};
const until = (what) => {
  rows.push([what, clicks, fields]);
  [clicks, fields] = [0, 0];
};

await fill("Your name, as colleagues call you", INES.name);
await fill("Sign-in name", INES.sign_in);
await fill("New password", INES.password);
await page.getByLabel("I am a licensed clinician").check();
clicks++;
await fill("Title", INES.clinician.title);
await fill("Licence or registration", INES.clinician.licence);
await press("Make the account");
await press("I have saved them");
until("the first account");

await press("A new group");
await fill("Name of the group", "Lantern Quay");
await choose("Meets on", String(new Date().getUTCDay() || 7));
await fill("Starts at", "23:59");
await choose("Time zone", "UTC");
until("a group with its time");

await fill("First name of a new person", "Ada");
await press(/^Add$/);
await page.getByRole("button", { name: "Ada", exact: true }).waitFor();
await fill("First name of a new person", "Ben");
await press(/^Add$/);
await page.getByRole("button", { name: "Ben", exact: true }).waitFor();
until("two people");

for (const name of ["Ada", "Ben"]) {
  await press(new RegExp(`^${name}$`));
  const links = page.getByRole("region", { name: "Links" });
  await press("Make it", links);
  await links.getByText("/own#", { exact: false }).first().waitFor();
  await press("Back to the group");
}
until("a link for each");

await press("All plans");
await press(/^Plan it/);
const library = page.getByRole("region", { name: "Library" });
await library.getByRole("button", { name: /^Add / }).first().click();
clicks++;
await press("Make the class");
until("a plan with one drill, and its class");

const opened = page.context().waitForEvent("page");
await page.getByRole("link", { name: "Desk", exact: true }).click();
clicks++;
const desk = await opened;
await desk.waitForURL("**/desk/**");
await press("Let people in", desk);
await desk.getByText("Let people in").first().waitFor({ state: "hidden" });
until("the class is open");

for (const [what, clicked, filled] of rows) console.log(`${what.padEnd(40)} ${String(clicked).padStart(3)} clicks ${String(filled).padStart(3)} fields`);
const sum = (at) => rows.reduce((all, row) => all + row[at], 0);
console.log(`${"in all".padEnd(40)} ${String(sum(1)).padStart(3)} clicks ${String(sum(2)).padStart(3)} fields`);
await house.close();
