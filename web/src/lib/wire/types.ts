// Made from the Rust types by `cargo test -p samebreath-wire` with SAMEBREATH_WRITE=1. Do not edit.

export const SUBPROTOCOL = "samebreath.v1";
export const HEARTBEAT_MS = 10000;

/** What to do after the server closed a socket, by close code. */
export const AFTER_CLOSE: Readonly<Record<number, "reconnect" | "reconnect_later" | "reload" | "join_again">> = {
  1012: "reconnect", // restarting
  4002: "reload", // bad message
  4003: "join_again", // not allowed
  4004: "reconnect", // silent
  4008: "reconnect", // too slow
  4029: "reconnect_later", // too many messages
};

/**
 * From the browser.
 */
export type ClientMessage = { "kind": "clock_ask", 
/**
 * The browser's monotonic clock, in milliseconds; comes back unchanged.
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
 * Made by the browser, the same when sent again.
 */
id: CommandId, 
/**
 * What is asked.
 */
command: SeatCommand, } | { "kind": "desk", 
/**
 * Made by the browser, the same when sent again.
 */
id: CommandId, 
/**
 * What is asked.
 */
command: DeskCommand, };

/**
 * From the server.
 */
export type ServerMessage = { "kind": "welcome", 
/**
 * What this socket is.
 */
role: RoleName, 
/**
 * The seat, for a participant.
 */
seat: SeatId | null, 
/**
 * Changes when the server's clock may have been set anew; measurements before are void.
 */
clock_id: string, } | { "kind": "clock", 
/**
 * As it was asked.
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
 * Which clock.
 */
clock_id: string, } | { "kind": "stage", 
/**
 * The stage.
 */
stage: Stage, } | { "kind": "mine", 
/**
 * The private view.
 */
mine: Mine, } | { "kind": "desk", 
/**
 * The desk's view.
 */
desk: DeskFrame, } | { "kind": "taken", 
/**
 * Which.
 */
id: CommandId, } | { "kind": "refused", 
/**
 * Which.
 */
id: CommandId, 
/**
 * A stable name of the reason.
 */
code: string, 
/**
 * The reason in a sentence.
 */
text: string, } | { "kind": "not_recording", 
/**
 * Whether that is so now; false when it is over.
 */
now: boolean, } | { "kind": "restart", 
/**
 * When to come back, in milliseconds from now.
 */
in_ms: number, };

/**
 * What a socket is.
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
 * The first name.
 */
name: string, };

/**
 * Answers a join.
 */
export type Joined = { 
/**
 * The seat.
 */
seat: SeatId, };

/**
 * Uses a link (`POST /api/pass`).
 */
export type PassRequest = { 
/**
 * The token from the link's fragment.
 */
token: string, };

/**
 * Answers the use of a link: the browser now has a cookie for this role.
 */
export type Opened = { 
/**
 * What it opens.
 */
role: RoleName, 
/**
 * The local emergency number that the host configured; kept by the page, so that it can be
 * shown without the network.
 */
emergency_number: string | null, };

/**
 * The run sheet (`GET /api/desk/sheet`).
 */
export type Sheet = { 
/**
 * What the session is called.
 */
title: string, 
/**
 * The code in two groups.
 */
code: string, 
/**
 * Whether the participants are rehearsed.
 */
rehearsal: boolean, 
/**
 * How long the class is booked for.
 */
class_ms: number, 
/**
 * When the session was made.
 */
created_at: EpochMs, 
/**
 * The steps.
 */
steps: Array<SheetStep>, };

/**
 * An error of the HTTP interface.
 */
export type Problem = { 
/**
 * A stable name.
 */
code: string, 
/**
 * A plain sentence.
 */
text: string, };

/**
 * Milliseconds since 1970-01-01T00:00:00Z on the server's clock.
 *
 * Everything that must agree between screens is an `EpochMs`; lengths are plain `i64`
 * milliseconds in names that end in `_ms`.
 */
export type EpochMs = number;

/**
 * A participant's place in a session, numbered from 1 in the order of coming.
 */
export type SeatId = number;

/**
 * A step of a live session; it keeps its id when steps are inserted before it.
 */
export type StepId = number;

