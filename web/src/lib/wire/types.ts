// Made from the Rust types by `cargo test -p samebreath-wire` with SAMEBREATH_WRITE=1. Do not edit.

export const SUBPROTOCOL = "samebreath.v2";
export const HEARTBEAT_MS = 5000;

/** The longest texts that the server takes, in characters. */
export const LONGEST = { name: 40, sentence: 200, phone: 40, mail: 120, title: 80, note: 400, noteText: 4000, intro: 600, word: 60, item: 120, theme: 60, clue: 200, answer: 60, secondClue: 110, because: 120, source: 300 } as const;

/** The shortest notice before work, in milliseconds. */
export const NOTICE_MS = 4000;

/** What to do after the server closed a socket, by close code. */
export const AFTER_CLOSE: Readonly<Record<number, "reconnect" | "reconnect_later" | "reload" | "join_again">> = {
  1012: "reconnect", // restarting
  4002: "reload", // bad message
  4003: "join_again", // not allowed
  4004: "reconnect", // silent
  4008: "reconnect", // too slow
  1009: "reload", // message too long
  4009: "reconnect_later", // opened elsewhere
};

/**
 * Messages from the browser.
 */
export type ClientMessage = { "kind": "clock_ask", 
/**
 * The browser's monotonic clock, in milliseconds; it comes back unchanged.
 */
sent_ms: number, 
/**
 * Whether the page can be seen.
 */
visible: boolean, 
/**
 * The smallest round trip measured lately, once known.
 */
round_trip_ms: number | null, } | { "kind": "seat", 
/**
 * Made by the browser; the same when the command is sent again.
 */
id: CommandId, 
/**
 * The command.
 */
command: SeatCommand, } | { "kind": "desk", 
/**
 * Made by the browser; the same when the command is sent again.
 */
id: CommandId, 
/**
 * What the desk showed when the key was pressed.
 */
pressed: Pressed | null, 
/**
 * The command.
 */
command: DeskCommand, };

/**
 * Messages from the server.
 */
export type ServerMessage = { "kind": "welcome", 
/**
 * What this socket is for.
 */
role: RoleName, 
/**
 * The seat, for a participant.
 */
seat: SeatId | null, 
/**
 * The id of the server's clock. It changes when that clock may have been set; earlier measurements are
 * then void.
 */
clock_id: string, } | { "kind": "clock", 
/**
 * The browser's own stamp from `clock_ask`, unchanged.
 */
sent_ms: number, 
/**
 * The server's clock when the question was read.
 */
received_ms: number, 
/**
 * The server's clock when this answer was written.
 */
answered_ms: number, 
/**
 * The id of the server's clock.
 */
clock_id: string, } | { "kind": "stage", 
/**
 * The stage.
 */
stage: Stage, } | { "kind": "mine", 
/**
 * The person's own view.
 */
mine: Mine, } | { "kind": "desk", 
/**
 * The desk's view.
 */
desk: DeskFrame, } | { "kind": "taken", 
/**
 * The command's id.
 */
id: CommandId, } | { "kind": "refused", 
/**
 * The command's id.
 */
id: CommandId, 
/**
 * A stable name for the reason.
 */
code: string, 
/**
 * The reason in a sentence.
 */
text: string, } | { "kind": "not_recording", 
/**
 * True when this begins, false when it is over.
 */
now: boolean, } | { "kind": "restart", 
/**
 * When to come back, in milliseconds from now.
 */
in_ms: number, };

/**
 * What a socket is for.
 */
export type RoleName = "facilitator" | "helper" | "seat" | "wall";

/**
 * Asks for a seat (`POST /api/join`).
 */
export type JoinRequest = { 
/**
 * The class's code as typed; case, spaces and dashes do not matter.
 */
code: string, 
/**
 * The person's first name.
 */
name: string, 
/**
 * Made by the browser; the same when sent again, so that a join whose answer was lost makes no second seat.
 */
request: string, };

/**
 * Answers a join.
 */
export type Joined = { 
/**
 * Names the place in the class; every address and command of the page carries it.
 */
stay: string, 
/**
 * Whether the person is in the class or is asking to come in.
 */
place: SeatPlace, };

/**
 * Asks which class a code opens (`POST /api/entry`).
 */
export type EntryRequest = { 
/**
 * The code as typed.
 */
code: string, };

/**
 * The class of a code, and this browser's own seat in it.
 */
export type EntryAnswer = { 
/**
 * What the class is called.
 */
title: string, 
/**
 * The seat that this browser already has there, if any; the page goes on with it.
 */
seat: MySession | null, };

/**
 * A session that this browser has a pass for (`GET /api/me`).
 */
export type MySession = { 
/**
 * Names the place in the session.
 */
stay: string, 
/**
 * What the session is called.
 */
title: string, 
/**
 * The role that the pass gives.
 */
role: RoleName, 
/**
 * The name on the seat, for a participant.
 */
name: string | null, 
/**
 * Whether the seat is in the class; absent for desks and walls.
 */
place: SeatPlace | null, };

/**
 * Uses a link (`POST /api/pass`).
 */
export type PassRequest = { 
/**
 * The token from the link's fragment.
 */
token: string, 
/**
 * Made by the browser; the same when sent again, so that a link that opens once works again when its answer
 * was lost.
 */
request: string, };

/**
 * The answer to the use of a link; the browser now has a cookie for this role.
 */
export type Opened = { 
/**
 * Names the place in the session; every address and command of the page carries it.
 */
stay: string, 
/**
 * What the session is called.
 */
title: string, 
/**
 * The role that the link gives.
 */
role: RoleName, 
/**
 * The seat, for a participant.
 */
seat: SeatId | null, 
/**
 * Whether the seat is in the class; absent for desks and walls.
 */
place: SeatPlace | null, 
/**
 * The local emergency number that the host configured. The page keeps it, so that it can be shown without the
 * network.
 */
emergency_number: string | null, 
/**
 * Whether a desk may set what only a clinician sets.
 */
decides: boolean, 
/**
 * The person's own page, if they came from it.
 */
own: OwnPlace | null, };

/**
 * Whether a browser's seat is in the class.
 */
export type SeatPlace = "in" | "asking" | "turned_away" | "removed";

/**
 * Asks for a personal link (`POST /api/desk/{stay}/invite`): for a new person, or a new link for somebody on the
 * roster.
 */
export type InviteRequest = { "name": { 
/**
 * The person's first name.
 */
name: string, 
/**
 * Made by the browser; the same when sent again.
 */
request: string, } } | { "seat": SeatId };

/**
 * A personal link, to be sent to that person only.
 */
export type Invited = { 
/**
 * The seat that the link leads to.
 */
seat: SeatId, 
/**
 * The path and fragment of the link.
 */
path: string, };

/**
 * A code with which a colleague can open the helper's desk once (`POST /api/desk/{stay}/handover`).
 */
export type HandoverCode = { 
/**
 * The code, in two groups.
 */
code: string, 
/**
 * Until when it works.
 */
expires_at: EpochMs, };

/**
 * The run sheet (`GET /api/desk/{stay}/sheet`).
 */
export type Sheet = { 
/**
 * What the session is called.
 */
title: string, 
/**
 * The class code, in two groups.
 */
code: string, 
/**
 * Whether the participants are rehearsed.
 */
rehearsal: boolean, 
/**
 * How long the class is booked for, in milliseconds.
 */
class_ms: number, 
/**
 * When the session was made.
 */
created_at: EpochMs, 
/**
 * The lines of the run sheet, in order.
 */
steps: Array<SheetStep>, 
/**
 * How long steps usually take in the group's classes; absent for a class of nobody's, and after few classes.
 */
usual: UsualTimes | null, };

/**
 * One person at the desk (`GET /api/desk/{stay}/person/{seat}`).
 */
export type AtDeskPerson = { 
/**
 * How to reach them, as it is kept on their page; empty for somebody who is nobody of a group.
 */
contacts: Contacts, 
/**
 * The person's seat.
 */
seat: SeatId, 
/**
 * The person's name.
 */
name: string, 
/**
 * The whole check-in, including place and contact.
 */
check_in: CheckIn | null, 
/**
 * Messages, oldest first.
 */
messages: Array<Message>, 
/**
 * All reports, including closed ones, oldest first.
 */
reports: Array<DeskReport>, 
/**
 * Follow-ups for this person.
 */
follow_ups: Array<FollowUp>, 
/**
 * Health notes; absent for a desk that may not see them.
 */
health: Health | null, };

/**
 * An error of the HTTP interface.
 */
export type Problem = { 
/**
 * A stable name for programs.
 */
code: string, 
/**
 * A plain sentence for people.
 */
text: string, };

/**
 * What a class was, what happened in it, and what is to be done about it (`GET /api/desk/{stay}/after`).
 */
export type AfterClass = { 
/**
 * Who was there, what was done, who stopped and what was reported.
 */
record: ClassRecord, 
/**
 * Who may need a follow-up.
 */
concerns: Array<Concern>, 
/**
 * The incident timeline, oldest first.
 */
incidents: Array<Incident>, 
/**
 * What needs to be done.
 */
follow_ups: Array<FollowUp>, 
/**
 * Those who may see to it, by name: the members of staff who may read what concerns these people's health.
 */
colleagues: Array<string>, 
/**
 * Where the plan of this class goes on; absent for a helper, and where no next class or no plan is known.
 */
next: NextPlan | null, };

/**
 * The plan of a class that is over, and the next class of its group.
 */
export type NextPlan = { 
/**
 * The plan that was made for the class that is over; the one that was saved last where there are several.
 */
plan: string, 
/**
 * The day of the next class.
 */
day: string, 
/**
 * The plan that was made for that class, if there is one.
 */
made: string | null, };

/**
 * A class that is over, or as far as it has come.
 */
export type ClassRecord = { 
/**
 * What it was called.
 */
title: string, 
/**
 * When its first step began; absent when none did.
 */
started_at: EpochMs | null, 
/**
 * When it ended; absent while it goes on.
 */
ended_at: EpochMs | null, 
/**
 * How many whole minutes it took.
 */
minutes: number, 
/**
 * The names said at its desks.
 */
led_by: Array<string>, 
/**
 * What it was given to take home.
 */
home: Array<ForHome>, 
/**
 * Everybody who was expected or came, in the order of their seats.
 */
people: Array<PersonRecord>, 
/**
 * Its steps, in their order.
 */
steps: Array<StepRecord>, 
/**
 * What was reported, the oldest first. What somebody took back stays.
 */
reports: Array<ReportRecord>, };

/**
 * What a class was for one person.
 */
export type PersonRecord = { 
/**
 * Their seat.
 */
seat: SeatId, 
/**
 * Who it is, if they are enrolled in the group.
 */
person: PersonId | null, 
/**
 * Their name, numbered where two had the same one.
 */
name: string, 
/**
 * A second person on their screen.
 */
partner: string | null, 
/**
 * Whether they were there, and how.
 */
attended: Attended, 
/**
 * How many whole minutes of the class they were there: corrected, if somebody did that.
 */
minutes: number, 
/**
 * The same as it was recorded.
 */
recorded_minutes: number, 
/**
 * The correction.
 */
corrected: Attendance | null, 
/**
 * When they came, if that was after the class began.
 */
came_at: EpochMs | null, 
/**
 * When they were last there, if that was before the class ended.
 */
left_at: EpochMs | null, 
/**
 * How many whole minutes between the two their screen was away.
 */
away_minutes: number, 
/**
 * How many whole minutes before the end their screen went away, and did not come back; 0 for somebody who left.
 */
gone_minutes: number, 
/**
 * How often they were lost in the middle of a swallow or a hold.
 */
lost: number, 
/**
 * Whether they had said that they cannot come.
 */
cannot_come: boolean, 
/**
 * What each drill asked of them that the class did while they were there.
 */
steps: Array<Asked>, 
/**
 * Each time that they stopped.
 */
stops: Array<Stopped>, 
/**
 * What they said when they checked in, as they put it last.
 */
check_in: CheckIn | null, 
/**
 * How much effort it was for them, each time that the class was asked.
 */
efforts: Array<EffortSaid>, 
/**
 * What they did at home afterwards, by their own word, as it came in.
 */
practised: Array<HomeLog>, 
/**
 * Whether something is still to be done about them.
 */
to_follow_up: boolean, };

/**
 * In which way somebody was there.
 */
export type Attended = "screen" | "phone" | "by_hand" | "no";

/**
 * What a drill asked of one person, and what they said of it.
 */
export type Asked = { 
/**
 * The step.
 */
step: StepId, 
/**
 * In which form; a rest where it was not for them.
 */
form: Form, 
/**
 * How long they hold at most, where that was set for them.
 */
hold_ms: number | null, 
/**
 * How long an open hold was meant to be for them, in the dose that was asked, in milliseconds; absent where it had no
 * mark.
 */
target_ms: number | null, 
/**
 * What they said of it; absent when they said nothing.
 */
answer: Answer | null, 
/**
 * How far an open hold went, by their own word.
 */
far: HowFar | null, };

/**
 * What somebody answered when the class was asked how much effort it was.
 */
export type EffortSaid = { 
/**
 * The drill that the question was about; absent for one before the first drill.
 */
step: StepId | null, 
/**
 * The number, 0 to 10.
 */
score: number, };

/**
 * Somebody stopped.
 */
export type Stopped = { 
/**
 * When.
 */
at: EpochMs, 
/**
 * In which step.
 */
step: StepId | null, 
/**
 * Why, if they said so.
 */
reason: StopReason | null, 
/**
 * Which of the people on the seat.
 */
whose: Whose, };

/**
 * What was done of a step.
 */
export type StepRecord = { 
/**
 * The step.
 */
step: StepId, 
/**
 * Its title.
 */
title: string, 
/**
 * What it is.
 */
kind: ContentKind, 
/**
 * Its drill; absent for what is none.
 */
drill: string | null, 
/**
 * How many milliseconds were planned for it.
 */
planned_ms: number, 
/**
 * What was planned: repetitions over all sets and sides, holds, and milliseconds held.
 */
planned: Figures, 
/**
 * What was done of it, in all doses that it had.
 */
done: Held, 
/**
 * How many milliseconds the class was in it.
 */
took_ms: number, 
/**
 * Of how many people it was asked.
 */
asked: number, 
/**
 * How many of them said that they did it.
 */
did: number, 
/**
 * How many of them stopped in it.
 */
stopped: number, 
/**
 * For how many it was a rest: not for them today, or they rested already.
 */
rested: number, 
/**
 * How much effort it was: how many said each number from 0 to 10; empty when nobody was asked.
 */
effort: Array<number>, };

/**
 * A report, and what was done about it.
 */
export type ReportRecord = { 
/**
 * Its id.
 */
id: ReportId, 
/**
 * The seat of the person who reported.
 */
seat: SeatId, 
/**
 * The name of the person it is about.
 */
name: string, 
/**
 * When the server first had it.
 */
at: EpochMs, 
/**
 * What was said.
 */
said: Said, 
/**
 * How strong it is in words, by the cut-points of the house rules.
 */
strength: Strength | null, 
/**
 * The step in which it was made.
 */
step: StepId | null, 
/**
 * How far it came.
 */
state: ReportState, 
/**
 * What desks did about it, the oldest first.
 */
handled: Array<Handled>, 
/**
 * Whether the person took it back.
 */
taken_back: boolean, };

/**
 * What a step amounts to.
 */
export type Figures = { 
/**
 * Repetitions over all sets and sides.
 */
reps: number, 
/**
 * Holds.
 */
holds: number, 
/**
 * Milliseconds held, as planned.
 */
held_ms: number, };

/**
 * What was done of a step.
 */
export type Held = { 
/**
 * Repetitions played to their end, the rest that follows left out.
 */
reps: number, 
/**
 * Milliseconds of hold that were played. Of an open hold no more counts than up to its target, as in the plan.
 */
held_ms: number, 
/**
 * Holds played to their end, or to the target of an open one.
 */
completed: number, 
/**
 * Holds that were begun and cut short; their seconds count, but they are not repetitions.
 */
partial: number, };

/**
 * A correction of how long somebody was in the class.
 */
export type Attendance = { 
/**
 * How many minutes; 0 is not at all.
 */
minutes: number, 
/**
 * Why it was something else than was recorded.
 */
reason: string, };

/**
 * Who came to which class.
 */
export type AttendanceTable = { 
/**
 * The classes, the oldest first.
 */
classes: Array<ClassColumn>, 
/**
 * The people: those who are enrolled in their order, then those who were.
 */
people: Array<PersonLine>, };

/**
 * A class of the table.
 */
export type ClassColumn = { 
/**
 * The session's id.
 */
session: string, 
/**
 * The day on which it was held.
 */
day: string, 
/**
 * How many whole minutes it took.
 */
minutes: number, 
/**
 * How many people came, guests too.
 */
came: number, 
/**
 * How many of them are nobody of the group's people.
 */
guests: number, };

/**
 * A person's classes.
 */
export type PersonLine = { 
/**
 * Who it is.
 */
person: PersonId, 
/**
 * Their name.
 */
name: string, 
/**
 * Whether they are enrolled in the group now.
 */
enrolled: boolean, 
/**
 * Each class of the table; absent where they were not expected and did not come.
 */
cells: Array<AttendanceCell | null>, 
/**
 * To how many classes they came.
 */
came: number, 
/**
 * Of how many: those in which they had a place.
 */
of: number, 
/**
 * How many minutes they were there in all.
 */
minutes: number, };

