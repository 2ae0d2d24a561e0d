// Records for a health record system (W-30, W-31): the bundles that the server hands out pass four programs of others, and each
// of fifteen planted faults is refused by at least one of them. The programs are npm fhir, fhir.resources and fhirkit
// (fhir_models.py), and fhirpath with invariants of HL7 FHIR 4.0.1; units are read by the UCUM library of the LHNCBC.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { fileURLToPath } from "node:url";
import ucumLhc from "@lhncbc/ucum-lhc";
import fhir from "fhir";
import fhirpath from "fhirpath";
import model from "fhirpath/fhir-context/r4/index.js";
import { Server } from "../server.mjs";

const here = (path) => fileURLToPath(new URL(path, import.meta.url));
const ucum = ucumLhc.UcumLhcUtils.getInstance();
const structure = new fhir.Fhir();
let server, origin, cookie, people, person, ofPerson, ofGroup, group;

async function ask(path, body, as = cookie) {
  const headers = { "content-type": "application/json", origin, cookie: as };
  return fetch(origin + path, { method: body ? "POST" : "GET", headers, ...(body ? { body: JSON.stringify(body) } : {}) });
}

before(async () => {
  server = await new Server().start("demo");
  origin = `http://${server.links.listens_on}`;
  const token = new URL(server.links.staff.trial).hash.split(".").at(-1);
  cookie = (await ask("/api/staff/open", { token, request: crypto.randomUUID() }, "")).headers.getSetCookie()[0].split(";")[0];
  people = await (await ask("/api/planner/people")).json();
  person = people.find(({ name }) => name === "Maelys");
  group = (await (await ask("/api/planner/groups")).json()).find(({ name }) => name.startsWith("Lantern"));
  ofPerson = await (await ask(`/api/planner/people/${person.id}/fhir.json`)).json();
  ofGroup = await (await ask(`/api/planner/groups/${group.id}/fhir.json?names=true`)).json();
});
after(() => server.stop());

const all = (bundle, type) => bundle.entry.map((one) => one.resource).filter((one) => one.resourceType === type);

/** Every object in a value. */
function* within(value) {
  if (value === null || typeof value !== "object") return;
  yield value;
  for (const part of Object.values(value)) yield* within(part);
}

/** Invariants of HL7 FHIR 4.0.1, each with its name and the type that it belongs to. */
const INVARIANTS = [
  ["Observation", "obs-6", "dataAbsentReason.empty() or value.empty()"],
  ["Appointment", "app-3", "(start.exists() and end.exists()) or (status in ('proposed' | 'cancelled' | 'waitlist'))"],
  ["Appointment", "app-4", "Appointment.cancelationReason.exists() implies (Appointment.status='no-show' or Appointment.status='cancelled')"],
  ["Questionnaire", "que-2", "descendants().linkId.isDistinct()"],
  ["QuestionnaireResponse", "qrs-1", "descendants().where(answer.exists() and item.exists()).empty()"],
];

/** What fhirpath, the resolver and the UCUM library have against a bundle. */
function broken(bundle) {
  const found = [];
  const urls = bundle.entry.map((one) => one.fullUrl);
  if (!fhirpath.evaluate(bundle, "entry.fullUrl.isDistinct()", null, model)[0]) found.push("bdl-7");
  for (const { resource } of bundle.entry) {
    for (const [type, name, rule] of INVARIANTS) {
      if (type === resource.resourceType && fhirpath.evaluate(resource, rule, null, model)[0] !== true) found.push(name);
    }
    for (const part of within(resource)) {
      if (typeof part.reference === "string" && !urls.includes(part.reference)) found.push(`dangling ${part.reference}`);
      if (part.code !== undefined && part.unit !== undefined && part.system === undefined) found.push("qty-3");
      if (part.system === "http://unitsofmeasure.org" && ucum.validateUnitString(part.code).status !== "valid") found.push(`unit ${part.code}`);
    }
  }
  return found;
}

/** What each program has against each of these bundles. */
function verdicts(bundles) {
  const folder = mkdtempSync(join(tmpdir(), "fhir-"));
  writeFileSync(join(folder, "bundles.json"), JSON.stringify(bundles));
  const models = JSON.parse(execFileSync(here("../.venv/bin/python"), [here("fhir_models.py"), join(folder, "bundles.json")], { encoding: "utf8", maxBuffer: 1 << 28 }));
  rmSync(folder, { recursive: true });
  return bundles.map((bundle, index) => {
    const { valid, messages } = structure.validate(bundle, { errorOnUnexpected: true });
    const errors = messages.filter((one) => one.severity === "error" || one.severity === "fatal");
    return { ...models[index], fhir: valid ? [] : errors.map((one) => `${one.location}: ${one.message}`), fhirpath: broken(bundle) };
  });
}

test("the bundles pass the programs of others", () => {
  const nothing = { "fhir.resources": [], fhirkit: [], fhir: [], fhirpath: [] };
  assert.deepEqual(verdicts([ofPerson, ofGroup]), [nothing, nothing]);
  // There is something of every kind in them.
  for (const type of ["Patient", "Appointment", "Encounter", "Observation", "Questionnaire", "QuestionnaireResponse", "CodeSystem"]) {
    assert.ok(all(ofPerson, type).length > 0 && all(ofGroup, type).length > 0, type);
  }
  for (const type of ["DocumentReference", "Provenance", "Practitioner"]) assert.ok(all(ofPerson, type).length > 0, type);
  assert.equal(all(ofPerson, "Group").length, 0);
  assert.ok(all(ofGroup, "Group")[0].member.length > 5);
});