/**
 * Made by the browser; the same command sent twice has the same id and counts once.
 */
export type CommandId = string;

/**
 * Made by the browser when a person reports discomfort.
 */
export type ReportId = string;

/**
 * The two members of staff.
 */
export type DeskRole = "facilitator" | "helper";

/**
 * What a desk can ask.
 */
export type DeskCommand = { "do": "open" } | { "do": "start" } | { "do": "next" } | { "do": "back" } | { "do": "go_to", 
/**
 * Where to.
 */
step: StepId, } | { "do": "pause" } | { "do": "pause_for_safety" } | { "do": "go_on" } | { "do": "again_step" } | { "do": "again_rep" } | { "do": "more_time", 
/**
 * By how many seconds, 5 to 120.
 */
seconds: number, } | { "do": "cut_short" } | { "do": "insert", 
/**
 * After which.
 */
after: StepId | null, 
/**
 * What to put there.
 */
step: StepRequest, } | { "do": "swap_dose", 
/**
 * Which step.
 */
step: StepId, 
/**
 * What changes.
 */
change: DoseChange, } | { "do": "show_clue" } | { "do": "show_hint" } | { "do": "show_answer" } | { "do": "see_report", 
/**
 * Which report.
 */
report: ReportId, } | { "do": "close_report", 
/**
 * Which report.
 */
report: ReportId, } | { "do": "ask_rest", 
/**
 * Who.
 */
seat: SeatId, } | { "do": "message", 
/**
 * Who.
 */
seat: SeatId, 
/**
 * What.
 */
text: string, } | { "do": "remove", 
/**
 * Who.
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
into: SeatId, } | { "do": "add_by_phone", 
/**
 * Who.
 */
name: string, } | { "do": "mark_seat", 
/**
 * Who.
 */
seat: SeatId, 
/**
 * Done or stopped.
 */
answer: Mark, } | { "do": "clear_swallow", 
/**
 * Who; nobody named means all present.
 */
seat: SeatId | null, } | { "do": "hand_desk", 
/**
 * Who leads from now on.
 */
to: DeskRole, } | { "do": "end" };

/**
 * What a participant can ask.
 */
export type SeatCommand = { "do": "check_in", 
/**
 * What was tapped.
 */
answers: CheckIn, } | { "do": "done", 
/**
 * Which.
 */
step: StepId, } | { "do": "undo", 
/**
 * Of which step.
 */
step: StepId, } | { "do": "how_far", 
/**
 * Of which step.
 */
step: StepId, 
/**
 * Up to which mark.
 */
far: HowFar, } | { "do": "stop", 
/**
 * Why, when said.
 */
reason: StopReason | null, } | { "do": "go_on" } | { "do": "report", 
/**
 * Made by the browser, so that it counts once.
 */
report: ReportId, 
/**
 * What hurts.
 */
where: Where, 
/**
 * How strong, if said.
 */
strength: Strength | null, 
/**
 * A sign that needs help at once.
 */
urgent: UrgentSign | null, 
/**
 * In words, if the person wrote any.
 */
words: string | null, } | { "do": "take_back", 
/**
 * Which.
 */
report: ReportId, } | { "do": "answer_clue", 
/**
 * Which clue of the round, from 1.
 */
number: number, 
/**
 * The word, or nothing for a spoken "got it".
 */
word: string | null, } | { "do": "read_message" } | { "do": "leave" };

/**
 * What a desk marks by hand.
 */
export type Mark = "done" | "stopped" | "back";

/**
 * How far a person got in an open hold, by their own word.
 */
export type HowFar = "first_mark" | "target" | "beyond";

/**
 * Why a person stopped.
 */
export type StopReason = "tired" | "enough_for_today" | "hurts" | "other";

/**
 * Where it hurts.
 */
export type Where = "neck" | "throat" | "jaw" | "chest" | "head" | "shoulder" | "back" | "breathing" | "dizzy" | "elsewhere";

/**
 * How strong, in three words.
 */
export type Strength = "little" | "quite" | "very";

/**
 * Signs that need help at once.
 */
export type UrgentSign = "cannot_breathe" | "choking" | "chest_pain" | "faint" | "sudden_weakness";