/**
 * One person in one class.
 */
export type AttendanceCell = { 
/**
 * How much of it they were there for.
 */
there: Came, 
/**
 * How many whole minutes.
 */
minutes: number, 
/**
 * Whether somebody put that right by hand.
 */
corrected: boolean, };

/**
 * How much of a class somebody was there for.
 */
export type Came = "whole" | "part" | "no" | "said_no";

/**
 * Somebody who may need a follow-up.
 */
export type Concern = { 
/**
 * Their seat.
 */
seat: SeatId, } & ({ "about": "report", 
/**
 * The report.
 */
report: ReportId, } | { "about": "stops", 
/**
 * How often.
 */
times: number, } | { "about": "lost", 
/**
 * How often.
 */
times: number, } | { "about": "away", 
/**
 * For how many minutes.
 */
minutes: number, } | { "about": "missed" });

/**
 * Why somebody may need a follow-up.
 */
export type About = { "about": "report", 
/**
 * The report.
 */
report: ReportId, } | { "about": "stops", 
/**
 * How often.
 */
times: number, } | { "about": "lost", 
/**
 * How often.
 */
times: number, } | { "about": "away", 
/**
 * For how many minutes.
 */
minutes: number, } | { "about": "missed" };

/**
 * One line of the timeline.
 */
export type Incident = { 
/**
 * Its place in the ledger.
 */
seq: number, 
/**
 * When it happened, by the server's clock.
 */
at: EpochMs, 
/**
 * Who caused it.
 */
by: Actor, 
/**
 * The name said at the desk, if a desk caused it.
 */
staff: string | null, 
/**
 * The seat of the person it is about, if any.
 */
seat: SeatId | null, 
/**
 * That person's name.
 */
name: string | null, 
/**
 * What happened.
 */
what: IncidentKind, 
/**
 * What the person said.
 */
said: Said | null, 
/**
 * Why the person stopped, if said.
 */
reason: StopReason | null, 
/**
 * What a desk wrote, such as the reason for taking somebody out.
 */
words: string | null, 
/**
 * The title of the step on the screens.
 */
step: string | null, 
/**
 * The offset in that step, in milliseconds.
 */
offset_ms: number | null, };

/**
 * The kinds of lines.
 */
export type IncidentKind = "reported" | "report_amended" | "report_taken_back" | "report_seen" | "report_taken" | "report_resting" | "report_back" | "report_closed" | "stopped" | "stop_seen" | "stop_undone" | "went_on" | "lost" | "found" | "lost_taken" | "lost_closed" | "rest_asked" | "removed" | "paused_for_safety" | "resumed" | "lead_lost" | "lead_back" | "desk_handed" | "marked_stopped" | "marked_back" | "swallow_cleared" | "swallow_ended" | "family_cleared" | "family_ended" | "follow_up_added" | "follow_up_closed" | "attendance_set";

/**
 * A part of a note that has facts.
 */
export type NotePart = "subjective" | "objective" | "plan";

/**
 * Something that the record of the class says, as a sentence.
 */
export type Fact = { 
/**
 * Where it stands.
 */
part: NotePart, 
/**
 * The sentence.
 */
text: string, };

/**
 * What a clinician writes, part by part.
 */
export type NoteWords = { 
/**
 * What else the person said.
 */
subjective: string | null, 
/**
 * What else was seen, and what help was needed.
 */
objective: string | null, 
/**
 * What it means.
 */
assessment: string | null, 
/**
 * What follows.
 */
plan: string | null, };

/**
 * Whose note it is, and of which class.
 */
export type NoteAbout = { 
/**
 * The class.
 */
class: string, 
/**
 * What it was called.
 */
title: string, 
/**
 * The day on which it was held, in the time zone of its group.
 */
day: string, 
/**
 * When it ended.
 */
ended_at: EpochMs, 
/**
 * The person; absent for the note about the class.
 */
person: PersonId | null, 
/**
 * Their name.
 */
name: string | null, };

/**
 * Whoever signed.
 */
export type Signer = { 
/**
 * Their account.
 */
account: AccountId, 
/**
 * Their name.
 */
name: string, 
/**
 * Their title and licence.
 */
clinician: Clinician, };

/**
 * What is signed.
 */
export type NoteContent = { "kind": "note", 
/**
 * In which wording the facts are ([`WORDING`]).
 */
wording: number, 
/**
 * What the record of the class said when it was signed.
 */
facts: Array<Fact>, 
/**
 * What the clinician wrote.
 */
words: NoteWords, } | { "kind": "addition", 
/**
 * The note.
 */
to: string, 
/**
 * What it says.
 */
text: string, } | { "kind": "correction", 
/**
 * The note.
 */
to: string, 
/**
 * What it says.
 */
text: string, };

/**
 * A note, or an addition to one, as it was signed. What is hashed is its JSON with the fields in this order.
 */
export type SignedNote = { 
/**
 * Whose it is, and of which class.
 */
about: NoteAbout, 
/**
 * What it says.
 */
content: NoteContent, 
/**
 * Who signed.
 */
signer: Signer, 
/**
 * When.
 */
signed_at: EpochMs, };

/**
 * The notes of a class.
 */
export type ClassNotes = { 
/**
 * The class.
 */
class: string, 
/**
 * What it was called.
 */
title: string, 
/**
 * The day on which it was held, in the time zone of its group.
 */
day: string, 
/**
 * Whether whoever asks may write and sign. Who may not sees the facts, and which notes are signed.
 */
may_sign: boolean, 
/**
 * Those who are enrolled and were expected.
 */
people: Array<PersonNotes>, 
/**
 * How many came in without being enrolled: there is no note about them.
 */
guests: number, 
/**
 * The note about the class as a whole, which is nobody's record.
 */
of_class: NoteSheet, };

/**
 * The note about one person.
 */
export type PersonNotes = { 
/**
 * The person.
 */
person: PersonId, 
/**
 * Their name.
 */
name: string, 
/**
 * Whether they were there, and how.
 */
attended: Attended, 
/**
 * For how many minutes.
 */
minutes: number, 
/**
 * The note.
 */
sheet: NoteSheet, };

/**
 * A note, signed or not.
 */
export type NoteSheet = { 
/**
 * What the record of the class says now.
 */
facts: Array<Fact>, 
/**
 * The SHA-256 of these facts: whoever signs says what they saw.
 */
seen: string, 
/**
 * What was written so far; nothing once it is signed.
 */
words: NoteWords, 
/**
 * How often that was saved; 0 before the first time.
 */
version: number, 
/**
 * The signed note.
 */
signed: ShownNote | null, 
/**
 * What was added to it, the oldest first.
 */
added: Array<ShownNote>, 
/**
 * Whether the record says something else now than when it was signed.
 */
facts_differ: boolean, };

/**
 * A signed note, or what was added to one.
 */
export type ShownNote = { 
/**
 * Its id.
 */
id: string, 
/**
 * When it was signed.
 */
signed_at: EpochMs, 
/**
 * What was signed; absent for whoever may not read it, and after its person was erased.
 */
note: SignedNote | null, 
/**
 * Whether its person was erased since, and what it said with them.
 */
erased: boolean, 
/**
 * The SHA-256 of what was signed.
 */
sha256: string, 
/**
 * Whether it was signed so long after its class that it is a late entry.
 */
late: boolean, };

/**
 * Saves what was written so far.
 */
export type SaveNote = { 
/**
 * The version that is changed.
 */
after: number, 
/**
 * The words.
 */
words: NoteWords, };

/**
 * What is kept after a save.
 */
export type SavedNote = { 
/**
 * False when a colleague saved something else first; nothing is overwritten then.
 */
saved: boolean, 
/**
 * The version that is kept.
 */
version: number, 
/**
 * The words that are kept.
 */
words: NoteWords, };

/**
 * Signs a note.
 */
export type SignNote = { 
/**
 * The id that the note gets. A request that is sent again because its answer was lost signs once.
 */
request: string, 
/**
 * The SHA-256 of the facts that were seen.
 */
seen: string, 
/**
 * The version of the draft that was seen.
 */
after: number, 
/**
 * What is signed beside them.
 */
words: NoteWords, };

/**
 * Adds to a signed note.
 */
export type AddToNote = { 
/**
 * As in [`SignNote`].
 */
request: string, 
/**
 * Whether it puts something right; otherwise it adds something.
 */
corrects: boolean, 
/**
 * What it says.
 */
text: string, };

/**
 * One person over their classes.
 */
export type PersonOverTime = { 
/**
 * The person.
 */
person: PersonId, 
/**
 * Their name.
 */
name: string, 
/**
 * Their classes, as far as whoever asks may see them.
 */
progress: Progress, 
/**
 * What they did at home after each class that gave them something to do, the newest first.
 */
at_home: Array<AtHome>, 
/**
 * The notes about them that are signed, and what was added, in the order in which they were signed.
 */
notes: Array<ShownNote>, 
/**
 * How many signed notes are of classes that whoever asks may not see, or that cannot be read.
 */
other_notes: number, };

/**
 * The home sheets of a class (`GET /api/planner/classes/{id}/sheets`).
 */
export type ClassSheets = { 
/**
 * What the class was called.
 */
title: string, 
/**
 * The day on which it was held.
 */
day: string, 
/**
 * The number to call in an emergency; absent where whoever hosts the server set none.
 */
emergency_number: string | null, 
/**
 * Those who are enrolled, in the order of their seats.
 */
people: Array<PersonSheet>, };

/**
 * The home sheet of somebody of a class.
 */
export type PersonSheet = { 
/**
 * Who it is.
 */
person: PersonId, 
/**
 * The sheet.
 */
sheet: HomeSheet, };

/**
 * A person's own home sheets (`GET /api/own/{link}/sheets`).
 */
export type OwnSheets = { 
/**
 * Their name.
 */
name: string, 
/**
 * The number to call in an emergency; absent where whoever hosts the server set none.
 */
emergency_number: string | null, 
/**
 * Whether several people use this device: then its pages keep nothing.
 */
shared: boolean, 
/**
 * One for each of their groups, from its last class, the newest first; only those with something on them.
 */
sheets: Array<OwnSheet>, 
/**
 * The home classes that were published for them, the newest first; only those with a drill for them.
 */
classes: Array<OwnHomeClass>, };

/**
 * A home sheet of a person, on their own page.
 */
export type OwnSheet = { 
/**
 * The class that it comes from.
 */
class: string, 
/**
 * Who led that class, if somebody said their name at its desk.
 */
by: string | null, 
/**
 * The sheet.
 */
sheet: HomeSheet, };

/**
 * A home class, on the own page of somebody for whom it is.
 */
export type OwnHomeClass = { 
/**
 * The home class.
 */
id: string, 
/**
 * The class whose record takes what they say that they did.
 */
class: string, 
/**
 * What to do.
 */
sheet: HomeClassSheet, };

/**
 * Asks what a plan would be as a home class (`POST /api/planner/plans/{id}/home-class/look`).
 */
export type HomeClassAsk = { 
/**
 * The version of the plan that the page shows.
 */
version: number, 
/**
 * For whom; absent for everybody of the plan's group.
 */
person: PersonId | null, 
/**
 * On how many days a week, 1 to 7.
 */
days_a_week: number, };

/**
 * What a plan would be as a home class.
 */
export type HomeClassLook = { 
/**
 * The day here.
 */
today: string, 
/**
 * The last day that may be chosen for its end.
 */
last: string, 
/**
 * The day that is proposed for it: the one before the group's next class, if that is not too far off.
 */
until: string, 
/**
 * What it would be for each of those for whom it is, in the order of the group's list.
 */
people: Array<HomeClassFor>, };

/**
 * What a home class is for one person.
 */
export type HomeClassFor = { 
/**
 * Who it is.
 */
person: PersonId, 
/**
 * Their name.
 */
name: string, 
/**
 * How long it takes, in milliseconds.
 */
total_ms: number, 
/**
 * How many drills it has.
 */
drills: number, 
/**
 * Whether they have had a place in one of the group's last classes. Who has not gets it once they have: what they say that
 * they did goes into the record of a class.
 */
known: boolean, 
/**
 * The titles of the drills that are not for them.
 */
left_out: Array<string>, };

/**
 * Publishes a plan as a home class (`POST /api/planner/plans/{id}/home-class`). The request's id becomes the class's, so that a
 * request whose answer was lost publishes nothing twice.
 */
export type PublishHomeClass = { 
/**
 * The version of the plan that the page shows.
 */
version: number, 
/**
 * For whom; absent for everybody of the plan's group.
 */
person: PersonId | null, 
/**
 * What is said before it; absent for nothing.
 */
intro: string | null, 
/**
 * On how many days a week, 1 to 7.
 */
days_a_week: number, 
/**
 * The last day on which it is to be done.
 */
until: string, 
/**
 * The id of this request.
 */
request: string, };

/**
 * A home class that was published for a group or for somebody of it (`GET /api/planner/groups/{id}/home-classes`).
 */
export type HomeClassCard = { 
/**
 * The home class.
 */
id: string, 
/**
 * Its version, for taking it back.
 */
version: number, 
/**
 * What it is called.
 */
title: string, 
/**
 * For whom it is; absent for everybody of the group.
 */
whom: string | null, 
/**
 * On how many days a week.
 */
days_a_week: number, 
/**
 * The day on which it was published.
 */
from: string, 
/**
 * The last day on which it is to be done.
 */
until: string, 
/**
 * Whether that day is over.
 */
over: boolean, 
/**
 * Who published it.
 */
by: string, };

/**
 * One time that somebody went through a home class.
 */
export type HomeRun = { 
/**
 * The home class.
 */
class: string, 
/**
 * What it was called.
 */
title: string, 
/**
 * Made by the device; the same for all drills of that time.
 */
run: string, 
/**
 * How many drills the class had for this person.
 */
drills: number, };

/**
 * What somebody did at home (`POST /api/own/{link}/practice`). The same log may be sent again; a log with the same id that
 * says something else is kept for staff to look at, and answered with `differs`.
 */
export type HomeDone = { 
/**
 * The class that gave them the drill.
 */
class: string, 
/**
 * What they did.
 */
log: HomeLog, };

/**
 * What somebody did at home with a drill, one time.
 */
export type HomeLog = { 
/**
 * Made by the device (UUID version 7), so that the same log sent twice counts once.
 */
id: string, 
/**
 * The drill.
 */
drill: string, 
/**
 * In which form; the easier one, if they changed to that on the way.
 */
form: Form, 
/**
 * What their sheet asked for.
 */
asked: AskedAtHome, 
/**
 * How many repetitions they did, over all sets and sides; absent where they said *some*, and nobody counted.
 */
done: number | null, 
/**
 * How it was, if they said so.
 */
ease: Ease | null, 
/**
 * Whether it hurt.
 */
hurt: boolean, 
/**
 * Who counted.
 */
noted: NotedBy, 
/**
 * The day on which it was, where they are.
 */
day: string, 
/**
 * How far the device's clock was ahead of UTC then, in minutes.
 */
offset_minutes: number, 
/**
 * The home class that it was a part of. How it was is then said of the whole class.
 */
run?: HomeRun, };

/**
 * What a home sheet asks for.
 */
export type AskedAtHome = { 
/**
 * How many repetitions each time, over all sets and sides.
 */
reps: number, 
/**
 * How often a day.
 */
times_a_day: number, 
/**
 * On how many days a week.
 */
days_a_week: number, };

/**
 * How a drill at home was.
 */
export type Ease = "easy" | "right" | "hard";

/**
 * Who counted the repetitions.
 */
export type NotedBy = "screen" | "hand";

/**
 * What somebody did at home after a class.
 */
export type AtHome = { 
/**
 * The day of the class.
 */
from: string, 
/**
 * The day up to which its sheet holds.
 */
until: string, 
/**
 * The drills that the class was given to take home, in order, and then what else they did on their own.
 */
drills: Array<DrillAtHome>, 
/**
 * The home classes that were published for them then, and then what other home classes they did.
 */
classes: Array<ClassAtHome>, };

/**
 * What somebody did at home with one drill. Days, times and repetitions are counted apart, and never cut off at what was
 * asked.
 */
export type DrillAtHome = { 
/**
 * The drill.
 */
drill: string, 
/**
 * Its title; its id where the class was given none.
 */
title: string, 
/**
 * On how many days it was asked for until the next class; 0 where it was not asked for.
 */
days_asked: number, 
/**
 * How often on each of them.
 */
times_a_day: number, 
/**
 * How many repetitions each time, as it stood on the sheet that they had last; absent until they say something.
 */
reps_each: number | null, 
/**
 * On how many days they did it.
 */
days: number, 
/**
 * How often in all.
 */
times: number, 
/**
 * How many repetitions in all, as far as they were counted.
 */
reps: number, 
/**
 * How often nobody counted.
 */
uncounted: number, 
/**
 * How often they said that it was easy, just right, and hard.
 */
ease: [number, number, number], 
/**
 * The days on which it hurt.
 */
hurt: Array<string>, 
/**
 * How often a log came a second time and said something else; only the first one counts.
 */
differs: number, };

/**
 * What somebody did of a home class.
 */