test("each of fifteen planted faults is refused by at least one of them", () => {
  const first = (bundle, type, has = () => true) => all(bundle, type).find(has);
  const faults = {
    "a required element is missing": (it) => delete first(it, "Encounter").status,
    "a status that no encounter has": (it) => (first(it, "Encounter").status = "done"),
    "a status that no observation has": (it) => (first(it, "Observation").status = "completed"),
    "R5's list of classes": (it) => (first(it, "Encounter").class = [{ coding: [first(it, "Encounter").class] }]),
    "an element that does not exist": (it) => (first(it, "Patient").nickname = "Ma"),
    "two values": (it) => (first(it, "Observation", (one) => one.valueQuantity).valueString = "12 s"),
    "a time without a zone": (it) => (first(it, "Encounter").period.start = "2026-10-20T10:00:00"),
    "an empty list": (it) => (first(it, "Patient").name = []),
    "a number as text": (it) => (first(it, "Appointment").minutesDuration = "60"),
    "obs-6": (it) => (first(it, "Observation", (one) => one.valueQuantity).dataAbsentReason = { text: "unknown" }),
    "app-3": (it) => delete first(it, "Appointment", (one) => one.status === "fulfilled").end,
    "qty-3": (it) => delete first(it, "Observation", (one) => one.valueQuantity).valueQuantity.system,
    "bdl-7": (it) => (it.entry[1].fullUrl = it.entry[0].fullUrl),
    "a reference to nothing": (it) => (first(it, "Encounter").subject.reference = `urn:uuid:${crypto.randomUUID()}`),
    "no unit of UCUM": (it) => (first(it, "Observation", (one) => one.valueQuantity).valueQuantity.code = "seconds"),
  };
  assert.equal(Object.keys(faults).length, 15);
  const planted = Object.values(faults).map((plant) => {
    const bundle = structuredClone(ofPerson);
    plant(bundle);
    assert.notDeepEqual(bundle, ofPerson);
    return bundle;
  });
  const found = verdicts(planted).map((verdict) => Object.entries(verdict).filter(([, against]) => against.length > 0).map(([program]) => program));
  Object.keys(faults).forEach((fault, index) => assert.ok(found[index].length > 0, `nobody refused: ${fault}`));
  // None of the programs lets everything through.
  for (const program of ["fhir.resources", "fhirkit", "fhir", "fhirpath"]) assert.ok(found.flat().filter((one) => one === program).length > 2, program);
});

test("a person's bundle reaches nobody else, and has a name only if it is asked for", async () => {
  const text = JSON.stringify(ofPerson);
  for (const other of people.filter((one) => one !== person)) {
    assert.ok(!text.includes(other.id) && !text.includes(other.name), other.name);
  }
  assert.ok(!all(ofPerson, "Patient")[0].name);
  const named = await (await ask(`/api/planner/people/${person.id}/fhir.json?names=true`)).json();
  assert.deepEqual(all(named, "Patient")[0].name, [{ text: "Maelys" }]);
  assert.equal((await ask(`/api/planner/people/${person.id}/fhir.json?name=yes`)).status, 400);
});

test("the bundles say what the pages say", async () => {
  const { progress, notes } = await (await ask(`/api/planner/people/${person.id}/progress`)).json();
  const came = progress.classes.filter((one) => one.attended !== "no");
  assert.deepEqual(all(ofPerson, "Encounter").map((one) => one.length.value), came.map((one) => one.there));
  assert.equal(all(ofPerson, "Appointment").length, progress.classes.length);
  const efforts = all(ofPerson, "QuestionnaireResponse").flatMap((one) => one.item.filter((item) => item.linkId === "effort"));
  assert.deepEqual(efforts.map((item) => item.answer[0].valueInteger), came.flatMap((one) => one.efforts));
  const observed = (code) => all(ofPerson, "Observation").filter((one) => one.code.coding.some((coding) => coding.code === code));
  assert.equal(observed("discomfort").length, came.reduce((sum, one) => sum + one.reports.length, 0));
  assert.equal(observed("stop").length, came.reduce((sum, one) => sum + one.stops.length, 0));
  assert.ok(observed("discomfort").length > 0 && observed("stop").length > 0);
  const done = observed("answer").filter((one) => one.valueCodeableConcept?.text === "done");
  assert.equal(done.length, came.reduce((sum, one) => sum + one.done, 0));
  const marks = progress.drills.flatMap((drill) => drill.days.filter((day) => day.far !== null && day.target_ms !== null));
  assert.equal(observed("longest-hold").length, marks.length);
  assert.ok(done.length > 20 && marks.length > 0);
  // A note's text is what was signed, with who signed it.
  const documents = all(ofPerson, "DocumentReference");
  assert.deepEqual(documents.map((one) => one.id).sort(), notes.map((one) => one.id).sort());
  for (const document of documents) {
    const said = Buffer.from(document.content[0].attachment.data, "base64").toString("utf8");
    const signed = notes.find((one) => one.id === document.id).note;
    assert.ok(said.includes(signed.content.words.assessment) && said.includes(signed.signer.name), said);
    for (const fact of signed.content.facts) assert.ok(said.includes(fact.text), fact.text);
  }
  // Every code of ours that is used is explained in the file, and every answer belongs to a question.
  const [codes] = all(ofGroup, "CodeSystem");
  const own = [...within(ofGroup)].filter((part) => part.system === codes.url).map((part) => part.code);
  for (const code of own) assert.ok(codes.concept.some((one) => one.code === code), code);
  for (const response of all(ofGroup, "QuestionnaireResponse")) {
    const questions = all(ofGroup, "Questionnaire").find((one) => `${one.url}|${one.version}` === response.questionnaire);
    for (const { linkId } of response.item) assert.ok(questions.item.some((one) => one.linkId === linkId), linkId);
  }
});