/**
 * The check-in before the start, one tap each.
 */
export type CheckIn = { 
/**
 * How the person feels.
 */
feeling: Feeling, 
/**
 * Sits upright in a stable chair.
 */
seated: boolean, 
/**
 * Nothing in the mouth.
 */
mouth_empty: boolean, 
/**
 * Alone or with somebody.
 */
company: Company, 
/**
 * Where the person is today, for help to find them. Seen by desks only.
 */
place: string | null, 
/**
 * Whom to call. Seen by desks only.
 */
contact: string | null, };

/**
 * How a person feels today.
 */
export type Feeling = "well" | "so_so" | "not_well";

/**
 * Whether somebody is with the person.
 */
export type Company = "alone" | "with";

/**
 * The newest stage is all a class screen or wall needs; older ones can be thrown away.
 */
export type Stage = { 
/**
 * Grows with every change; a stage with a smaller number is older.
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
 * The steps of those moves and the next two, whose content can be fetched ahead.
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
clue: ClueFrame | null, };

/**
 * Before, during or after the class.
 */
export type StagePhase = "closed" | "waiting" | "running" | "ended";

/**
 * Names the content of a step. Content of one id and revision never changes.
 */
export type StepRef = { 
/**
 * The step.
 */
id: StepId, 
/**
 * Its revision.
 */
rev: number, };

/**
 * From `at` on, the session is at `offset_ms` of a step and runs on or stands still.
 */
export type Move = { 
/**
 * From when it holds.
 */
at: EpochMs, 
/**
 * The step.
 */
step: StepId, 
/**
 * The step's revision; it grows when the dose is swapped.
 */
rev: number, 
/**
 * Milliseconds of the step's timeline at `at`; negative while people get ready.
 */
offset_ms: number, 
/**
 * Whether the offset grows with the clock from `at` on.
 */
running: boolean, 
/**
 * Spans made longer, with which the offset is to be read.
 */
stretch: Array<Stretch>, };

/**
 * What is shown of a clue so far: never more than the facilitator has shown.
 */
export type ClueFrame = { 
/**
 * Which of the round, from 1.
 */
number: number, 
/**
 * How many the round has.
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
 * The answer, once shown.
 */
answer: string | null, };

/**
 * The words, pictures and timeline of a step, fetched ahead over HTTP.
 */
export type Content = { 
/**
 * The step.
 */
id: StepId, 
/**
 * Its revision.
 */
rev: number, 
/**
 * What it is.
 */
kind: ContentKind, 
/**
 * Its head.
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
 * The pose of the picture.
 */
pose: string | null, 
/**
 * Names and poses of the sides, by the index that spans use; names are absent where there is
 * only one.
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
 * Whether eyes leave the screen.
 */
eyes_away: boolean, 
/**
 * A swallow drill: everyone's mouth must be empty.
 */
swallow: boolean, 
/**
 * The clock; empty for steps without one.
 */
timeline: Timeline, };

/**
 * A side's name and pose.
 */
export type SideContent = { 
/**
 * Its name.
 */
name: string | null, 
/**
 * Its pose.
 */
pose: string | null, };

/**
 * Kinds of content.
 */
export type ContentKind = "drill" | "talk" | "check_in" | "sip" | "clues";

/**
 * What only one person sees.
 */
export type Mine = { 
/**
 * The seat.
 */
seat: SeatId, 
/**
 * The name.
 */
name: string, 
/**
 * Whether the check-in was given.
 */
checked_in: boolean, 
/**
 * Where a latecomer begins to take part.
 */
joins: JoinPoint | null, 
/**
 * The step that `answer` and `far` belong to: the present one.
 */
step: StepId | null, 
/**
 * What the person said of it.
 */
answer: Answer | null, 
/**
 * How far the open hold went.
 */
far: HowFar | null, 
/**
 * What the present step asks of this person.
 */
form: Form, 
/**
 * Set from a stop until the person goes on.
 */
stopped: boolean, 
/**
 * The stop's reason was said.
 */
reason_given: boolean, 
/**
 * A desk asked the person to rest.
 */
rest_asked: boolean, 
/**
 * The person's own reports, oldest first.
 */
reports: Array<MyReport>, 
/**
 * The oldest message not read yet.
 */
message: string | null, 
/**
 * The number of the clue that the person answered last in this step.
 */
clue_answered: number | null, 
/**
 * The seat was taken out of the class.
 */
removed: boolean, };

/**
 * A latecomer waits until the session is at this offset of the step, or at another step.
 */
export type JoinPoint = { 
/**
 * The step that was running.
 */
step: StepId, 
/**
 * Where its next boundary is.
 */
offset_ms: number, };

/**
 * What a step asks of one person.
 */
export type Form = "full" | "rest";

/**
 * A person's own report.
 */
export type MyReport = { 
/**
 * Its id.
 */
id: ReportId, 
/**
 * How far it has come.
 */
state: ReportState, 
/**
 * Taken back.
 */
taken_back: boolean, };

/**
 * What a person can say of a step.
 */
export type Answer = "done" | "stopped";

/**
 * How far a report has come.
 */
export type ReportState = "recorded" | "seen" | "closed";

/**
 * What the desks see.
 */
export type DeskFrame = { 
/**
 * The ledger's number up to which this is true.
 */
seq: number, 
/**
 * Which desk leads.
 */
lead: DeskRole, 
/**
 * Whether the desk that leads is connected.
 */
lead_here: boolean, 
/**
 * The class in numbers.
 */
counts: Counts, 
/**
 * The roster in the order of attention.
 */
rows: Array<Row>, 
/**
 * Reports that are not closed, newest last.
 */
reports: Array<DeskReport>, 
/**
 * The clue with all its words.
 */
clue: DeskClue | null, 
/**
 * Planned and real time.
 */
pace: Pace, 
/**
 * Grows when the run sheet changes and must be read again.
 */
sheet_rev: number, };

/**
 * A report as the desk sees it.
 */
export type DeskReport = { 
/**
 * Its id.
 */
id: ReportId, 
/**
 * Whose.
 */
seat: SeatId, 
/**
 * The name.
 */
name: string, 
/**
 * When the server had it.
 */
at: EpochMs, 
/**
 * Where it hurts.
 */
place: Where, 
/**
 * How strong.
 */
strength: Strength | null, 
/**
 * A sign that needs help at once.
 */
urgent: UrgentSign | null, 
/**
 * In words.
 */
words: string | null, 
/**
 * The step it came from.
 */
during: StepId | null, 
/**
 * Its offset.
 */
during_ms: number | null, 
/**
 * How far it has come.
 */
state: ReportState, 
/**
 * Taken back.
 */
taken_back: boolean, 
/**
 * Where the person is today, as they said.
 */
location: string | null, 
/**
 * Whom to call, as they said.
 */
contact: string | null, };

/**
 * A clue as the desk sees it.
 */
export type DeskClue = { 
/**
 * Which of the round, from 1; 0 before the first is shown.
 */
number: number, 
/**
 * How many the round has.
 */
of: number, 
/**
 * The clue; the first one before it is shown.
 */
clue: string, 
/**
 * All its hints.
 */
hints: Array<string>, 
/**
 * How many of them are shown.
 */
hints_shown: number, 
/**
 * Its answer.
 */
answer: string, 
/**
 * Whether it is shown.
 */
answer_shown: boolean, 
/**
 * How many people have it, written or spoken.
 */
answered: number, };

/**
 * Planned and real time.
 */
export type Pace = { 
/**
 * How long the class is booked for.
 */
class_ms: number, 
/**
 * When it began.
 */
started_at: EpochMs | null, 
/**
 * When the present step was entered.
 */
step_at: EpochMs | null, 
/**
 * When it ended.
 */
ended_at: EpochMs | null, };

/**
 * How many are how, for a glance.
 */
export type Counts = { discomfort: number, stopped: number, away: number, working: number, done: number, resting: number, waiting: number, };

/**
 * One line of the roster.
 */
export type Row = { 
/**
 * Whose.
 */
seat: SeatId, 
/**
 * The name.
 */
name: string, 
/**
 * How the person is.
 */
status: Status, 
/**
 * Why stopped, if said.
 */
reason: StopReason | null, 
/**
 * How their screen is.
 */
screen: Screen, 
/**
 * When their screen was last heard; nothing if never.
 */
heard_at: EpochMs | null, 
/**
 * No answer to the last two drills.
 */
silent: boolean, 
/**
 * Whether they checked in.
 */
checked_in: boolean, 
/**
 * What in the check-in stands out.
 */
exceptions: Array<Exception>, 
/**
 * A clinician turned swallow drills on for them today.
 */
swallow_cleared: boolean, 
/**
 * A message was sent and not read yet.
 */
message_unread: boolean, };

/**
 * How a person is in the class.
 */
export type Status = "discomfort" | "stopped" | "away" | "working" | "done" | "resting" | "waiting";

/**
 * How a seat's screen is, in the desk's words.
 */
export type Screen = "live" | "quiet" | "off" | "away" | "phone";

/**
 * What stands out in a check-in.
 */
export type Exception = "not_well" | "not_seated" | "mouth_not_empty" | "alone";

/**
 * A line of the run sheet.
 */
export type SheetStep = { 
/**
 * The step.
 */
id: StepId, 
/**
 * Its revision.
 */
rev: number, 
/**
 * What it is.
 */
kind: ContentKind, 
/**
 * Its head.
 */
title: string, 
/**
 * Private note.
 */
note: string | null, 
/**
 * What the plan allows.
 */
planned_ms: number, 
/**
 * Its dose, if it is a drill.
 */
dose: Dose | null, 
/**
 * All cautions.
 */
cautions: Array<string>, 
/**
 * Who should be cleared first.
 */
clearance: Array<string>, 
/**
 * Where dose and cautions come from.
 */
sources: Array<string>, };

/**
 * A step as somebody asks for it, by the names of the library.
 */
export type StepRequest = { "kind": "drill", 
/**
 * The drill's id.
 */
drill: string, 
/**
 * Changes to its usual dose.
 */
change: DoseChange, } | { "kind": "talk", 
/**
 * Its title.
 */
title: string, 
/**
 * What is allowed for it, 1 to 60 minutes.
 */
minutes: number, } | { "kind": "sip", 
/**
 * Its length, 5 to 600 seconds.
 */
seconds: number, };

/**
 * A complete dose of one drill. Built by reading a drill and the changes of a plan step, which
 * check every bound, so a `Dose` always compiles.
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
 * Length of every hold phase; `None` keeps the drill's own.
 */
hold: Hold | null, 
/**
 * Rest between two repetitions, never after the last.
 */
rest_ms: number, 
/**
 * Rest between two sets, never after the last.
 */
set_rest_ms: number, 
/**
 * Time to change from one side or position to the next.
 */
switch_ms: number, };