export type ClassAtHome = { 
/**
 * Which one.
 */
class: string, 
/**
 * What it is called.
 */
title: string, 
/**
 * On how many days it was asked for until the next class; 0 where it was not asked for.
 */
days_asked: number, 
/**
 * On how many days they began it.
 */
days: number, 
/**
 * How often in all.
 */
times: number, 
/**
 * How many drills it had for them, over all these times.
 */
drills_asked: number, 
/**
 * How many of them they did at least in part.
 */
drills: number, 
/**
 * How many repetitions in all, as far as they were counted.
 */
reps: number, 
/**
 * How often they said that the whole was easy, just right, and hard.
 */
ease: [number, number, number], 
/**
 * The days on which something in it hurt.
 */
hurt: Array<string>, 
/**
 * How often a log came a second time and said something else; only the first one counts.
 */
differs: number, };

/**
 * A home class as one person does it.
 */
export type HomeClassSheet = { 
/**
 * What it is called.
 */
title: string, 
/**
 * What is said before it.
 */
intro: string | null, 
/**
 * Who published it.
 */
by: string, 
/**
 * The day on which it was published.
 */
from: string, 
/**
 * The last day on which it is to be done.
 */
until: string, 
/**
 * On how many days a week.
 */
days_a_week: number, 
/**
 * What to do, in order.
 */
steps: Array<HomeClassStep>, 
/**
 * How long there is to get ready before each drill but the first, in milliseconds.
 */
between_ms: number, 
/**
 * How long the whole takes, in milliseconds: all spans, with the notice and the time to get ready before them.
 */
total_ms: number, 
/**
 * The titles of the drills that are not in it: not for this person, or over a limit that a clinician set. For staff only.
 */
left_out: Array<string>, };

/**
 * A step of a home class.
 */
export type HomeClassStep = { "kind": "drill", 
/**
 * The drill as it would stand on a home sheet.
 */
sheet: HomeDrillSheet, } | { "kind": "rest", 
/**
 * How long, in milliseconds.
 */
ms: number, };

/**
 * A person's home sheet.
 */
export type HomeSheet = { 
/**
 * Whose it is.
 */
name: string, 
/**
 * The language of the sheet.
 */
language: string | null, 
/**
 * The day of the class that it comes from.
 */
from: string, 
/**
 * The day up to which it holds: that of the next class, if that is not far off.
 */
until: string, 
/**
 * What to do; empty when nothing of it is for this person.
 */
items: Array<HomeDrillSheet>, 
/**
 * The titles of what is not on it: not for them, over a limit that a clinician set, or not in the library any more. For
 * staff only.
 */
left_out: Array<string>, };

/**
 * A drill on the sheet.
 */
export type HomeDrillSheet = { 
/**
 * The drill.
 */
drill: string, 
/**
 * In which form; never a rest.
 */
form: Form, 
/**
 * How long they hold at most, in milliseconds, where that was set for them.
 */
hold_ms: number | null, 
/**
 * How to do that form, in one sentence, where it is not the usual one.
 */
what: string | null, 
/**
 * The pose that its picture shows.
 */
pose: string, 
/**
 * What to do in one repetition, in order, with the rest before the next.
 */
how: Array<HowLine>, 
/**
 * The rest after each set, in milliseconds; 0 where there is one set.
 */
set_rest_ms: number, 
/**
 * The sides or positions, in order, by name; empty for a drill without.
 */
sides: Array<string>, 
/**
 * What to say, one after the other; empty for a drill without words of its own.
 */
words: Array<string>, 
/**
 * How many repetitions in a set, for each side.
 */
reps: number, 
/**
 * How many sets.
 */
sets: number, 
/**
 * How often a day.
 */
times_a_day: number, 
/**
 * On how many days a week.
 */
days_a_week: number, 
/**
 * All cautions, the one that matters most first: nobody is there to say them.
 */
cautions: Array<string>, 
/**
 * What is needed for it.
 */
needs: Array<string>, 
/**
 * The last day on which they said that it hurt, as long as somebody still has to see to them.
 */
hurt: string | null, 
/**
 * What a class screen would show.
 */
content: Content, };

/**
 * One thing to do in a repetition.
 */
export type HowLine = { 
/**
 * What people do in it.
 */
phase: Phase, 
/**
 * The words.
 */
words: string, 
/**
 * How long, in milliseconds; of an open hold, its target, or the person's own.
 */
ms: number, 
/**
 * Whether somebody holds for as long as is good for them, up to that.
 */
up_to: boolean, };

/**
 * What is usual in a group.
 */
export type UsualTimes = { 
/**
 * How many classes it was taken from.
 */
classes: number, 
/**
 * By how many milliseconds a drill takes longer than its clock: what is said before it and after.
 */
drill_more_ms: number, 
/**
 * The other kinds of steps.
 */
kinds: Array<UsualTime>, };

/**
 * What is usual for one kind of step that is no drill.
 */
export type UsualTime = { 
/**
 * The kind.
 */
kind: ContentKind, 
/**
 * How long it takes, in percent of what is planned.
 */
percent: number, 
/**
 * How many milliseconds of it the group had in these classes.
 */
had_ms: number, };

/**
 * What a group did with a drill in one class. Rests are left out.
 */
export type DrillClass = { 
/**
 * The day.
 */
day: string, 
/**
 * What was planned.
 */
planned: Figures, 
/**
 * How often it was asked: once of each person, and again where the class did it twice.
 */
asked: number, 
/**
 * How often people said that they did it.
 */
did: number, 
/**
 * How often somebody stopped in it.
 */
stopped: number, 
/**
 * How often somebody said how far a hold went.
 */
marked: number, 
/**
 * How often that was to its target or beyond.
 */
reached: number, 
/**
 * How much effort it was: the middle of what people said when they were asked after it.
 */
effort: number | null, 
/**
 * How many numbers that is the middle of.
 */
efforts: number, 
/**
 * How many reports came during it; what was taken back is left out.
 */
reports: number, };

/**
 * A dose one notch off.
 */
export type NotchProposal = { 
/**
 * The dose.
 */
change: DoseChange, 
/**
 * Why.
 */
because: NotchReason, };

/**
 * What speaks for a notch.
 */
export type NotchReason = "reported" | "stopped" | "very_hard" | "went_well";

/**
 * A person over their classes.
 */
export type Progress = { 
/**
 * The classes in which they had a place, the earliest first.
 */
classes: Array<ClassDay>, 
/**
 * How much effort the classes were for them, by their own word.
 */
effort: Measure, 
/**
 * The drills that were asked of them, in the order in which they first came.
 */
drills: Array<DrillDays>, };

/**
 * One class of a person.
 */
export type ClassDay = { 
/**
 * The session's id.
 */
session: string, 
/**
 * The day on which it was held.
 */
day: string, 
/**
 * What it was called.
 */
title: string, 
/**
 * How many whole minutes it took.
 */
minutes: number, 
/**
 * Whether they were there, and how.
 */
attended: Attended, 
/**
 * For how many minutes.
 */
there: number, 
/**
 * Whether they had said that they cannot come.
 */
cannot_come: boolean, 
/**
 * How many drills were asked of them that were no rest.
 */
asked: number, 
/**
 * Of how many they said that they did it.
 */
done: number, 
/**
 * The numbers that they said for effort, 0 to 10.
 */
efforts: Array<number>, 
/**
 * Each time that they stopped.
 */
stops: Array<StopThen>, 
/**
 * What they reported, the oldest first. What they took back is marked.
 */
reports: Array<ReportThen>, };

/**
 * Somebody stopped.
 */
export type StopThen = { 
/**
 * When.
 */
at: EpochMs, 
/**
 * In which step.
 */
step: string | null, 
/**
 * Why, if they said so.
 */
reason: StopReason | null, };

/**
 * Somebody reported something.
 */
export type ReportThen = { 
/**
 * When.
 */
at: EpochMs, 
/**
 * In which step.
 */
step: string | null, 
/**
 * What they said.
 */
said: Said, 
/**
 * Whether they took it back.
 */
taken_back: boolean, };

/**
 * A number on days.
 */
export type Measure = { 
/**
 * Each day that has one: of several on a day, the median.
 */
days: Array<[string, number]>, 
/**
 * The middle of the last six days; absent without a day.
 */
last: Middle | null, 
/**
 * How it changes; absent for too few days.
 */
slope: Slope | null, };

/**
 * One drill of a person.
 */
export type DrillDays = { 
/**
 * The drill.
 */
drill: string, 
/**
 * Its title, as it was last.
 */
title: string, 
/**
 * Each time that a class did it while they were there, the earliest first.
 */
days: Array<DrillDay>, 
/**
 * How often it was asked of them, rests left out.
 */
asked: number, 
/**
 * How often they said that they did it.
 */
done: number, 
/**
 * How often they stopped in it.
 */
stopped: number, 
/**
 * How often it was a rest for them.
 */
rested: number, 
/**
 * Their own best in it; only of holds of which they said how far they went.
 */
best: Best | null, };

/**
 * One drill of a person in one class.
 */
export type DrillDay = { 
/**
 * The day.
 */
day: string, 
/**
 * What was planned for the class.
 */
planned: Figures, 
/**
 * What the class did.
 */
class_did: Held, 
/**
 * In which form it was theirs.
 */
form: Form, 
/**
 * How long the hold was meant to be for them, in milliseconds; only of holds that have marks.
 */
target_ms: number | null, 
/**
 * What they said of it.
 */
answer: Answer | null, 
/**
 * How far they went, by their own word.
 */
far: HowFar | null, };

/**
 * A person's own best in a drill: the longest target that they reached, by their own word. Marks are coarse, so nothing
 * between them is made up.
 */
export type Best = { 
/**
 * How far they went.
 */
far: HowFar, 
/**
 * How long the hold was meant to be, in milliseconds.
 */
target_ms: number, 
/**
 * The last day on which they went so far.
 */
day: string, 
/**
 * On how many days they did.
 */
days: number, };

/**
 * A median, and the two values between which the middle of all such days lies with at least 95 % confidence.
 */
export type Middle = { 
/**
 * The median.
 */
median: number, 
/**
 * The interval; absent for fewer than six values.
 */
interval: [number, number] | null, };

/**
 * How a measure changes, per four weeks.
 */
export type Slope = { 
/**
 * The middle of the slopes between all pairs of days (Theil 1950, Sen 1968).
 */
per_four_weeks: number, 
/**
 * Its 95 % limits.
 */
limits: [number, number], };

/**
 * The sums of a period.
 */
export type PeriodSums = { 
/**
 * The first day of the period.
 */
from: string, 
/**
 * The last.
 */
to: string, 
/**
 * The sums.
 */
sums: Sums, };

/**
 * The sums of a period.
 */
export type Sums = { 
/**
 * Below this a count of people is hidden.
 */
hidden_below: number, 
/**
 * All groups together.
 */
total: SumsLine, 
/**
 * Each group that has a line.
 */
groups: Array<SumsLine>, 
/**
 * How many groups have none, because it would show a small number or let one be worked out.
 */
without_line: number, 
/**
 * Each month of the period, named as 2026-10.
 */
months: Array<SumsLine>, 
/**
 * Whether counts are rounded to five, and minutes to hours, because there are figures of the year before.
 */
rounded: boolean, };

/**
 * A line of sums.
 */
export type SumsLine = { 
/**
 * What it is of; empty for the total.
 */
name: string, 
/**
 * How many classes were held.
 */
held: number, 
/**
 * How many were cancelled.
 */
cancelled: number, 
/**
 * How many people came at least once; not told of a month.
 */
people: number | null, 
/**
 * How many of them had never come before the period.
 */
new: number | null, 
/**
 * How many of them had.
 */
returning: number | null, 
/**
 * How often people came, each class counted.
 */
attendances: number | null, 
/**
 * How many minutes they were there in all.
 */
minutes: number | null, };

/**
 * The id of a lasting link. It is no secret, and opens nothing.
 */
export type LinkId = string;

/**
 * Where a link is kept. Each can be ended while the others go on working.
 */
export type Medium = "paper" | "mail" | "tablet" | "care_partner" | "calendar";

/**
 * Asks whose a lasting link is (`POST /api/own/look`).
 */
export type OwnToken = { 
/**
 * The link's token.
 */
token: string, };

/**
 * Whose a link is: all that is said before they have answered that it is them.
 */
export type AreYou = { 
/**
 * First name, with an initial where two people share it.
 */
name: string, };

/**
 * They have answered that it is them (`POST /api/own/open`); the browser gets a cookie.
 */
export type OpenOwn = { 
/**
 * The link's token.
 */
token: string, 
/**
 * Whether several people use this device, so that it is to keep nothing.
 */
shared: boolean, 
/**
 * The id of this request. The same request may come again when its answer was lost.
 */
request: string, };

/**
 * Where a person's own page is.
 */
export type OwnPlace = { 
/**
 * The link by which it was opened.
 */
link: LinkId, 
/**
 * Whether several people use this device.
 */
shared: boolean, };

/**
 * The answer to [`OpenOwn`].
 */
export type OpenedOwn = { 
/**
 * Where their page is.
 */
place: OwnPlace, 
/**
 * The language in which it begins; absent for that of their browser.
 */
language: string | null, };

/**
 * A person's own page (`GET /api/own/{link}`).
 */
export type OwnPage = { 
/**
 * Their name.
 */
name: string, 
/**
 * Whether several people use this device.
 */
shared: boolean, 
/**
 * The server's clock.
 */
now: EpochMs, 
/**
 * Whether a class of theirs lets people in now.
 */
open: boolean, 
/**
 * Their next classes, the earliest first; those that are cancelled too.
 */
classes: Array<OwnClass>, };

/**
 * A class of somebody's.
 */
export type OwnClass = { 
/**
 * The group.
 */
group: GroupId, 
/**
 * Its regular day.
 */
of: string, 
/**
 * What the group is called.
 */
name: string, 
/**
 * When people can come in, once the class was made.
 */
opens: EpochMs, 
/**
 * When it starts.
 */
starts: EpochMs, 
/**
 * When it ends.
 */
ends: EpochMs, 
/**
 * Whether it is at another time than usual.
 */
moved: boolean, 
/**
 * Why it is cancelled, if it is.
 */
cancelled: string | null, 
/**
 * Whether this person comes, as far as is known.
 */
comes: boolean, };

/**
 * Says whether somebody comes to a class (`POST /api/own/{link}/word`).
 */
export type SendWord = { 
/**
 * The group.
 */
group: GroupId, 
/**
 * The regular day of its class.
 */
of: string, 
/**
 * Whether they come.
 */
comes: boolean, };

/**
 * A lasting link, as staff see it (`GET /api/planner/people/{id}/links`).
 */
export type OwnLinkCard = { 
/**
 * Its id.
 */
id: LinkId, 
/**
 * Where it is kept.
 */
medium: Medium, 
/**
 * When it was made.
 */
created_at: EpochMs, 
/**
 * When it was last used; absent until then.
 */
used_at: EpochMs | null, 
/**
 * On how many devices it is open.
 */
devices: number, };

/**
 * Makes a lasting link (`POST /api/planner/people/{id}/links`).
 */
export type NewOwnLink = { 
/**
 * Where it will be kept.
 */
medium: Medium, 
/**
 * The id of this request, which becomes the link's.
 */
request: string, };

/**
 * A lasting link that was just made. Nobody can read it again.
 */
export type MadeOwnLink = { 
/**
 * The link.
 */
card: OwnLinkCard, 
/**
 * Its address, without scheme and host.
 */
path: string, };

/**
 * What erasing a person would change, and what stands against it (`GET /api/planner/people/{id}/erasure`).
 */
export type ErasureSheet = { 
/**
 * Their name.
 */
name: string, 
/**
 * The groups in which they are enrolled, by name.
 */
groups: Array<string>, 
/**
 * How many lasting links they have.
 */
links: number, 
/**
 * In how many classes they were expected.
 */
classes: number, 
/**
 * The day of the first of these.
 */
first: string | null, 
/**
 * The day of the last.
 */
last: string | null, 
/**
 * How often they reported discomfort.
 */
reports: number, 
/**
 * How many follow-ups about them are open.
 */
follow_ups: number, 
/**
 * How many notes about them are signed.
 */
notes: number, 
/**
 * How many lines about others have their name in them, which stay.
 */
mentions: number, 
/**
 * Whether a class with them has not ended.
 */
not_over: boolean, 
/**
 * Why their record must be kept for now, if so.
 */
held: HeldRecord | null, };

/**
 * Why a record must be kept for now.
 */
export type HeldRecord = { 
/**
 * The reason.
 */
reason: string, 
/**
 * Since when.
 */
since: EpochMs, };

/**
 * Holds a person's record (`PUT /api/planner/people/{id}/hold`).
 */
export type HoldRecord = { 
/**
 * Why it must be kept for now.
 */
reason: string, };

/**
 * Erases a person (`POST /api/planner/people/{id}/erasure`).
 */
export type ErasePerson = { 
/**
 * Their name, typed by whoever erases them.
 */
name: string, };

/**
 * What an erasure changed.
 */
export type ErasureReport = { 
/**
 * Classes that no longer name them.
 */
classes: number, 
/**
 * Lines in these that were written anew.
 */
lines: number, 
/**
 * The day on which they were erased.
 */
day: string, };

/**
 * What a letter is for.
 */
export type Purpose = { "purpose": "link", 
/**
 * The link.
 */
link: LinkId, } | { "purpose": "cancelled", 
/**
 * The group.
 */
group: GroupId, 
/**
 * The regular day of the class.
 */
of: string, };

/**
 * Tells people by mail that a class is cancelled (`POST /api/planner/groups/{id}/letters`).
 */
export type MailCancelled = { 
/**
 * The regular day of the class.
 */
of: string, };

/**
 * What was put into the outbox.
 */
export type Mailed = { 
/**
 * How many letters are on their way.
 */
posted: number, 
/**
 * How many had been asked for today already.
 */
again: number, 
/**
 * Who has no mail address.
 */
without: Array<string>, };

/**
 * A letter to somebody, as staff see it (`GET /api/planner/people/{id}/letters`).
 */
export type LetterCard = { 
/**
 * What it was for.
 */
purpose: Purpose, 
/**
 * When somebody asked for it.
 */
asked_at: EpochMs, 
/**
 * What became of it.
 */
state: LetterState, 
/**
 * Why it was not sent the last time, in the mail server's words.
 */
error: string | null, };

/**
 * What became of a letter.
 */
export type LetterState = "waits" | "sent" | "failed";

/**
 * How long what is kept is kept, as a coordinator decided.
 */
export type Retention = { 
/**
 * How many years after their last class a person's record is kept, 1 to 40. Until it is chosen, no record goes.
 */
record_years: number | null, 
/**
 * How many days after their last class the links of somebody who comes no more work, 1 to 400; word that somebody
 * cannot come is forgotten as long after the class.
 */
link_days: number, 
/**
 * How many years who did what is known, 1 to 40.
 */
audit_years: number, };

/**
 * What went on one day, or would go: numbers only.
 */
export type RetentionReport = { 
/**
 * People of whom it is announced that their record will go.
 */
announced: number, 
/**
 * People who were erased.
 */
erased: number, 
/**
 * Classes that no longer name those who came in with the code.
 */
guests: number, 
/**
 * People whose record would go, but is held.
 */
held: number, 
/**
 * Links that were ended.
 */
links: number, 
/**
 * Words that somebody cannot come.
 */
words: number, 
/**
 * Rows of the audit that were emptied.
 */
acts: number, 
/**
 * People and classes whose turn it was and that could not be erased; they are tried again.
 */
failed: number, };

/**
 * How long things are kept, and what that comes to.
 */
export type RetentionPage = { 
/**
 * The rules that hold.
 */
rules: Retention, 
/**
 * Their version; 0 while nobody has set any.
 */
version: number, 
/**
 * The people whose record goes, the earliest first, and those whose record would, but is held.
 */
leaving: Array<LeavingPerson>, 
/**
 * What would go today.
 */
today: RetentionReport, 
/**
 * What went on the last days, the newest first.
 */
reports: Array<DayReport>, };

/**
 * Somebody whose record goes.
 */
export type LeavingPerson = { 
/**
 * The person.
 */
person: PersonId, 
/**
 * What they are called.
 */
name: string, 
/**
 * The day of their last class; of somebody who was in none, that on which their page was last changed.
 */
last: string, 
/**
 * The day on which their record goes.
 */
on: string, 
/**
 * Whether it is held, so that it does not go.
 */
held: boolean, };

/**
 * What went on a day.
 */
export type DayReport = { 
/**
 * The day, in UTC.
 */
day: string, 
/**
 * What went.
 */
report: RetentionReport, };

/**
 * New rules.
 */
export type ChangeRetention = { 
/**
 * The version that they change; 0 for the first ones.
 */
after: number, 
/**
 * The rules.
 */
rules: Retention, };

/**
 * The id of an account.
 */
export type AccountId = string;

/**
 * A member of staff.
 */
export type Account = { 
/**
 * What colleagues call them.
 */
name: string, 
/**
 * What they type to sign in. Case and accents do not matter.
 */
sign_in: string, 
/**
 * What they do here.
 */
role: StaffRole, 
/**
 * Their title and licence, if they are a clinician.
 */
clinician: Clinician | null, };

/**
 * What a member of staff does here.
 */
export type StaffRole = "coordinator" | "facilitator" | "helper";

/**
 * What makes a member of staff a clinician. Being one is a property and no role: a coordinator may be one too.
 */
export type Clinician = { 
/**
 * The professional title.
 */
title: string, 
/**
 * The licence or registration, as local rules want it written.
 */
licence: string, };

/**
 * Asks what a link about an account is for (`POST /api/staff/link`).
 */
export type LinkToken = { 
/**
 * The link's token.
 */
token: string, };

/**
 * What a link about an account is for.
 */
export type LinkIs = { "is": "first" } | { "is": "password", 
/**
 * Whose account it is.
 */
name: string, 
/**
 * What they type to sign in.
 */
sign_in: string, } | { "is": "opens" };

/**
 * Makes the first account (`POST /api/staff/first`), a coordinator's, and signs it in.
 */
export type FirstAccount = { 
/**
 * The link's token.
 */
token: string, 
/**
 * What colleagues call them.
 */
name: string, 
/**
 * What they type to sign in.
 */
sign_in: string, 
/**
 * Their title and licence, if they are a clinician.
 */
clinician: Clinician | null, 
/**
 * The password.
 */
password: string, 
/**
 * The id of this request. The same request may come again when its answer was lost.
 */
request: string, };

/**
 * Chooses a password by a link (`POST /api/staff/password-by-link`), and signs in.
 */
export type PasswordByLink = { 
/**
 * The link's token.
 */
token: string, 
/**
 * The new password.
 */
password: string, 
/**
 * The id of this request.
 */
request: string, };

/**
 * Signs in (`POST /api/staff/sign-in`).
 */
export type SignIn = { 
/**
 * The sign-in name.
 */
name: string, 
/**
 * The password.
 */
password: string, 
/**
 * The code of the second factor, if the account has one.
 */
code: string | null, };

/**
 * What became of signing in.
 */
export type SignInAnswer = "in" | "needs_code";

/**
 * Chooses a new password by a recovery code (`POST /api/staff/recover`), and signs in. A second factor is turned off.
 */
export type Recover = { 
/**
 * The sign-in name.
 */
name: string, 
/**
 * One of the recovery codes.
 */
code: string, 
/**
 * The new password.
 */
password: string, };

/**
 * Recovery codes, shown once.
 */
export type RecoveryCodes = { 
/**
 * Ten codes in groups of four characters, each of which works once.
 */
codes: Array<string>, };

/**
 * Whoever is signed in (`GET /api/staff/me`).
 */
export type Me = { 
/**
 * The account's id.
 */
id: AccountId, 
/**
 * What colleagues see of it.
 */
account: Account, 
/**
 * Whether the server can send mail.
 */
mails: boolean, 
/**
 * What staff call the organisation's own sign-in; absent where there is none.
 */
provider: string | null, 
/**
 * The link with it; absent when there is none.
 */
identity: IdentityCard | null, 
/**
 * Whether it has a password. The account of the demo has none.
 */
has_password: boolean, 
/**
 * Whether it has a second factor.
 */
has_second: boolean, 
/**
 * How many recovery codes are left.
 */
codes_left: number, 
/**
 * Where it is signed in, the last used browser first.
 */
signed_in: Array<Browser>, };

/**
 * A browser in which somebody is signed in.
 */
export type Browser = { 
/**
 * Its id.
 */
id: string, 
/**
 * Whether it is the one that asks.
 */
this: boolean, 
/**
 * What it says it is.
 */
device: string, 
/**
 * When they signed in.
 */
created_at: EpochMs, 
/**
 * When it was last used, to within a minute.
 */
seen_at: EpochMs, };

/**
 * Proves again who one is (`POST /api/staff/again`), or takes away what needs no more than that.
 */
export type Again = { 
/**
 * The password.
 */
password: string, };

/**
 * A question to a device about a passkey.
 */
export type PasskeyAsks = { 
/**
 * The question's id; it can be answered once, within five minutes.
 */
id: string, 
/**
 * What the browser is asked (`PublicKeyCredentialCreationOptionsJSON` or
 * `PublicKeyCredentialRequestOptionsJSON`, Web Authentication Level 3).
 */
options: unknown, };

/**
 * A device has made a passkey (`POST /api/staff/passkeys/made`).
 */
export type MakePasskey = { 
/**
 * The question's id.
 */
id: string, 
/**
 * What its owner calls it.
 */
name: string, 
/**
 * The browser's answer (`RegistrationResponseJSON`).
 */
answer: unknown, };

/**
 * Asks to sign in by a passkey (`POST /api/staff/passkey-sign-in`).
 */
export type PasskeySignIn = { 
/**
 * The sign-in name.
 */
name: string, };

/**
 * Uses a passkey (`POST /api/staff/passkey-sign-in/answer`).
 */
export type UsePasskey = { 
/**
 * The question's id.
 */
id: string, 
/**
 * The browser's answer (`AuthenticationResponseJSON`).
 */
answer: unknown, };

/**
 * A passkey, as its owner sees it.
 */
export type PasskeyCard = { 
/**
 * Its id, as the device made it.
 */
id: string, 
/**
 * What its owner calls it.
 */
name: string, 
/**
 * When it was made.
 */
created_at: EpochMs, 
/**
 * When it was last used; absent until then.
 */
used_at: EpochMs | null, };

/**
 * By what one can sign in beside a name and a password (`GET /api/staff/ways`).
 */
export type SignInWays = { 
/**
 * What staff call the organisation's own sign-in; absent where there is none.
 */
provider: string | null, };

/**
 * Where the browser must go, so that the organisation's own sign-in says who its owner is
 * (`POST /api/staff/provider`, `POST /api/staff/identity`).
 */
export type AskProvider = { 
/**
 * The address.
 */
address: string, };

/**
 * What the browser came back with (`POST /api/staff/provider/answer`): the parameters of its address, as OAuth 2.0
 * (RFC 6749, section 4.1.2) and RFC 9207 name them.
 */
export type FromProvider = { 
/**
 * Which question it answers.
 */
state: string, 
/**
 * By what the server can ask who they are; absent when they were refused.
 */
code: string | null, 
/**
 * Who answers.
 */
iss: string | null, 
/**
 * Why they were refused.
 */
error: string | null, };

/**
 * What came of it.
 */
export type ProviderAnswered = "in" | "linked";

/**
 * The link between an account and the organisation's own sign-in, as its owner sees it.
 */
export type IdentityCard = { 
/**
 * When it was linked.
 */
linked_at: EpochMs, 
/**
 * When it last let them in; absent until then.
 */
used_at: EpochMs | null, };

/**
 * Changes one's password (`POST /api/staff/password`).
 */
export type ChangePassword = { 
/**
 * The password until now.
 */
from: string, 
/**
 * The new one.
 */
to: string, };

/**
 * A new secret for a second factor (`POST /api/staff/second`), which counts only once a code of it was typed.
 */
export type NewSecond = { 
/**
 * The secret in base 32, to be typed into an app.
 */
secret: string, 
/**
 * The same as an address that apps open (`otpauth://totp/...`).
 */
address: string, };

/**
 * Turns a second factor on (`PUT /api/staff/second`).
 */
export type TurnOnSecond = { 
/**
 * The secret.
 */
secret: string, 
/**
 * The code that the app shows for it.
 */
code: string, };

/**
 * An account as coordinators see it (`GET /api/accounts`).
 */
export type AccountCard = { 
/**
 * Its id.
 */
id: AccountId, 
/**
 * One more with every change.
 */
version: number, 
/**
 * What colleagues see of it.
 */
account: Account, 
/**
 * Whether its owner has chosen a password.
 */
has_password: boolean, 
/**
 * Whether it has a second factor.
 */
has_second: boolean, 
/**
 * Whether it was ended.
 */
ended: boolean, };

/**
 * A colleague whom a group can be entrusted to (`GET /api/colleagues`).
 */
export type Colleague = { 
/**
 * The account's id.
 */
id: AccountId, 
/**
 * What colleagues call them.
 */
name: string, };

/**
 * Makes an account (`POST /api/accounts`).
 */
export type NewAccount = { 
/**
 * What colleagues see of it.
 */
account: Account, 
/**
 * The id of this request, which becomes the account's.
 */
request: string, };

/**
 * Changes an account (`PUT /api/accounts/{id}`).
 */
export type ChangeAccount = { 
/**
 * The version that it changes.
 */
after: number, 
/**
 * What colleagues see of it from now on.
 */
account: Account, };

/**
 * A link with which somebody chooses a password. It works once, for a day, and is shown once.
 */
export type AccountInvitation = { 
/**
 * The link without scheme and host.
 */
link: string, };

/**
 * Milliseconds since 1970-01-01T00:00:00Z on the server's clock.
 *
 * Everything on which screens must agree is an `EpochMs`. Lengths are plain `i64` milliseconds, in names that end
 * in `_ms`.
 */
export type EpochMs = number;

/**
 * A participant's place in a session; seats are numbered from 1 in the order in which people came.
 */
export type SeatId = number;

/**
 * A step of a live session; it keeps its id when steps are inserted before it.
 */
export type StepId = number;

/**
 * A command's id, made by the browser; a command sent twice has the same id and counts once.
 */
export type CommandId = string;

/**
 * A message from a desk to one person, numbered by its place in the ledger.
 */
export type MessageId = number;

/**
 * What was on a desk's screen when its key was pressed. A command that moves the class acts only while this still
 * holds, so a key that is pressed twice, or after the class has gone on, does nothing.
 */
export type Pressed = { 
/**
 * The present step; absent before the start.
 */
step: StepId | null, 
/**
 * The number of the clue on the screens, from 1; 0 while there is none.
 */
clue: number, 
/**
 * How many of that clue's hints were shown.
 */
hints: number, 
/**
 * When the key was pressed, by the desk's estimate of the server's clock; absent while it has no estimate.
 */
at: EpochMs | null, };

/**
 * A report's id, made by the browser when a person reports discomfort.
 */
export type ReportId = string;

/**
 * The two members of staff.
 */
export type DeskRole = "facilitator" | "helper";

/**
 * What a desk can ask for.
 */
export type DeskCommand = { "do": "open" } | { "do": "start" } | { "do": "next" } | { "do": "back" } | { "do": "go_to", 
/**
 * The step to go to.
 */
step: StepId, } | { "do": "pause" } | { "do": "pause_for_safety" } | { "do": "go_on" } | { "do": "resume" } | { "do": "again_step" } | { "do": "again_rep" } | { "do": "more_time", 
/**
 * By how many seconds, 5 to 120.
 */
seconds: number, } | { "do": "cut_short" } | { "do": "insert", 
/**
 * The step to put it after; the present one when absent.
 */
after: StepId | null, 
/**
 * The step to insert.
 */
step: StepRequest, } | { "do": "move_step", 
/**
 * The step to put elsewhere.
 */
step: StepId, 
/**
 * The step to put it after: the present one or a later one.
 */
after: StepId, } | { "do": "take_out", 
/**
 * The step to take out.
 */
step: StepId, } | { "do": "set_time", 
/**
 * The step.
 */
step: StepId, 
/**
 * How many seconds the class allows for it, 10 to 3,600.
 */
seconds: number, } | { "do": "swap_dose", 
/**
 * The step to change.
 */
step: StepId, 
/**
 * What differs from the present dose.
 */
change: DoseChange, } | { "do": "show_clue" } | { "do": "show_hint" } | { "do": "show_answer" } | { "do": "ask_effort" } | { "do": "set_entry", 
/**
 * Who may come in from now on.
 */
to: Entry, } | { "do": "let_in", 
/**
 * The seat of the person who asked.
 */
seat: SeatId, 
/**
 * The person on the roster whom the desk knows them to be; absent for somebody else.
 */
known_as: SeatId | null, } | { "do": "turn_away", 
/**
 * The seat of the person who asked.
 */
seat: SeatId, } | { "do": "handle_report", 
/**
 * The report.
 */
report: ReportId, 
/**
 * The state it goes to.
 */
to: ReportState, } | { "do": "see_stop", 
/**
 * The person's seat.
 */
seat: SeatId, } | { "do": "take_lost", 
/**
 * The person's seat.
 */
seat: SeatId, } | { "do": "close_lost", 
/**
 * The person's seat.
 */
seat: SeatId, } | { "do": "ask_rest", 
/**
 * The person's seat.
 */
seat: SeatId, } | { "do": "message", 
/**
 * The person's seat.
 */
seat: SeatId, 
/**
 * The text of the message.
 */
text: string, } | { "do": "message_all", 
/**
 * The text of the message.
 */
text: string, } | { "do": "remove", 
/**
 * The person's seat.
 */
seat: SeatId, 
/**
 * Why, for the record.
 */
reason: string, } | { "do": "merge", 
/**
 * The seat that goes.
 */
from: SeatId, 
/**
 * The seat that stays.
 */
into: SeatId, } | { "do": "expect", 
/**
 * The person's first name.
 */
name: string, } | { "do": "add_by_phone", 
/**
 * The person's first name.
 */
name: string, } | { "do": "mark_seat", 
/**
 * The person's seat.
 */
seat: SeatId, 
/**
 * What the desk marks.
 */
answer: Mark, } | { "do": "clear_swallow", 
/**
 * The seats; the desk was shown each name.
 */
seats: Array<SeatId>, } | { "do": "end_swallow", 
/**
 * The person's seat.
 */
seat: SeatId, } | { "do": "clear_family", 
/**
 * The person's seat.
 */
seat: SeatId, 
/**
 * The family they are cleared for.
 */
family: Family, } | { "do": "end_family", 
/**
 * The person's seat.
 */
seat: SeatId, 
/**
 * The family they were cleared for.
 */
family: Family, } | { "do": "set_precautions", 
/**
 * The person's seat.
 */
seat: SeatId, 
/**
 * All precautions that hold from now on.
 */
conditions: Array<Condition>, } | { "do": "set_form", 
/**
 * The person's seat.
 */
seat: SeatId, 
/**
 * The form; it replaces an earlier one for the same drill or family.
 */
form: PersonalForm, } | { "do": "lift_form", 
/**
 * The person's seat.
 */
seat: SeatId, 
/**
 * The drill or family it was for.
 */
of: Of, } | { "do": "mark_off", 
/**
 * The person's seat.
 */
seat: SeatId, } | { "do": "lift_off", 
/**
 * The person's seat.
 */
seat: SeatId, } | { "do": "add_follow_up", 
/**
 * The seat of the person it is for.
 */
seat: SeatId, 
/**
 * What needs to be done.
 */
what: string, 
/**
 * Who does it.
 */
owner: string, 
/**
 * The last day on which it should be done.
 */
due: string, } | { "do": "close_follow_up", 
/**
 * The follow-up's number.
 */
id: number, 
/**
 * What came of it.
 */
outcome: string, } | { "do": "set_attendance", 
/**
 * The person's seat.
 */
seat: SeatId, 
/**
 * How many minutes; 0 is not at all.
 */
minutes: number, 
/**
 * Why it was something else than was recorded.
 */
reason: string, } | { "do": "say_name", 
/**
 * The name of the person at this desk.
 */
name: string, } | { "do": "share_health" } | { "do": "end_share_health" } | { "do": "hand_desk", 
/**
 * Who leads from now on.
 */
to: DeskRole, } | { "do": "end" };