/**
 * Changes to a drill's usual dose, as a plan step or the desk gives them.
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
switch_ms?: number, };

/**
 * How long a hold lasts on the shared clock.
 */
export type Hold = { "kind": "fixed", 
/**
 * Length in milliseconds.
 */
ms: number, } | { "kind": "open", 
/**
 * The first mark: worth doing at all.
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
 * What a timed part of a repetition asks for.
 */
export type Phase = "get_ready" | "breathe_in" | "breathe_out" | "move" | "voice" | "hold" | "firm_up" | "swallow" | "release" | "rest" | "sip" | "change_sides";

/**
 * All spans of a step. Empty for steps without a clock.
 */
export type Timeline = { 
/**
 * Notice before offset 0; the position starts at minus this.
 */
ready_ms: number, 
/**
 * Spans in order, without gaps, the first at 0.
 */
spans: Array<Span>, 
/**
 * Where the last span ends.
 */
total_ms: number, };

/**
 * A compiled phase.
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
 * What it asks for.
 */
phase: Phase, 
/**
 * The words on the screen.
 */
cue: string, 
/**
 * Set, from 1.
 */
set: number, 
/**
 * Repetition within the set, from 1.
 */
rep: number, 
/**
 * Side or position, an index into the drill's sides.
 */
side: number, 
/**
 * Marks of an open hold.
 */
marks: Marks | null, 
/**
 * What the plan counts as held in this span.
 */
held_ms: number, };

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
 * Index of the span.
 */
span: number, 
/**
 * By how much it is longer.
 */
by_ms: number, };