/**
 * What a participant can ask for.
 */
export type SeatCommand = { "do": "check_in", 
/**
 * The answers tapped so far.
 */
answers: CheckIn, } | { "do": "done", 
/**
 * The step that was done.
 */
step: StepId, } | { "do": "undo", 
/**
 * The step it was said of.
 */
step: StepId, } | { "do": "how_far", 
/**
 * The step with the hold.
 */
step: StepId, 
/**
 * The mark that was reached.
 */
far: HowFar, } | { "do": "stop", 
/**
 * Why, once the person says so.
 */
reason: StopReason | null, 
/**
 * Which of the people on this seat stopped.
 */
whose: Whose, } | { "do": "undo_stop" } | { "do": "go_on" } | { "do": "report", 
/**
 * Made by the browser, so that a report sent twice counts once.
 */
report: ReportId, 
/**
 * What was said so far.
 */
said: Said, } | { "do": "take_back", 
/**
 * The report.
 */
report: ReportId, } | { "do": "confirm_mouth", 
/**
 * Whether the mouth is empty.
 */
empty: boolean, } | { "do": "say_effort", 
/**
 * Which question of the class, from 1.
 */
number: number, 
/**
 * The effort, from 0 to 10.
 */
score: number, } | { "do": "answer_clue", 
/**
 * The step of the clue round.
 */
step: StepId, 
/**
 * Which clue of the round, from 1.
 */
number: number, 
/**
 * The word; absent when the person taps that they have it without writing.
 */
word: string | null, } | { "do": "read_message", 
/**
 * The message.
 */
message: MessageId, } | { "do": "leave" };

/**
 * What a desk marks by hand for a person.
 */
export type Mark = "done" | "stopped" | "back";

/**
 * How far a person got in an open hold, by their own word.
 */
export type HowFar = "under" | "first_mark" | "target" | "beyond";

/**
 * Why a person stopped.
 */
export type StopReason = "tired" | "enough_for_today" | "hurts" | "other";

/**
 * Where it hurts.
 */
export type Where = "neck" | "throat" | "jaw" | "chest" | "head" | "shoulder" | "back" | "breathing" | "dizzy" | "elsewhere";

/**
 * How strong something feels, in three words.
 */
export type Strength = "little" | "quite" | "very";

/**
 * Signs that need help at once.
 */
export type UrgentSign = "cannot_breathe" | "choking" | "chest_pain" | "faint" | "sudden_weakness" | "bleeding" | "help";

/**
 * Who gives a command.
 */
export type Actor = { "who": "desk", "id": DeskRole } | { "who": "seat", "id": SeatId } | { "who": "entry" } | { "who": "watch" };

/**
 * How strong something feels, as the person said it: a word, or a number from 0 to 10. It is kept as said; the
 * house rules turn a number into a word.
 */
export type Felt = { "word": Strength } | { "number": number };

/**
 * Which of the two people on a seat is meant.
 */
export type Whose = "own" | "partner";

/**
 * What a person says about their discomfort. It is sent with the first tap, and the next taps add to it.
 */
export type Said = { 
/**
 * Which of the people on this seat it is about.
 */
whose: Whose, 
/**
 * Where it hurts.
 */
where: Where | null, 
/**
 * How strong it is.
 */
strength: Felt | null, 
/**
 * A sign that needs help at once.
 */
urgent: UrgentSign | null, 
/**
 * More, in the person's own words.
 */
words: string | null, };

/**
 * Before the class has begun.
 */
export type Before = { 
/**
 * When the class is to start, if that is known.
 */
starts: EpochMs | null, 
/**
 * How many people are in the class; from 20 on only the full tens, so that many who come at once do not make
 * as many frames for everybody.
 */
here: number, };

/**
 * After the class.
 */
export type After = { 
/**
 * How many people took part.
 */
here: number, 
/**
 * What was done, in the order of the class.
 */
families: Array<Family>, 
/**
 * How many clues were shown.
 */
clues: number, 
/**
 * What to do at home, as far as it is for everybody.
 */
home: Array<ForHome>, };

/**
 * A drill to do at home, as its person reads it when the class is over.
 */
export type ForHome = { 
/**
 * The drill's title.
 */
title: string, 
/**
 * Which drill it is; absent in ledgers of earlier versions.
 */
drill?: HomeDrill, 
/**
 * How many repetitions each time, over all sets.
 */
reps: number, 
/**
 * How often a day, 1 to 10.
 */
times_a_day: number, 
/**
 * On how many days a week, 1 to 7.
 */
days_a_week: number, };

/**
 * Which drill is done at home, and in which dose.
 */
export type HomeDrill = { 
/**
 * The drill.
 */
id: string, 
/**
 * Its family.
 */
family: Family, 
/**
 * Changes to its usual dose.
 */
change: DoseChange, };

/**
 * The check-in before the start, one tap for each question. An unanswered question is absent, and the desk sees
 * that.
 */
export type CheckIn = { 
/**
 * How the person feels.
 */
feeling: Feeling | null, 
/**
 * Whether the person sits upright in a stable chair.
 */
seated: boolean | null, 
/**
 * Whether the mouth is empty.
 */
mouth_empty: boolean | null, 
/**
 * Whether water is at hand; the person drinks it only if their plan allows.
 */
water: boolean | null, 
/**
 * Whether the person said that they must not drink; absent in ledgers of earlier versions.
 */
must_not_drink?: boolean, 
/**
 * Whether the person is alone.
 */
company: Company | null, 
/**
 * Whether anything is new since the last class, such as a fall or a change of medicine.
 */
news: boolean | null, 
/**
 * Whether the person wants the easier forms today.
 */
easier: boolean, 
/**
 * Where the person is today, so that help can find them. Only desks see it.
 */
place: string | null, 
/**
 * Whom to call. Only desks see it.
 */
contact: string | null, 
/**
 * The second person on this device, if there is one.
 */
partner: Partner | null, };

/**
 * A second person on the same device.
 */
export type Partner = { 
/**
 * The second person's first name.
 */
name: string, 
/**
 * How that person feels.
 */
feeling: Feeling | null, 
/**
 * Whether that person's mouth is empty.
 */
mouth_empty: boolean | null, };

/**
 * How a person feels today.
 */
export type Feeling = "well" | "so_so" | "not_well";

/**
 * Whether somebody is with the person.
 */
export type Company = "alone" | "with";

/**
 * What the class screens and walls show. The newest stage is all they need; older ones can be thrown away.
 */
export type Stage = { 
/**
 * Goes up with every change, so a stage with a smaller number is older.
 */
seq: number, 
/**
 * Before, during or after the class.
 */
phase: StagePhase, 
/**
 * The move in force and those about to take effect, oldest first; empty before the start.
 */
moves: Array<Move>, 
/**
 * The steps of those moves and the next two; their content can be fetched ahead.
 */
steps: Array<StepRef>, 
/**
 * The present step's place in the plan, from 1; 0 before the start.
 */
number: number, 
/**
 * How many steps the plan has.
 */
of: number, 
/**
 * The clue on the screens.
 */
clue: ClueFrame | null, 
/**
 * The number of the effort question, which is asked in the rests; absent when there is none.
 */
effort: number | null, 
/**
 * The facilitator's connection is lost; the class rests when the present step is over.
 */
lead_lost: boolean, 
/**
 * Since when everybody has stood still for safety. It looks, sounds and reads unlike any other pause.
 */
safety_pause: EpochMs | null, 
/**
 * What people read before the class has begun; absent from then on.
 */
before: Before | null, 
/**
 * What people read when the class is over; absent until then.
 */
after: After | null, };

/**
 * Before, during or after the class.
 */
export type StagePhase = "closed" | "waiting" | "running" | "ended";

/**
 * Names the content of a step. The content of one id and revision never changes.
 */
export type StepRef = { 
/**
 * The step's id.
 */
id: StepId, 
/**
 * The step's revision.
 */
rev: number, };

/**
 * From `at` on, the session is at `offset_ms` of a step and either runs or stands still.
 */
export type Move = { 
/**
 * The instant from which it holds.
 */
at: EpochMs, 
/**
 * The step it leads to.
 */
step: StepId, 
/**
 * The step's revision; it goes up when the dose is swapped.
 */
rev: number, 
/**
 * The position in the step's timeline at `at`, in milliseconds; negative while people get ready.
 */
offset_ms: number, 
/**
 * Whether the offset grows with the clock from `at` on.
 */
running: boolean, 
/**
 * Spans that were lengthened; the offset counts with them.
 */
stretch: Array<Stretch>, };

/**
 * What is shown of a clue so far, never more than the facilitator has shown.
 */
export type ClueFrame = { 
/**
 * The clue's number in the round, from 1.
 */
number: number, 
/**
 * How many clues the round has.
 */
of: number, 
/**
 * The clue.
 */
clue: string, 
/**
 * The hints shown so far.
 */
hints: Array<string>, 
/**
 * A place for each letter of the answer, `_` where the hints do not tell it yet, with a space between words; absent
 * until their number is known, and once the answer is shown.
 */
letters?: string, 
/**
 * The answer, once shown.
 */
answer: string | null, 
/**
 * Why that is the answer, once it is shown.
 */
because: string | null, 
/**
 * What people are asked to do.
 */
game: Game, 
/**
 * When the newest of these words are to be shown everywhere at once: one lead time after they were sent.
 */
from: EpochMs, 
/**
 * The countdown beside this clue, if it has one.
 */
counter: Counter | null, };

/**
 * A countdown beside a clue.
 */
export type Counter = { 
/**
 * When it starts.
 */
from: EpochMs, 
/**
 * How long it runs, in milliseconds.
 */
length_ms: number, };

/**
 * What a person said to a clue.
 */
export type MyClue = { 
/**
 * The clue's number in the round, from 1.
 */
number: number, 
/**
 * What their word was worth; absent when they have it without writing.
 */
word: Verdict | null, };

/**
 * What people are asked to do in a round.
 */
export type Game = "clue" | "saying" | "odd_one_out" | "goes_together" | "category" | "origin";

/**
 * What a written answer is worth.
 */
export type Verdict = "right" | "other" | "unlisted";

/**
 * The words, pictures and timeline of a step, fetched ahead over HTTP.
 */
export type Content = { 
/**
 * The step's id.
 */
id: StepId, 
/**
 * The step's revision.
 */
rev: number, 
/**
 * The kind of step.
 */
kind: ContentKind, 
/**
 * The title on the screens.
 */
title: string, 
/**
 * What the drill is for.
 */
purpose: string | null, 
/**
 * The caution that matters most.
 */
caution: string | null, 
/**
 * How to do the easier form, in one plain sentence.
 */
easier: string | null, 
/**
 * The other forms that have a clock of their own.
 */
forms: Array<FormContent>, 
/**
 * The pose that the picture shows.
 */
pose: string | null, 
/**
 * Names and poses of the sides; spans refer to them by index. A single side has no name.
 */
sides: Array<SideContent>, 
/**
 * Repetitions in a set.
 */
reps: number, 
/**
 * Sets.
 */
sets: number, 
/**
 * Whether people look away from the screen.
 */
eyes_away: boolean, 
/**
 * When the screen may ask for a tap.
 */
tap: Tap, 
/**
 * A swallow drill: everyone's mouth must be empty.
 */
swallow: boolean, 
/**
 * The timeline; empty for steps without a clock.
 */
timeline: Timeline, };

/**
 * A side's name and pose.
 */
export type SideContent = { 
/**
 * The side's name; absent where there is only one.
 */
name: string | null, 
/**
 * The side's pose; absent where it is the drill's own.
 */
pose: string | null, };

/**
 * Kinds of content.
 */
export type ContentKind = "drill" | "talk" | "check_in" | "sip" | "effort" | "clues";

/**
 * What only one person sees, besides the stage.
 */
export type Mine = { 
/**
 * The person's seat.
 */
seat: SeatId, 
/**
 * The person's name.
 */
name: string, 
/**
 * The name of the second person on this device.
 */
partner: string | null, 
/**
 * Whether the person has checked in.
 */
checked_in: boolean, 
/**
 * Where a latecomer begins to take part.
 */
joins: JoinPoint | null, 
/**
 * The step that `answer` and `far` are about: the present one.
 */
step: StepId | null, 
/**
 * What the person said about that step.
 */
answer: Answer | null, 
/**
 * How far the person got in its open hold.
 */
far: HowFar | null, 
/**
 * How many steps the person said they had done.
 */
did: number, 
/**
 * What each of the stage's steps asks of this person. A drill that is not named here is not for them.
 */
forms: Array<StepForm>, 
/**
 * True from a stop until the person goes on.
 */
stopped: boolean, 
/**
 * Whether the person said why they stopped.
 */
reason_given: boolean, 
/**
 * Whether a desk has asked the person to rest.
 */
rest_asked: boolean, 
/**
 * The person's own reports, oldest first; of those that are over, only the newest few.
 */
reports: Array<MyReport>, 
/**
 * The oldest message that the person has not read yet.
 */
message: MyMessage | null, 
/**
 * The clue that the person answered last in this step.
 */
clue: MyClue | null, 
/**
 * What the person last said about their mouth before a swallow drill.
 */
mouth_empty: boolean | null, 
/**
 * The number of the effort question that the person answered last.
 */
effort_said: number | null, 
/**
 * What the person does at home; empty until the class is over.
 */
home: Array<ForHome>, };

/**
 * A latecomer waits until the session reaches this offset of the step, or another step.
 */
export type JoinPoint = { 
/**
 * The step that was running when they came.
 */
step: StepId, 
/**
 * The offset of its next boundary, in milliseconds.
 */
offset_ms: number, };

/**
 * In which form somebody does a drill.
 */
export type Form = "full" | "seated" | "easier" | "harder" | "mouth_first" | "rest";

/**
 * What a step asks of one person.
 */
export type StepForm = { 
/**
 * The step's id.
 */
step: StepId, 
/**
 * What it asks.
 */
form: Form, 
/**
 * What it asks once they have said that their mouth is empty; only where that is asked first.
 */
then?: Form, 
/**
 * How long this person holds at most, in milliseconds, where that was set for them.
 */
hold_ms?: number, };

/**
 * A step in a form with a clock of its own, exactly as long as the step itself.
 */
export type FormContent = { 
/**
 * Which form it is.
 */
form: Form, 
/**
 * Repetitions in a set.
 */
reps: number, 
/**
 * The timeline.
 */
timeline: Timeline, };

/**
 * A person's own report.
 */
export type MyReport = { 
/**
 * The report's id.
 */
id: ReportId, 
/**
 * Later reports that were added to this one because it was still open.
 */
also: Array<ReportId>, 
/**
 * When the server first had it.
 */
at: EpochMs, 
/**
 * What was said, so that a page that reloads can go on from there.
 */
said: Said, 
/**
 * How far it has come.
 */
state: ReportState, 
/**
 * The desk that handled it last.
 */
seen_by: DeskRole | null, 
/**
 * The name said at that desk.
 */
seen_by_name: string | null, 
/**
 * Whether it is resolved or taken back.
 */
over: boolean, };

/**
 * A message to one person.
 */
export type MyMessage = { 
/**
 * The message's id.
 */
id: MessageId, 
/**
 * The text of the message.
 */
text: string, 
/**
 * The desk that sent it.
 */
from: DeskRole, };

/**
 * What a person can say about a step.
 */
export type Answer = "done" | "stopped";

/**
 * How far a report has come.
 */
export type ReportState = "recorded" | "seen" | "taken" | "resting" | "back" | "closed";

/**
 * What the desks see.
 */
export type DeskFrame = { 
/**
 * The number of the last ledger line that this frame includes.
 */
seq: number, 
/**
 * The desk that leads.
 */
lead: DeskRole, 
/**
 * The desk that gave the lead away and may take it back.
 */
handed_by: DeskRole | null, 
/**
 * Whether the helper's desk is connected.
 */
helper_here: boolean, 
/**
 * Whether the facilitator's desk is connected.
 */
facilitator_here: boolean, 
/**
 * Whether the desk that leads is connected.
 */
lead_here: boolean, 
/**
 * The name said at the facilitator's desk.
 */
facilitator: string | null, 
/**
 * The name said at the helper's desk.
 */
helper: string | null, 
/**
 * Whether the helper may see health notes and clear people.
 */
helper_sees_health: boolean, 
/**
 * Who may come in with the code.
 */
entry: Entry, 
/**
 * The people who ask to come in, oldest first.
 */
asking: Array<Asking>, 
/**
 * The class in numbers.
 */
counts: Counts, 
/**
 * The roster in the order of attention.
 */
rows: Array<Row>, 
/**
 * What needs somebody's attention, in order; keys act on the first.
 */
alerts: Array<Alert>, 
/**
 * How many more alerts there are than fit.
 */
more_alerts: number, 
/**
 * How many of the people who are to do the present swallow drill have said that their mouth is empty; absent
 * while the present step is not a swallow drill.
 */
mouths: Mouths | null, 
/**
 * The present clue with its answer and hints.
 */
clue: DeskClue | null, 
/**
 * The answers to the last effort question.
 */
effort: Effort | null, 
/**
 * Planned and actual time.
 */
pace: Pace, 
/**
 * What the desks did lately, newest last.
 */
acts: Array<DeskAct>, 
/**
 * Goes up when the run sheet changes and must be fetched again.
 */
sheet_rev: number, };

/**
 * A report as the desk sees it.
 */
export type DeskReport = { 
/**
 * The report's id.
 */
id: ReportId, 
/**
 * The seat of the person who reported.
 */
seat: SeatId, 
/**
 * The name of the person it is about; a seat can have two people.
 */
name: string, 
/**
 * When the server first had it.
 */
at: EpochMs, 
/**
 * What was said; a strength given as a number stays a number.
 */
said: Said, 
/**
 * How strong it is in words, by the cut-points of the house rules.
 */
strength: Strength | null, 
/**
 * The step it was made in.
 */
during: StepId | null, 
/**
 * The offset in that step, in milliseconds.
 */
during_ms: number | null, 
/**
 * How far it has come.
 */
state: ReportState, 
/**
 * What desks did about it, oldest first.
 */
handled: Array<Handled>, 
/**
 * Whether the person took it back.
 */
taken_back: boolean, 
/**
 * Whether it is in the ledger, on disk. An urgent report raises the alarm before it is.
 */
recorded: boolean, 
/**
 * Where the person is today, as they said.
 */
location: string | null, 
/**
 * Whom to call, as they said.
 */
contact: string | null, };

/**
 * Something that needs somebody's attention.
 */
export type Alert = { "kind": "report" } & DeskReport | { "kind": "stopped" } & StoppedRow | { "kind": "lost" } & LostRow;

/**
 * A person who stopped.
 */
export type StoppedRow = { 
/**
 * The person's seat.
 */
seat: SeatId, 
/**
 * The name of the person who stopped; a seat can have two people.
 */
name: string, 
/**
 * When they stopped.
 */
since: EpochMs, 
/**
 * Why, if they said so.
 */
reason: StopReason | null, };

/**
 * Somebody on the roster who may be the person who asks.
 */
export type Perhaps = { 
/**
 * Their seat.
 */
seat: SeatId, 
/**
 * The name shown for them.
 */
name: string, 
/**
 * Whether their screen was lost; otherwise they are expected.
 */
lost: boolean, };

/**
 * Somebody for whom swallow drills could be turned on (`GET .../clearing`).
 */
export type Clearing = { 
/**
 * The person's seat.
 */
seat: SeatId, 
/**
 * The person's name.
 */
name: string, 
/**
 * Reasons not to do it without a look; people with a doubt are not ticked beforehand.
 */
doubts: Array<Doubt>, };

/**
 * A reason not to turn swallow drills on for somebody without a look.
 */
export type Doubt = "not_here" | "not_decided" | "aspiration" | "not_checked_in" | "mouth_not_empty" | "not_well" | "reported" | "stopped";

/**
 * One thing that a desk did about a report.
 */
export type Handled = { 
/**
 * The state the report went to.
 */
to: ReportState, 
/**
 * The desk that did it.
 */
by: DeskRole, 
/**
 * The name said at that desk.
 */
name: string | null, 
/**
 * When the desk did it.
 */
at: EpochMs, };

/**
 * A person who was lost in the middle of a swallow or a hold.
 */
export type LostRow = { 
/**
 * The person's seat.
 */
seat: SeatId, 
/**
 * The person's name.
 */
name: string, 
/**
 * When they were last heard from.
 */
heard_at: EpochMs, 
/**
 * The step that was running then.
 */
during: StepId, 
/**
 * The offset in that step, in milliseconds.
 */
during_ms: number, 
/**
 * The desk that is looking after it.
 */
taken_by: DeskRole | null, 
/**
 * Where the person is today, as they said.
 */
location: string | null, 
/**
 * Whom to call, as they said.
 */
contact: string | null, };

/**
 * Somebody who asks to come in.
 */
export type Asking = { 
/**
 * The seat they would have.
 */
seat: SeatId, 
/**
 * The name they gave.
 */
name: string, 
/**
 * When they asked.
 */
at: EpochMs, 
/**
 * Somebody on the roster who may be the same person.
 */
perhaps: Perhaps | null, };

/**
 * Who may come in with the code.
 */
export type Entry = "code" | "ask" | "closed";

/**
 * How many people have said that their mouth is empty.
 */
export type Mouths = { 
/**
 * How many have said so.
 */
empty: number, 
/**
 * How many should.
 */
of: number, };

/**
 * How much effort it was, as a spread that names nobody.
 */
export type Effort = { 
/**
 * The number of the question in this class, from 1.
 */
number: number, 
/**
 * Whether it is being asked now.
 */
asked: boolean, 
/**
 * How many people answered 0, 1, ... 10.
 */
spread: [number, number, number, number, number, number, number, number, number, number, number], };

/**
 * One thing that a desk did.
 */
export type DeskAct = { 
/**
 * Its place in the ledger.
 */
seq: number, 
/**
 * When the desk did it.
 */
at: EpochMs, 
/**
 * The desk that did it.
 */
by: DeskRole, 
/**
 * The name said at that desk.
 */
name: string | null, 
/**
 * What the desk did.
 */
did: DeskDid, 
/**
 * The seat of the person it concerned, if any.
 */
seat: SeatId | null, };

/**
 * The kinds of things that a desk does.
 */
export type DeskDid = "opened" | "entry_set" | "let_in" | "turned_away" | "moved" | "paused" | "paused_for_safety" | "went_on" | "resumed" | "dose_swapped" | "step_inserted" | "step_moved" | "step_taken_out" | "minutes_set" | "clue_shown" | "effort_asked" | "report_seen" | "report_taken" | "report_resting" | "report_back" | "report_closed" | "stop_seen" | "lost_taken" | "lost_closed" | "rest_asked" | "message_sent" | "removed" | "merged" | "expected" | "added_by_phone" | "marked" | "swallow_cleared" | "swallow_ended" | "family_cleared" | "family_ended" | "care_set" | "follow_up_added" | "follow_up_closed" | "attendance_set" | "named" | "health_shared" | "desk_handed" | "ended";

/**
 * What a desk sees of one person, on demand.
 */
export type PersonCard = { 
/**
 * The person's seat.
 */
seat: SeatId, 
/**
 * The person's name.
 */
name: string, 
/**
 * The whole check-in, including place and contact.
 */
check_in: CheckIn | null, 
/**
 * Messages, oldest first.
 */
messages: Array<Message>, 
/**
 * All reports, including closed ones, oldest first.
 */
reports: Array<DeskReport>, 
/**
 * Follow-ups for this person.
 */
follow_ups: Array<FollowUp>, 
/**
 * Health notes; absent for a desk that may not see them.
 */
health: Health | null, };

/**
 * A short message from a desk.
 */
export type Message = { 
/**
 * The message's id.
 */
id: MessageId, 
/**
 * The text of the message.
 */
text: string, 
/**
 * The desk that sent it.
 */
by: DeskRole, 
/**
 * When it was sent.
 */
at: EpochMs, 
/**
 * When the person said that they had read it.
 */
read_at: EpochMs | null, };

/**
 * What a clinician set for a person.
 */
export type Health = { 
/**
 * The person's precautions.
 */
precautions: Array<Condition>, 
/**
 * The clinician who turned swallow drills on for today.
 */
swallow_cleared_by: string | null, 
/**
 * Families cleared for today in spite of a precaution, and the clinician who did it.
 */
cleared: Array<[Family, string]>, 
/**
 * The person's own forms.
 */
forms: Array<PersonalForm>, 
/**
 * The steps of the plan that this person does differently.
 */
steps: Array<StepForm>, };

/**
 * Something to be done after class.
 */
export type FollowUp = { 
/**
 * Its number, from 1.
 */
id: number, 
/**
 * The seat of the person it is for.
 */
seat: SeatId, 
/**
 * What needs to be done.
 */
what: string, 
/**
 * Who does it.
 */
owner: string, 
/**
 * The last day on which it should be done.
 */
due: string, 
/**
 * When it was done; `None` while it is open.
 */
closed_at: EpochMs | null, 
/**
 * What came of it; `None` while it is open, and for one that was closed before that was asked for.
 */
outcome: string | null, };

/**
 * A person's precautions; each is a column of the house rules.
 */
export type Condition = "heart" | "lung" | "neck" | "aspiration" | "jaw" | "surgery" | "low_pressure" | "thinking" | "voice" | "spine" | "shoulder" | "mouth" | "tracheostomy" | "stimulator";

/**
 * What a personal form is about.
 */
export type Of = { "drill": string } | { "family": Family };

/**
 * How a person does a drill.
 */
export type Way = "leave_out" | "easier" | "seated" | "harder" | { "own_hold": number };

/**
 * How one person does a drill or a family of drills.
 */
export type PersonalForm = { 
/**
 * The drill or family it is for.
 */
of: Of, 
/**
 * How the person does it.
 */
way: Way, 
/**
 * The reason, for clinicians only.
 */
note: string | null, };

/**
 * The answer to a clue in another language.
 */
export type AnswerIn = { 
/**
 * The language, a BCP 47 tag.
 */
language: string, 
/**
 * The answer.
 */
answer: string, };

/**
 * A clue as the desk sees it.
 */
export type DeskClue = { 
/**
 * The clue's number in the round, from 1; 0 before the first one is shown.
 */
number: number, 
/**
 * How many clues the round has.
 */
of: number, 
/**
 * The clue; before the first one is shown, that first clue.
 */
clue: string, 
/**
 * All hints of the clue.
 */
hints: Array<string>, 
/**
 * How many of the hints are shown.
 */
hints_shown: number, 
/**
 * The answer.
 */
answer: string, 
/**
 * The answer in the other languages that screens show it in.
 */
answer_in: Array<AnswerIn>, 
/**
 * Whether the answer is shown.
 */
answer_shown: boolean, 
/**
 * Why that is the answer.
 */
because: string | null, 
/**
 * How many people answered.
 */
said: number, 
/**
 * How many people have the answer, written or not.
 */
answered: number, };

/**
 * Planned and actual time.
 */
export type Pace = { 
/**
 * How long the class is booked for.
 */
class_ms: number, 
/**
 * When the class began.
 */
started_at: EpochMs | null, 
/**
 * When the present step was entered.
 */
step_at: EpochMs | null, 
/**
 * When the class ended.
 */
ended_at: EpochMs | null, };

/**
 * How many people are in each state, for a glance.
 */
export type Counts = { discomfort: number, stopped: number, away: number, working: number, done: number, resting: number, waiting: number, };

/**
 * One line of the roster.
 */
export type Row = { 
/**
 * The person's seat.
 */
seat: SeatId, 
/**
 * The person's name.
 */
name: string, 
/**
 * The name of the second person on the same device.
 */
partner: string | null, 
/**
 * The person's state.
 */
status: Status, 
/**
 * Why they stopped, if they said so.
 */
reason: StopReason | null, 
/**
 * Why they are resting.
 */
rest: RestReason | null, 
/**
 * The state of their screen.
 */
screen: Screen, 
/**
 * When their screen was last heard from; absent if never.
 */
heard_at: EpochMs | null, 
/**
 * Whether they gave no answer to the last two drills.
 */
silent: boolean, 
/**
 * What the present step asks of this person.
 */
form: Form, 
/**
 * Whether they checked in.
 */
checked_in: boolean, 
/**
 * What stands out in their check-in.
 */
exceptions: Array<Exception>, 
/**
 * Whether they get the easier forms today.
 */
off_today: boolean, 
/**
 * How many messages they have not read yet.
 */
unread: number, 
/**
 * Whether they have the clue that is on the screens.
 */
has_clue: boolean, 
/**
 * Whether they came from a device on which their link had not been used before.
 */
new_device: boolean, 
/**
 * Whether they said beforehand that they cannot come, and have not come.
 */
cannot_come: boolean, };

/**
 * The state of a person in the class.
 */
export type Status = "discomfort" | "stopped" | "away" | "working" | "done" | "resting" | "waiting";

/**
 * The state of a seat's screen, as a desk shows it.
 */
export type Screen = "live" | "quiet" | "off" | "away" | "phone" | "not_yet";

/**
 * What stands out in a check-in.
 */
export type Exception = "not_well" | "partner_not_well" | "not_seated" | "mouth_not_empty" | "must_not_drink" | "news" | "alone" | "no_place" | "not_all_said";

/**
 * Why a person rests.
 */
export type RestReason = "asked" | "not_for_them" | "mouth_not_said";

/**
 * A line of the run sheet.
 */
export type SheetStep = { 
/**
 * The step's id.
 */
id: StepId, 
/**
 * The step's revision.
 */
rev: number, 
/**
 * The kind of step.
 */
kind: ContentKind, 
/**
 * The family of drills, if the step is a drill.
 */
family: Family | null, 
/**
 * Whether it was put in during the class, so that it can be moved and taken out.
 */
inserted: boolean, 
/**
 * The title on the screens.
 */
title: string, 
/**
 * The facilitator's private note.
 */
note: string | null, 
/**
 * How long the plan allows for it, in milliseconds.
 */
planned_ms: number, 
/**
 * The dose, if the step is a drill.
 */
dose: Dose | null, 
/**
 * All cautions, the most important one first.
 */
cautions: Array<string>, 
/**
 * Who needs to be cleared first.
 */
clearance: Array<string>, 
/**
 * Where the dose and the cautions come from.
 */
sources: Array<Reference>, 
/**
 * What to know about weak or missing evidence.
 */
evidence: string | null, 
/**
 * How to do the harder form, in one plain sentence.
 */
harder: string | null, };

/**
 * The id of a group.
 */
export type GroupId = string;

/**
 * A recurring class.
 */
export type Group = { 
/**
 * The group's name.
 */
name: string, 
/**
 * The day of the week on which it meets, 1 (Monday) to 7 (Sunday) as in ISO 8601.
 */
weekday: number | null, 
/**
 * When it starts, as 10:00 local time.
 */
start: string | null, 
/**
 * How long its class is booked for, 1 to 240 minutes.
 */
minutes: number, 
/**
 * The time zone of its clocks; without one, its classes have no instant.
 */
zone: string | null, 
/**
 * The first day of its classes, where there is one.
 */
first: string | null, 
/**
 * The last day of its classes, where there is one.
 */
last: string | null, 
/**
 * The days on which something is different.
 */
others: Array<OtherDay>, 
/**
 * How many weeks must pass before a clue is used again, 0 to 52.
 */
weeks_apart: number, 
/**
 * The people enrolled in it, in the order of its list.
 */
people: Array<PersonId>, 
/**
 * The members of staff to whom it is entrusted; without any, all of them share it.
 */
entrusted: Array<AccountId>, 
/**
 * Whether a note is written about each person after each class, as local rules ask for it.
 */
notes: boolean, };

/**
 * One day of a series on which something is different.
 */
export type OtherDay = { 
/**
 * The day on which it would regularly be.
 */
of: string, 
/**
 * The class is cancelled: what people are told.
 */
cancelled: string | null, 
/**
 * The day to which it is moved.
 */
day: string | null, 
/**
 * Another time of day, such as 11:30.
 */
start: string | null, 
/**
 * Another length in minutes.
 */
minutes: number | null, 
/**
 * Who leads it in place of the usual facilitator.
 */
led_by: string | null, 
/**
 * Their account, if they have one: that class, its plan and its people's precautions are theirs too.
 */
stand_in: AccountId | null, };

/**
 * One class of a series.
 */
export type Occurrence = { 
/**
 * The day on which it would regularly be: what it is known by, whatever becomes of it.
 */
of: string, 
/**
 * The day on which it is.
 */
day: string, 
/**
 * When it starts.
 */
starts: EpochMs, 
/**
 * When it ends.
 */
ends: EpochMs, 
/**
 * The class is cancelled: what people are told.
 */
cancelled: string | null, 
/**
 * Who leads it in place of the usual facilitator.
 */
led_by: string | null, };

/**
 * The id of a person.
 */
export type PersonId = string;

/**
 * A person. They may be enrolled in several groups, and are one person in all of them.
 */
export type Person = { 
/**
 * First name, with an initial where two people share it.
 */
name: string, 
/**
 * Their precautions.
 */
conditions: Array<Condition>, 
/**
 * What clinicians decided.
 */
decisions: Array<Decision>, 
/**
 * How they do what wherever they take part, as a clinician set it.
 */
forms: Array<PersonalForm>, 
/**
 * How to reach them, and whom to call for them.
 */
contacts: Contacts, 
/**
 * The language in which their own page and class begin; without one, that of their browser.
 */
language: string | null, };

/**
 * How to reach somebody, and whom to call for them.
 */
export type Contacts = { 
/**
 * Their telephone number.
 */
phone: string | null, 
/**
 * Their mail address.
 */
mail: string | null, 
/**
 * Where they usually take part: the address to which help would be sent.
 */
place: string | null, 
/**
 * Their care partner, or whoever else is to be called.
 */
partner: string | null, 
/**
 * That person's telephone number.
 */
partner_phone: string | null, };

/**
 * One deliberate act of a clinician, with the clinician's name and the day.
 */
export type Decision = { 
/**
 * What was decided.
 */
what: Decided, 
/**
 * The clinician's name.
 */
by: string, 
/**
 * The day on which it was decided.
 */
on: string, };

/**
 * What a clinician can decide about a person.
 */
export type Decided = { "kind": "swallow" } | { "kind": "cleared", 
/**
 * The family they are cleared for.
 */
family: Family, } | { "kind": "at_most", 
/**
 * The limit.
 */
ceiling: Ceiling, };

/**
 * A limit that a clinician set for a person.
 */
export type Ceiling = { 
/**
 * The family.
 */
family: Family, 
/**
 * Most repetitions in a week.
 */
reps_a_week: number, };

/**
 * A step as somebody asks for it, with ids in place of the drill or clues.
 */
export type StepRequest = { "kind": "drill", 
/**
 * The drill's id.
 */
drill: string, 
/**
 * Changes to its usual dose.
 */
change: DoseChange, 
/**
 * The items of its repetitions, where they are not the usual ones.
 */
items?: ItemChoice, } | { "kind": "talk", 
/**
 * Its title.
 */
title: string, 
/**
 * How long is allowed for it.
 */
minutes: number, } | { "kind": "check_in", 
/**
 * Its title.
 */
title: string, 
/**
 * How long is allowed for it.
 */
minutes: number, } | { "kind": "sip", 
/**
 * Its length, 5 to 600 seconds.
 */
seconds: number, } | { "kind": "effort" } | { "kind": "clues", 
/**
 * The clue set's id.
 */
set: string, 
/**
 * The numbers of its clues, from 1, in this order; all of them when empty.
 */
only: Array<number>, 
/**
 * How long is allowed for it.
 */
minutes: number, };

/**
 * A document with its version.
 */
export type Versioned<T> = { 
/**
 * Its id.
 */
id: string, 
/**
 * 1 at first, one more with every save.
 */
version: number, 
/**
 * When it was last saved.
 */
updated_at: EpochMs, 
/**
 * What people edit.
 */
content: T, };

/**
 * A draft with the day and the group it is for, as the planner keeps it.
 */
export type Planned = { 
/**
 * The plan.
 */
draft: Draft, 
/**
 * The day it is for.
 */
day: string | null, 
/**
 * The group it is for.
 */
group: GroupId | null, };

/**
 * A plan that names drills and clue sets by id.
 */
export type Draft = { 
/**
 * What the session is called.
 */
title: string, 
/**
 * How long the class is booked for, 1 to 240 minutes.
 */
minutes: number, 
/**
 * When it starts, as 10:00 or 10:00:00 local time; used only to project the times of the steps.
 */
start: string | null, 
/**
 * The steps in order.
 */
steps: Array<DraftStep>, 
/**
 * The drills that people take home.
 */
home: Array<HomeItem>, };

/**
 * A step of a draft.
 */
export type DraftStep = { 
/**
 * The part of the class that begins with this step.
 */
part: string | null, 
/**
 * The title on the screens, where it is not the usual one.
 */
title: string | null, 
/**
 * A note that only the desks see.
 */
note: string | null, 
/**
 * The kind of step and what it needs.
 */
what: StepRequest, };

/**
 * A drill on the list for home.
 */
export type HomeItem = { 
/**
 * The drill's id.
 */
drill: string, 
/**
 * Changes to its usual dose.
 */
change: DoseChange, 
/**
 * How often a day, 1 to 10.
 */
times_a_day: number, 
/**
 * On how many days a week, 1 to 7.
 */
days_a_week: number, };

/**
 * What is wrong with a draft, and in which step.
 */
export type DraftError = { 
/**
 * The step, from 0; absent when it is about the whole draft.
 */
step: number | null, 
/**
 * A sentence saying what is wrong and what would be right.
 */
text: string, };

/**
 * One piece of advice.
 */
export type Advice = { 
/**
 * What the advice is about.
 */
kind: AdviceKind, 
/**
 * The step, from 0; absent when it is about the whole plan.
 */
step: number | null, 
/**
 * What was found, with the numbers.
 */
text: string, 
/**
 * Why it matters.
 */
reason: string, 
/**
 * Where the reason comes from.
 */
source: string, 
/**
 * How far that source was checked.
 */
trust: Trust, };

/**
 * What advice is about.
 */
export type AdviceKind = "over_time" | "under_time" | "unusual_dose" | "swallow_rest" | "mouth_check" | "no_rest" | "no_sip" | "not_cleared" | "over_ceiling" | "long_home_list" | "home_only" | "same_clues" | "many_swallows" | "no_warm_up" | "no_check_in" | "no_explaining" | "equipment" | "long_stretch" | "short_rest" | "home_by_clinician";

/**
 * Where a drill may be done.
 */
export type Setting = "class" | "home";

/**
 * Where the tune of a sentence goes at its end.
 */
export type Tune = "rise" | "fall";

/**
 * When the next item of a set comes.
 */
export type Each = "rep" | "set";

/**
 * A form of a drill other than the usual one.
 */
export type DrillForm = { 
/**
 * How to do it, in one plain sentence.
 */
what: string, 
/**
 * The phases of one repetition. Without any, the drill's own are shown, with the sentence beside them.
 */
phases: Array<PhaseSpec>, 
/**
 * How many repetitions a set has at most; `None` for as many as the class does, or as fit.
 */
reps: number | null, 
/**
 * When a repetition begins.
 */
pace: FormPace, };

/**
 * When the repetitions of a form begin.
 */
export type FormPace = "class" | "own";

/**
 * The items that a drill's repetitions are done with.
 */
export type ItemUse = { 
/**
 * The usual set.
 */
set: string, 
/**
 * When the next item comes.
 */
each: Each, };

/**
 * A part of an item.
 */
export type Part = "say" | "then";

/**
 * What the items of a set are.
 */
export type ItemKind = "phrase" | "pair" | "stress" | "reading" | "face" | "mood" | "topic" | "letter" | "saying" | "riddle";

/**
 * What one repetition asks for.
 */
export type Item = { 
/**
 * The words, shown large.
 */
say: string, 
/**
 * The second part: the answer to a question, the words for a mood, the end of a saying.
 */
then?: string, 
/**
 * The pose that the picture shows, where it is not the drill's own.
 */
pose?: string, };

/**
 * Items of one kind.
 */
export type ItemSet = { 
/**
 * Its id: the name of its file without the ending.
 */
id: string, 
/**
 * Its name in the planner.
 */
name: string, 
/**
 * What its items are.
 */
kind: ItemKind, 
/**
 * The language of its items, a BCP 47 tag.
 */
language: string, 
/**
 * At least one.
 */
items: Array<Item>, };

/**
 * The items that somebody chose for a step, in place of its drill's usual ones: another set, some of a set, or words of
 * one's own.
 */
export type ItemChoice = { 
/**
 * The set; the drill's usual one where absent.
 */
set: string | null, 
/**
 * The numbers of its items, from 1, in this order; all of them when empty.
 */
only: Array<number>, 
/**
 * Words of one's own, in place of a set.
 */
words: Array<string>, };

/**
 * The usual range of a dose, both ends included; absent where the sources give no range.
 */
export type Usual = { 
/**
 * Sets.
 */
sets: [number, number] | null, 
/**
 * Repetitions in a set.
 */
reps: [number, number] | null, 
/**
 * What a hold counts as held, in milliseconds; for an open hold, its target.
 */
hold_ms: [number, number] | null, };

/**
 * An exercise of the library.
 */
export type Drill = { 
/**
 * Its id: the name of its file without the ending.
 */
id: string, 
/**
 * Its name on the screens.
 */
name: string, 
/**
 * Its family.
 */
family: Family, 
/**
 * What it is for, in one plain line.
 */
purpose: string, 
/**
 * The pose that its picture shows.
 */
pose: string, 
/**
 * Whether people look away from the screen, so that sound must carry the cues.
 */
eyes_away: boolean, 
/**
 * When the screen may ask for a tap.
 */
tap: Tap, 
/**
 * Where it may be done.
 */
place: Setting, 
/**
 * Its sides or positions, in order and each with a name. A drill without sides has a single one without a
 * name.
 */
sides: Array<Side>, 
/**
 * The phases of one repetition, in order; at least one.
 */
phases: Array<PhaseSpec>, 
/**
 * What is shown between repetitions.
 */
between: Between, 
/**
 * The usual dose.
 */
dose: Dose, 
/**
 * The usual range of the dose.
 */
usual: Usual, 
/**
 * Cautions, the one that matters most first.
 */
cautions: Array<string>, 
/**
 * The easier form.
 */
easier: DrillForm | null, 
/**
 * The form for whoever must stay seated, where it is not the usual one.
 */
seated?: DrillForm | null, 
/**
 * The harder form.
 */
harder: DrillForm | null, 
/**
 * Who needs to be cleared before doing it.
 */
clearance: Array<string>, 
/**
 * What a person needs to have for it, such as a straw of their own.
 */
needs?: Array<string>, 
/**
 * What the facilitator should know about weak or missing evidence, so that nobody is promised too much.
 */
evidence: string | null, 
/**
 * Where the dose and the cautions come from; at least one.
 */
sources: Array<Reference>, 
/**
 * The items that its repetitions are done with; absent for a drill without words of its own.
 */
items?: ItemUse | null, };

/**
 * One phase of a repetition as the drill's file gives it.
 */
export type PhaseSpec = { 
/**
 * What people do in it.
 */
phase: Phase, 
/**
 * The cue on the screen.
 */
cue: string, 
/**
 * How long it lasts, with the marks of an open hold.
 */
length: Hold, 
/**
 * The firmer end of a hold: its length in milliseconds, shorter than the hold, and its cue.
 */
firm: [number, string] | null, 
/**
 * The pose that the picture shows; `None` for the side's or the drill's own.
 */
pose?: string | null, 
/**
 * The part of the repetition's item that is shown large; absent where the cue alone is shown.
 */
item?: Part | null, 
/**
 * Where the tune of the voice goes at the end, drawn beside the words.
 */
tune?: Tune | null, 
/**
 * The time from one beat to the next, in milliseconds; absent where there is no beat.
 */
beat_ms?: number, };

/**
 * What is shown between two repetitions.
 */
export type Between = { 
/**
 * [`Phase::Rest`] or [`Phase::Sip`].
 */
phase: Phase, 
/**
 * The cue on the screen.
 */
cue: string, };

/**
 * A side or position.
 */
export type Side = { 
/**
 * Its name on the screen; `None` where there is only one.
 */
name: string | null, 
/**
 * The pose that its picture shows; `None` for the drill's own.
 */
pose: string | null, };

/**
 * The library as the planner shows it (`GET /api/planner/library`).
 */
export type LibraryBook = { 
/**
 * All drills in the order of their names.
 */
drills: Array<DrillCard>, 
/**
 * All clue sets in the order of their themes.
 */
clue_sets: Array<ClueCard>, 
/**
 * All item sets in the order of their ids, without translations.
 */
item_sets: Array<ItemSet>, 
/**
 * Plans to start from.
 */
templates: Array<TemplateCard>, 
/**
 * The host's own files that were left out, each with its file, line and reason.
 */
refused: Array<string>, };

/**
 * A drill of the library, with what only the server can say about it.
 */
export type DrillCard = { 
/**
 * The drill, as its file gives it.
 */
drill: Drill, 
/**
 * The hold of the usual dose; absent for drills without one.
 */
hold: Hold | null, 
/**
 * How long the usual dose takes with its get-ready, in milliseconds.
 */
clock_ms: number, 
/**
 * Whether it is off for everyone until a clinician switches it on or clears the person.
 */
off_for_all: boolean, 
/**
 * Conditions for which the house rules turn it off until a clinician clears the person.
 */
off_for: Array<Condition>, };

/**
 * A clue set of the library.
 */
export type ClueCard = { id: string, theme: string, game: Game, clues: number, 
/**
 * How many of its clues are of level 1, 2 and 3.
 */
levels: [number, number, number], 
/**
 * Its clues in order.
 */
words: Array<ClueWords>, 
/**
 * The languages in which it is there, its own first.
 */
languages: Array<string>, 
/**
 * The round from which it is made, for a set that was written in the planner.
 */
round: string | null, };

/**
 * A clue as whoever plans reads it.
 */
export type ClueWords = { 
/**
 * The clue.
 */
clue: string, 
/**
 * Its answer.
 */
answer: string, 
/**
 * Its hints in the order in which they are given.
 */
hints: Array<string>, };

/**
 * A class that has not ended (`GET /api/planner/classes`).
 */
export type ClassCard = { 
/**
 * The class's id.
 */
id: string, 
/**
 * What it is called.
 */
title: string, 
/**
 * The code with which participants join, in two groups.
 */
code: string, 
/**
 * Whether its participants are rehearsed.
 */
rehearsal: boolean, 
/**
 * When it was made.
 */
created_at: EpochMs, 
/**
 * The group it is held for.
 */
group: GroupId | null, };

/**
 * A plan to start from.
 */
export type TemplateCard = { 
/**
 * The template's id.
 */
id: string, 
/**
 * The title of the plan.
 */
title: string, };

/**
 * A plan in the list (`GET /api/planner/plans`).
 */
export type PlanCard = { 
/**
 * The plan's id.
 */
id: string, 
/**
 * The plan's title.
 */
title: string, 
/**
 * The plan's version.
 */
version: number, 
/**
 * The day it is meant for.
 */
day: string | null, 
/**
 * The group it is meant for.
 */
group: GroupId | null, 
/**
 * When it was last saved.
 */
updated_at: EpochMs, 
/**
 * How many steps it has.
 */
steps: number, };

/**
 * A group in the list (`GET /api/planner/groups`).
 */
export type GroupCard = { 
/**
 * The group's id.
 */
id: GroupId, 
/**
 * The group's name.
 */
name: string, 
/**
 * The people enrolled in it, in the order of its list.
 */
people: Array<PersonId>, 
/**
 * The day of the week on which it meets, from 1 (Monday).
 */
weekday: number | null, 
/**
 * When it starts, as 10:00 local time.
 */
start: string | null, };

/**
 * Makes a new plan (`POST /api/planner/plans`).
 */
export type NewPlan = { "from": "empty", 
/**
 * The title of the new plan.
 */
title: string, 
/**
 * The group it is for; the plan takes the group's time.
 */
group: GroupId | null, 
/**
 * The day it is for; without one, the day of the group's next class.
 */
day?: string, } | { "from": "template", 
/**
 * The template's id.
 */
id: string, 
/**
 * The group it is for; the plan takes the group's next day and its time.
 */
group: GroupId | null, } | { "from": "next_week", 
/**
 * The id of that plan.
 */
id: string, 
/**
 * The version of it that the page shows.
 */
version: number, 
/**
 * Whether every dose becomes slightly harder, within its usual range.
 */
one_notch_on: boolean, } | { "from": "file", 
/**
 * The text of the file.
 */
text: string, } | { "from": "copy", 
/**
 * The plan as the page shows it.
 */
planned: Planned, };

/**
 * Saves a plan, a group or a round (`PUT /api/planner/plans/{id}`, and so on).
 */
export type Save<T> = { 
/**
 * The version that this save changes.
 */
after: number, 
/**
 * The new content.
 */
content: T, };

/**
 * Answers a save.
 */
export type Saved<T> = { 
/**
 * Whether it was saved. If not, somebody else had saved first, and nothing was overwritten.
 */
saved: boolean, 
/**
 * What the server has now.
 */
now: Versioned<T>, };

/**
 * Removes a plan, a group or a round and returns what it held (`DELETE /api/planner/plans/{id}`, and so on).
 */
export type Remove = { 
/**
 * The version that the page shows.
 */
version: number, };

/**
 * Asks what a draft amounts to (`POST /api/planner/look`).
 */
export type LookAt = { 
/**
 * The id of the plan being written, so that it does not count among what its group has had.
 */
plan: string | null, 
/**
 * The draft.
 */
planned: Planned, };

/**
 * What a draft amounts to.
 */
export type Look = { 
/**
 * Why the draft cannot be led yet, if it cannot.
 */
error: DraftError | null, 
/**
 * How long all steps take together, in milliseconds.
 */
clock_ms: number, 
/**
 * How long the class is booked for, in milliseconds.
 */
class_ms: number, 
/**
 * What each step amounts to; there are fewer than in the draft when there is an error.
 */
steps: Array<StepLook>, 
/**
 * Advice on the draft.
 */
advice: Array<Advice>, 
/**
 * What the plan's group had before its day; absent for a plan without a group or a day.
 */
had: GroupHad | null, };

/**
 * What a group had before a day.
 */
export type GroupHad = { 
/**
 * Each drill that the group had.
 */
drills: Array<HadDrill>, 
/**
 * Each round of the library, with what is left of it.
 */
rounds: Array<RoundLeft>, };

/**
 * When a group last had a drill.
 */
export type HadDrill = { 
/**
 * The drill's id.
 */
drill: string, 
/**
 * How many days earlier it last came.
 */
days: number, };

/**
 * Which clues of a round a group can still get.
 */
export type RoundLeft = { 
/**
 * The clue set's id.
 */
set: string, 
/**
 * The numbers of the clues that the group has not had within its number of weeks.
 */
left: Array<number>, 
/**
 * How many days earlier one of its clues last came; absent if none did.
 */
days: number | null, };

/**
 * A person, in the list (`GET /api/planner/people`).
 */
export type PersonEntry = { 
/**
 * The person's id.
 */
id: PersonId, 
/**
 * What they are called.
 */
name: string, 
/**
 * Their precautions.
 */
conditions: Array<Condition>, 
/**
 * How many decisions clinicians made about them.
 */
decisions: number, 
/**
 * Whether what concerns their health is kept from whoever asks.
 */
health_hidden: boolean, };

/**
 * Asks when a group meets (`POST /api/planner/groups/look`).
 */
export type GroupLookAt = { 
/**
 * The group as the page shows it.
 */
group: Group, 
/**
 * For how many weeks from today, 1 to 110.
 */
weeks: number, };

/**
 * When a group meets.
 */
export type GroupLook = { 
/**
 * Its next classes, those that are on and the cancelled ones; none until its weekday, time and zone are known.
 */
classes: Array<Occurrence>, };

/**
 * A class of the coming days (`GET /api/planner/week`).
 */
export type ComingClass = { 
/**
 * The group.
 */
group: GroupId, 
/**
 * Its name.
 */
name: string, 
/**
 * The zone of its clocks.
 */
zone: string, 
/**
 * When it is.
 */
class: Occurrence, 
/**
 * How many people are expected.
 */
expected: number, 
/**
 * The plan that was made for it; the one that was saved last where there are several.
 */
plan: string | null, 
/**
 * The session that was made for it; the newest where there are several.
 */
session: string | null, 
/**
 * Whether that session has ended.
 */
ended: boolean, };

/**
 * What staff see first.
 */
export type Today = { 
/**
 * The server's clock.
 */
now: EpochMs, 
/**
 * The class of the day: the one that is on, or else the next one of the next 24 hours in
 * which whoever asks may lead or help.
 */
class: DayClass | null, 
/**
 * What is left to do, the most pressing first.
 */
left: Array<LeftToDo>, };

/**
 * The class of the day.
 */
export type DayClass = { 
/**
 * When it is, and for whom.
 */
coming: ComingClass, 
/**
 * When people can come in, once the class was made.
 */
opens: EpochMs, 
/**
 * Whether whoever asks may see what is new about its people.
 */
sees_people: boolean, 
/**
 * Its plan at a glance, once it has one that could be held.
 */
plan: PlanGlance | null, 
/**
 * Who sent word that they cannot come, by their names.
 */
absent: Array<string>, 
/**
 * The regular day of the group's last class.
 */
last: string | null, 
/**
 * What has changed since then.
 */
changes: Array<Change>, };

/**
 * A plan at a glance.
 */
export type PlanGlance = { 
/**
 * How long the class is booked for, in minutes.
 */
minutes: number, 
/**
 * Its steps in their order.
 */
steps: Array<GlanceStep>, };

/**
 * A step at a glance.
 */
export type GlanceStep = { 
/**
 * The part of the class that begins with it, if one does.
 */
part: string | null, 
/**
 * How long the plan allows for it, in milliseconds.
 */
clock_ms: number, };

/**
 * Something that is left to do.
 */
export type LeftToDo = { "what": "follow_up", 
/**
 * The session.
 */
session: string, 
/**
 * What the session is called.
 */
title: string, 
/**
 * The seat of the person whom it is about.
 */
seat: SeatId, 
/**
 * The person's name.
 */
name: string, 
/**
 * What needs to be done.
 */
to_do: string, 
/**
 * Who does it.
 */
owner: string, 
/**
 * The last day on which it should be done.
 */
due: string, } | { "what": "notes", 
/**
 * The session.
 */
session: string, 
/**
 * What the session is called.
 */
title: string, 
/**
 * The day on which it was held.
 */
day: string, 
/**
 * How many people.
 */
people: number, } | { "what": "retention_open" } | { "what": "records_go", 
/**
 * How many people's.
 */
people: number, 
/**
 * The day on which the first of them goes.
 */
on: string, } | { "what": "retention_failed", 
/**
 * The day of the last look.
 */
day: string, } | { "what": "letter_failed", 
/**
 * To whom it was.
 */
person: PersonId, 
/**
 * Their name.
 */
name: string, 
/**
 * Why, in the mail server's words.
 */
why: string, } | { "what": "no_plan", 
/**
 * The group.
 */
group: GroupId, 
/**
 * Its name.
 */
name: string, 
/**
 * The day of the class.
 */
day: string, };

/**
 * One change since a group's last class.
 */
export type Change = { "what": "new_person", 
/**
 * Who it is.
 */
name: string, } | { "what": "new_precautions", 
/**
 * Who it is.
 */
name: string, 
/**
 * The new ones.
 */
conditions: Array<Condition>, } | { "what": "reps", 
/**
 * The drill's title in the plan.
 */
title: string, 
/**
 * Over all sets and sides, in the last class.
 */
before: number, 
/**
 * Now.
 */
now: number, } | { "what": "held", 
/**
 * The drill's title in the plan.
 */
title: string, 
/**
 * Milliseconds in all, in the last class.
 */
before_ms: number, 
/**
 * Now.
 */
now_ms: number, } | { "what": "new_drill", 
/**
 * The drill's title in the plan.
 */
title: string, };

/**
 * A round that is written in the planner, in the list (`GET /api/planner/rounds`).
 */
export type RoundCard = { 
/**
 * The round's id.
 */
id: string, 
/**
 * Its newest version.
 */
version: number, 
/**
 * Its theme.
 */
theme: string, 
/**
 * What people are asked to do.
 */
game: Game, 
/**
 * How many clues it has.
 */
clues: number, 
/**
 * Whether it can be played.
 */
finished: boolean, };

/**
 * Begins a round (`POST /api/planner/rounds`).
 */
export type NewRound = { "from": "empty", 
/**
 * The theme, shown to everyone.
 */
theme: string, 
/**
 * The language of its words.
 */
language: string, } | { "from": "set", 
/**
 * The set's id.
 */
set: string, 
/**
 * The language of which the words are taken; the set's own where it has no such translation.
 */
language: string, } | { "from": "copy", 
/**
 * The round as the page shows it.
 */
round: WrittenRound, };

/**
 * Asks what a round amounts to, and tries answers to its clues (`POST /api/planner/rounds/look`).
 */
export type RoundLookAt = { 
/**
 * The round as it is written.
 */
round: WrittenRound, 
/**
 * An answer to try for each clue, in the order of the clues; empty where none is tried.
 */
said: Array<string>, };

/**
 * What a round amounts to.
 */
export type RoundLook = { 
/**
 * What keeps it from being played; empty when nothing does.
 */
unfinished: Array<Unfinished>, 
/**
 * The hints of each clue in the order in which they are given.
 */
hints: Array<Array<string>>, 
/**
 * What the answer that was tried for each clue is worth; absent where none was.
 */
heard: Array<Verdict | null>, };

/**
 * A round as it is written.
 */
export type WrittenRound = { 
/**
 * The theme, shown to everyone.
 */
theme: string, 
/**
 * What people are asked to do.
 */
game: Game, 
/**
 * The language of its words.
 */
language: string, 
/**
 * How long the countdown of each clue runs, in milliseconds; absent where nobody is timed.
 */
counter_ms: number | null, 
/**
 * The clues in order.
 */
clues: Array<WrittenClue>, };

/**
 * A clue as it is written; an empty text is one that is not there.
 */
export type WrittenClue = { 
/**
 * The clue itself; at most 200 characters.
 */
clue: string, 
/**
 * The answer, or examples of a kind; at most 60 characters.
 */
answer: string, 
/**
 * Other answers that are just as right, or words of the kind; at most 60 characters each.
 */
accept: Array<string>, 
/**
 * The wrong word in the choice of two; at most 60 characters.
 */
other: string, 
/**
 * A second clue from another side, which is the first hint; at most 110 characters.
 */
more: string, 
/**
 * The first part of the answer, for a hint; at most 60 characters.
 */
starts: string, 
/**
 * Why this is the answer; at most 120 characters.
 */
because: string, 
/**
 * Hints in place of the usual ones; at most 120 characters each.
 */
hints: Array<string>, 
/**
 * How common the answer is, from 1 (everyday) to 3 (rare).
 */
level: number | null, 
/**
 * Where a fact in the clue comes from; at most 300 characters.
 */
source: string, };

/**
 * What keeps a round from being played.
 */
export type Unfinished = { 
/**
 * The number of the clue, from 1; absent where it is the round as a whole.
 */
clue: number | null, 
/**
 * What is missing or wrong.
 */
what: Flaw, };

/**
 * What is missing from a round, or wrong in it.
 */
export type Flaw = { "kind": "no_clues" } | { "kind": "no_clue" } | { "kind": "no_answer" } | { "kind": "not_the_beginning" } | { "kind": "choice_is_right" } | { "kind": "same_answer", 
/**
 * The number of that clue, from 1.
 */
as_clue: number, } | { "kind": "no_hints" };

/**
 * What a step amounts to.
 */
export type StepLook = { 
/**
 * The title of the step.
 */
title: string, 
/**
 * When it begins, in milliseconds from the start of the class.
 */
starts_ms: number, 
/**
 * How long it takes, in milliseconds.
 */
clock_ms: number, 
/**
 * Repetitions over all sets and sides.
 */
reps: number, 
/**
 * The time held as planned, in milliseconds.
 */
held_ms: number, 
/**
 * What the plan's group did with its drill in the last classes that had it, the newest first.
 */
did: Array<DrillClass>, 
/**
 * One notch more or less, where that speaks for it.
 */
proposal: NotchProposal | null, };

/**
 * A class whose records cannot be read (`GET /api/planner/unreadable`).
 */
export type Unreadable = { 
/**
 * The class's title.
 */
title: string, 
/**
 * When the class was made.
 */
created_at: EpochMs, 
/**
 * Which line cannot be read, or what is missing.
 */
why: string, };

/**
 * Begins a class from a plan (`POST /api/planner/plans/{id}/class`).
 */
export type BeginClass = { 
/**
 * The version that the page shows.
 */
version: number, 
/**
 * Whether the participants are rehearsed.
 */
rehearsal: boolean, 
/**
 * Made by the browser; the same when sent again, so that a request whose answer was lost begins no second
 * class.
 */
request: string, };

/**
 * The links of a new class.
 */
export type ClassLinks = { 
/**
 * Opens the facilitator's desk, once.
 */
desk: string | null, 
/**
 * Opens the helper's desk, once.
 */
helper: string | null, 
/**
 * Opens the wall.
 */
wall: string, 
/**
 * Where participants join.
 */
class: string, 
/**
 * The code with which participants join.
 */
code: string, };

/**
 * A desk that was opened in this browser (`POST /api/planner/classes/{id}/desk`).
 */
export type OpenedDesk = { 
/**
 * The desk's stay, which its page has in its address.
 */
stay: string, };

/**
 * The complete dose of one drill. It is built from a drill and a plan step's changes, and every bound is checked
 * on the way, so a `Dose` always compiles.
 */
export type Dose = { 
/**
 * Sets, 1 to 20.
 */
sets: number, 
/**
 * Repetitions in a set, 1 to 100.
 */
reps: number, 
/**
 * The length of every hold phase; `None` for the length in the drill.
 */
hold: Hold | null, 
/**
 * Rest between two repetitions, in milliseconds; there is none after the last.
 */
rest_ms: number, 
/**
 * Rest between two sets, in milliseconds; there is none after the last.
 */
set_rest_ms: number, 
/**
 * Time to change from one side or position to the next, in milliseconds.
 */
switch_ms: number, 
/**
 * Time to explain the drill before the first repetition, in milliseconds.
 */
explain_ms: number, 
/**
 * How many repetitions are shown first, 0 to 3, while people watch.
 */
shown: number, 
/**
 * Other lengths of the phases that are no holds.
 */
lengths: Lengths, };

/**
 * Changes to a drill's usual dose, as a plan step or a desk gives them. What is absent stays as it is.
 */
export type DoseChange = { 
/**
 * New number of sets.
 */
sets?: number, 
/**
 * New number of repetitions.
 */
reps?: number, 
/**
 * New hold.
 */
hold?: Hold, 
/**
 * New rest between repetitions.
 */
rest_ms?: number, 
/**
 * New rest between sets.
 */
set_rest_ms?: number, 
/**
 * New time to change sides.
 */
switch_ms?: number, 
/**
 * New time to explain.
 */
explain_ms?: number, 
/**
 * New number of repetitions that are shown first.
 */
shown?: number, 
/**
 * New lengths of the phases that are no holds; those that are not named stay as they are.
 */
lengths?: Lengths, };

/**
 * Other lengths of a repetition's phases than those in the drill, in milliseconds.
 */
export type Lengths = { 
/**
 * Each breath in.
 */
breathe_in_ms?: number, 
/**
 * Each breath out.
 */
breathe_out_ms?: number, 
/**
 * Each phase in which people use their voice: a glide, a hum, a phrase, a hunt for words.
 */
voice_ms?: number, 
/**
 * Each movement.
 */
move_ms?: number, };

/**
 * How long a hold lasts on the shared clock.
 */
export type Hold = { "kind": "fixed", 
/**
 * Length in milliseconds.
 */
ms: number, } | { "kind": "open", 
/**
 * The first mark: the least that is worth doing.
 */
floor_ms: number, 
/**
 * The aim for most people; what the plan counts as held.
 */
target_ms: number, 
/**
 * Where the clock ends the hold.
 */
limit_ms: number, };

/**
 * What people do in a timed part of a repetition.
 */
export type Phase = "get_ready" | "breathe_in" | "breathe_out" | "move" | "voice" | "hold" | "firm_up" | "swallow" | "release" | "rest" | "sip" | "change_sides" | "watch";

/**
 * Groups of drills that share cautions and clearance: the rows of the house rules.
 */
export type Family = "posture" | "breath" | "cough" | "trainer" | "voice" | "effortful-swallow" | "tongue-hold" | "hold-at-top" | "head-lift" | "chin-tuck" | "jaw-opening" | "neck" | "lips-face" | "words";

/**
 * When the screen may ask for a tap: never while people swallow or use their voice. *I need to stop* is always
 * there and always works.
 */
export type Tap = "rests" | "after";

/**
 * A source.
 */
export type Reference = { 
/**
 * What is taken from it, and the source's name.
 */
what: string, 
/**
 * How far it was checked.
 */
trust: Trust, 
/**
 * Where it was seen; present only for [`Trust::Seen`].
 */
at: string | null, };

/**
 * How far a source was checked.
 */
export type Trust = "seen" | "memory" | "common-practice" | "arithmetic" | "judgement";

/**
 * All spans of a step; empty for steps without a clock.
 */
export type Timeline = { 
/**
 * The get-ready before offset 0, in milliseconds; the position starts at minus this.
 */
ready_ms: number, 
/**
 * Spans in order, without gaps, the first at 0.
 */
spans: Array<Span>, 
/**
 * Where the last span ends, in milliseconds.
 */
total_ms: number, };

/**
 * A stretch of the timeline in which one thing is asked for.
 */
export type Span = { 
/**
 * Milliseconds from the timeline's start.
 */
start_ms: number, 
/**
 * Length in milliseconds, more than 0.
 */
len_ms: number, 
/**
 * What people do in it.
 */
phase: Phase, 
/**
 * The cue on the screen.
 */
cue: string, 
/**
 * The pose that the picture shows, where it is not the side's or the drill's own.
 */
pose?: string, 
/**
 * The set, from 1.
 */
set: number, 
/**
 * The repetition within the set, from 1; 0 while people watch.
 */
rep: number, 
/**
 * The side or position, as an index into the drill's sides.
 */
side: number, 
/**
 * Marks of an open hold.
 */
marks: Marks | null, 
/**
 * How many milliseconds of this span the plan counts as held.
 */
held_ms: number, 
/**
 * The words of the repetition's item, shown larger than the cue.
 */
say?: string, 
/**
 * Where the tune of the voice goes.
 */
tune?: Tune, 
/**
 * The time from one beat to the next, in milliseconds.
 */
beat_ms?: number, };

/**
 * Marks of an open hold, in milliseconds from the span's start.
 */
export type Marks = { 
/**
 * First mark.
 */
floor_ms: number, 
/**
 * Target.
 */
target_ms: number, };

/**
 * More time for one span, given while the step runs.
 */
export type Stretch = { 
/**
 * The index of the span.
 */
span: number, 
/**
 * How much longer the span becomes, in milliseconds.
 */
by_ms: number, };

