// Made from the Rust types by `cargo test -p samebreath-wire` with SAMEBREATH_WRITE=1. Do not edit.

export const SUBPROTOCOL = "samebreath.v2";
export const HEARTBEAT_MS = 5000;

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
 * What the desk showed when it was pressed.
 */
pressed: Pressed | null, 
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
name: string, 
/**
 * Made by the browser, the same when sent again: a join whose answer was lost makes no second seat.
 */
request: string, };

/**
 * Answers a join.
 */
export type Joined = { 
/**
 * Names the place in the class; every address and command of the page has it.
 */
stay: string, 
/**
 * In the class, or asking to come in.
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
 * The class of a code, and whom this browser has taken a seat for in it.
 */
export type EntryAnswer = { 
/**
 * What the class is called.
 */
title: string, 
/**
 * This browser's own seat, if it has one: it goes on with that.
 */
seat: MySession | null, };

/**
 * A session that this browser has a pass for (`GET /api/me`).
 */
export type MySession = { 
/**
 * Names the place in it.
 */
stay: string, 
/**
 * What it is called.
 */
title: string, 
/**
 * What the pass opens.
 */
role: RoleName, 
/**
 * The name on the seat, for a participant.
 */
name: string | null, 
/**
 * How far the seat is in the class; absent for desks and walls.
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
 * Made by the browser, the same when sent again: a link that opens once opens again for an answer that was
 * lost.
 */
request: string, };

/**
 * Answers the use of a link: the browser now has a cookie for this role.
 */
export type Opened = { 
/**
 * Names the place in the session; every address and command of the page has it.
 */
stay: string, 
/**
 * What the session is called.
 */
title: string, 
/**
 * What it opens.
 */
role: RoleName, 
/**
 * The seat, for a participant.
 */
seat: SeatId | null, 
/**
 * How far the seat is in the class; absent for desks and walls.
 */
place: SeatPlace | null, 
/**
 * The local emergency number that the host configured; kept by the page, so that it can be
 * shown without the network.
 */
emergency_number: string | null, };

/**
 * How far a browser's seat is in the class.
 */
export type SeatPlace = "in" | "asking" | "turned_away" | "removed";

/**
 * Asks for a personal link (`POST /api/desk/{stay}/invite`): for a person who will come, or a new one for a
 * seat.
 */
export type InviteRequest = { "name": { 
/**
 * The name.
 */
name: string, 
/**
 * Made by the browser, the same when sent again.
 */
request: string, } } | { "seat": SeatId };

/**
 * A personal link, to be sent to that person only.
 */
export type Invited = { 
/**
 * The seat it leads to.
 */
seat: SeatId, 
/**
 * Its path and fragment.
 */
path: string, };

/**
 * A code by which a colleague opens the helper's desk, once (`POST /api/desk/{stay}/handover`).
 */
export type HandoverCode = { 
/**
 * The code in two groups.
 */
code: string, 
/**
 * Until when it works.
 */
expires_at: EpochMs, };

/**
 * The incident timeline and what is to be done (`GET /api/desk/{stay}/incidents`).
 */
export type IncidentBook = { 
/**
 * Oldest first.
 */
incidents: Array<Incident>, 
/**
 * In the order in which they were written down.
 */
follow_ups: Array<FollowUp>, };

/**
 * One line of the timeline.
 */
export type Incident = { 
/**
 * Its place in the ledger.
 */
seq: number, 
/**
 * When, by the server's clock.
 */
at: EpochMs, 
/**
 * Who caused it.
 */
by: Actor, 
/**
 * The name said at that desk, if a desk did.
 */
staff: string | null, 
/**
 * About whom.
 */
seat: SeatId | null, 
/**
 * That person's name.
 */
name: string | null, 
/**
 * What.
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
 * A desk's words.
 */
words: string | null, 
/**
 * The step on the screens.
 */
step: string | null, 
/**
 * Its offset.
 */
offset_ms: number | null, };

/**
 * Kinds of lines.
 */
export type IncidentKind = "reported" | "report_amended" | "report_taken_back" | "report_seen" | "report_taken" | "report_resting" | "report_back" | "report_closed" | "stopped" | "stop_seen" | "stop_undone" | "went_on" | "lost" | "found" | "lost_taken" | "lost_closed" | "rest_asked" | "removed" | "paused_for_safety" | "resumed" | "lead_lost" | "lead_back" | "desk_handed" | "marked_stopped" | "marked_back" | "swallow_cleared" | "swallow_ended" | "family_cleared" | "family_ended" | "follow_up_added" | "follow_up_closed";

/**
 * The run sheet (`GET /api/desk/{stay}/sheet`).
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
 * A message of a desk to one person, numbered by its place in the ledger.
 */
export type MessageId = number;

/**
 * What was on a desk's screen when its key was pressed. What moves the class acts only there: a key that comes
 * twice, or after the class went on, does nothing.
 */
export type Pressed = { 
/**
 * The present step; nothing before the start.
 */
step: StepId | null, 
/**
 * The number of the clue on the screens; 0 before the first, and where there is none.
 */
clue: number, 
/**
 * How many of its hints were shown.
 */
hints: number, 
/**
 * When, by the desk's estimate of the server's clock; nothing while it has none.
 */
at: EpochMs | null, };

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
step: StepId, } | { "do": "pause" } | { "do": "pause_for_safety" } | { "do": "go_on" } | { "do": "resume" } | { "do": "again_step" } | { "do": "again_rep" } | { "do": "more_time", 
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
change: DoseChange, } | { "do": "show_clue" } | { "do": "show_hint" } | { "do": "show_answer" } | { "do": "ask_effort" } | { "do": "set_entry", 
/**
 * Who.
 */
to: Entry, } | { "do": "let_in", 
/**
 * Who.
 */
seat: SeatId, 
/**
 * The person on the roster whom the desk knows them to be; nothing for somebody else.
 */
known_as: SeatId | null, } | { "do": "turn_away", 
/**
 * Who.
 */
seat: SeatId, } | { "do": "handle_report", 
/**
 * Which report.
 */
report: ReportId, 
/**
 * What becomes of it.
 */
to: ReportState, } | { "do": "see_stop", 
/**
 * Who.
 */
seat: SeatId, } | { "do": "take_lost", 
/**
 * Who.
 */
seat: SeatId, } | { "do": "close_lost", 
/**
 * Who.
 */
seat: SeatId, } | { "do": "ask_rest", 
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
into: SeatId, } | { "do": "expect", 
/**
 * Who.
 */
name: string, } | { "do": "add_by_phone", 
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
 * Who; the desk saw each name.
 */
seats: Array<SeatId>, } | { "do": "end_swallow", 
/**
 * Who.
 */
seat: SeatId, } | { "do": "clear_family", 
/**
 * Who.
 */
seat: SeatId, 
/**
 * For what.
 */
family: Family, } | { "do": "end_family", 
/**
 * Who.
 */
seat: SeatId, 
/**
 * For what.
 */
family: Family, } | { "do": "set_precautions", 
/**
 * Who.
 */
seat: SeatId, 
/**
 * Which.
 */
conditions: Array<Condition>, } | { "do": "set_form", 
/**
 * Who.
 */
seat: SeatId, 
/**
 * The form; replaces one of the same drill or family.
 */
form: PersonalForm, } | { "do": "lift_form", 
/**
 * Who.
 */
seat: SeatId, 
/**
 * Of what.
 */
of: Of, } | { "do": "mark_off", 
/**
 * Who.
 */
seat: SeatId, } | { "do": "lift_off", 
/**
 * Who.
 */
seat: SeatId, } | { "do": "add_follow_up", 
/**
 * For whom.
 */
seat: SeatId, 
/**
 * What.
 */
what: string, 
/**
 * Who does it.
 */
owner: string, 
/**
 * Until which day.
 */
due: string, } | { "do": "close_follow_up", 
/**
 * Which.
 */
id: number, } | { "do": "say_name", 
/**
 * The name.
 */
name: string, } | { "do": "share_health" } | { "do": "end_share_health" } | { "do": "hand_desk", 
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
reason: StopReason | null, 
/**
 * Who of the seat.
 */
whose: Whose, } | { "do": "undo_stop" } | { "do": "go_on" } | { "do": "report", 
/**
 * Made by the browser, so that it counts once.
 */
report: ReportId, 
/**
 * What was said so far.
 */
said: Said, } | { "do": "take_back", 
/**
 * Which.
 */
report: ReportId, } | { "do": "confirm_mouth", 
/**
 * Whether it is.
 */
empty: boolean, } | { "do": "say_effort", 
/**
 * Which question of the class, from 1.
 */
number: number, 
/**
 * From 0 to 10.
 */
score: number, } | { "do": "answer_clue", 
/**
 * Of which round.
 */
step: StepId, 
/**
 * Which clue of the round, from 1.
 */
number: number, 
/**
 * The word, or nothing for a spoken "got it".
 */
word: string | null, } | { "do": "read_message", 
/**
 * Which.
 */
message: MessageId, } | { "do": "leave" };

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
export type UrgentSign = "cannot_breathe" | "choking" | "chest_pain" | "faint" | "sudden_weakness" | "bleeding" | "help";

/**
 * Who gives a command.
 */
export type Actor = { "who": "desk", "id": DeskRole } | { "who": "seat", "id": SeatId } | { "who": "entry" } | { "who": "watch" };

/**
 * How strong, as the person said it: a word, or a number from 0 to 10. Kept as it was said; a
 * setting decides which word a number is.
 */
export type Felt = { "word": Strength } | { "number": number };

/**
 * Of whom on a seat with two names.
 */
export type Whose = "own" | "partner";

/**
 * What a person says of their discomfort. It is sent with the first tap and completed by the next.
 */
export type Said = { 
/**
 * Of whom on this seat.
 */
whose: Whose, 
/**
 * Where it hurts.
 */
where: Where | null, 
/**
 * How strong.
 */
strength: Felt | null, 
/**
 * A sign that needs help at once.
 */
urgent: UrgentSign | null, 
/**
 * In words.
 */
words: string | null, };

/**
 * The check-in before the start, one tap a question. What was not answered is absent, and the desk
 * sees that it is.
 */
export type CheckIn = { 
/**
 * How the person feels.
 */
feeling: Feeling | null, 
/**
 * Sits upright in a stable chair.
 */
seated: boolean | null, 
/**
 * Nothing in the mouth.
 */
mouth_empty: boolean | null, 
/**
 * Has water at hand; drinks it only if the plan allows.
 */
water: boolean | null, 
/**
 * Alone or with somebody.
 */
company: Company | null, 
/**
 * Whether anything is new since the last class, such as a fall or another medicine.
 */
news: boolean | null, 
/**
 * Wants the easier forms today.
 */
easier: boolean, 
/**
 * Where the person is today, for help to find them. Seen by desks only.
 */
place: string | null, 
/**
 * Whom to call. Seen by desks only.
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
 * The first name.
 */
name: string, 
/**
 * How that person feels.
 */
feeling: Feeling | null, 
/**
 * Nothing in that person's mouth.
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
clue: ClueFrame | null, 
/**
 * The question of how much effort it was, by its number, to be asked in rests.
 */
effort: number | null, 
/**
 * The facilitator's connection is lost; the class waits in a rest when the step is over.
 */
lead_lost: boolean, 
/**
 * Since when everybody stands still for safety: unlike a pause in look, sound and words.
 */
safety_pause: EpochMs | null, };

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
answer: string | null, 
/**
 * Why, once the answer is shown.
 */
because: string | null, 
/**
 * What is asked.
 */
game: Game, 
/**
 * When the newest of these words are to be shown, everywhere at once: a lead after they were sent.
 */
from: EpochMs, 
/**
 * When the counter of this clue began, if it has one, and how long it runs.
 */
counter: Counter | null, };

/**
 * A counter beside a clue.
 */
export type Counter = { 
/**
 * When it begins.
 */
from: EpochMs, 
/**
 * How long it runs.
 */
length_ms: number, };

/**
 * What a person said to a clue.
 */
export type MyClue = { 
/**
 * Which clue of the round, from 1.
 */
number: number, 
/**
 * What their word was; nothing when they have it without writing.
 */
word: Verdict | null, };

/**
 * What is asked of people in a round.
 */
export type Game = "clue" | "saying" | "odd_one_out" | "goes_together" | "category";

/**
 * What a written answer is.
 */
export type Verdict = "right" | "other";

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
 * The easier form, in one plain sentence.
 */
easier: string | null, 
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
 * When a tap may be asked for.
 */
tap: Tap, 
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
export type ContentKind = "drill" | "talk" | "check_in" | "sip" | "effort" | "clues";

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
 * The second name on this device.
 */
partner: string | null, 
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
 * How many steps the person said they did.
 */
did: number, 
/**
 * What each of the stage's steps asks of this person. A drill that is not named here is not
 * for them until it is.
 */
forms: Array<StepForm>, 
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
 * The person's own reports, oldest first; of those that are over only the newest few.
 */
reports: Array<MyReport>, 
/**
 * The oldest message not read yet.
 */
message: MyMessage | null, 
/**
 * The clue that the person answered last in this step.
 */
clue: MyClue | null, 
/**
 * What the person last said of their mouth before a swallow drill.
 */
mouth_empty: boolean | null, 
/**
 * The number of the effort question that the person answered last.
 */
effort_said: number | null, };

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
export type Form = "full" | "seated" | "easier" | "mouth_first" | "rest";

/**
 * What a step asks of one person.
 */
export type StepForm = { 
/**
 * The step.
 */
step: StepId, 
/**
 * What it asks.
 */
form: Form, };

/**
 * A person's own report.
 */
export type MyReport = { 
/**
 * Its id.
 */
id: ReportId, 
/**
 * Reports that became part of it, since it was open when they came.
 */
also: Array<ReportId>, 
/**
 * When the server had it.
 */
at: EpochMs, 
/**
 * What was said, so that a page that reloads goes on where it was.
 */
said: Said, 
/**
 * How far it has come.
 */
state: ReportState, 
/**
 * The desk that saw to it last.
 */
seen_by: DeskRole | null, 
/**
 * The name said at that desk.
 */
seen_by_name: string | null, 
/**
 * Dealt with or taken back.
 */
over: boolean, };

/**
 * A message to one person.
 */
export type MyMessage = { 
/**
 * Which.
 */
id: MessageId, 
/**
 * What.
 */
text: string, 
/**
 * From which desk.
 */
from: DeskRole, };

/**
 * What a person can say of a step.
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
 * The ledger's number up to which this is true.
 */
seq: number, 
/**
 * Which desk leads.
 */
lead: DeskRole, 
/**
 * The desk that gave the lead away, and may take it back.
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
 * Who may come in by the code.
 */
entry: Entry, 
/**
 * Who asks to come in, oldest first.
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
 * What calls for somebody, in the order of attention. Keys act on the first.
 */
alerts: Array<Alert>, 
/**
 * How many more there are than fit.
 */
more_alerts: number, 
/**
 * How many of those whom a swallow drill is for have said that their mouth is empty; only
 * while the present step is one.
 */
mouths: Mouths | null, 
/**
 * The clue with all its words.
 */
clue: DeskClue | null, 
/**
 * The answers to the last effort question.
 */
effort: Effort | null, 
/**
 * Planned and real time.
 */
pace: Pace, 
/**
 * What desks did lately, newest last.
 */
acts: Array<DeskAct>, 
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
 * The name of the person on the seat whom it is about.
 */
name: string, 
/**
 * When the server had it.
 */
at: EpochMs, 
/**
 * What was said, a number as a number.
 */
said: Said, 
/**
 * How strong in words, by the cut-points of the house rules.
 */
strength: Strength | null, 
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
 * What desks did about it, oldest first.
 */
handled: Array<Handled>, 
/**
 * Taken back.
 */
taken_back: boolean, 
/**
 * It is in the ledger, on disk. An urgent one alarms before it is.
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
 * Something that calls for somebody.
 */
export type Alert = { "kind": "report" } & DeskReport | { "kind": "stopped" } & StoppedRow | { "kind": "lost" } & LostRow;

/**
 * A person who stopped.
 */
export type StoppedRow = { 
/**
 * Whose.
 */
seat: SeatId, 
/**
 * The name of the person on the seat who stopped.
 */
name: string, 
/**
 * When.
 */
since: EpochMs, 
/**
 * Why, if said.
 */
reason: StopReason | null, };

/**
 * Somebody on the roster who may be the one who asks.
 */
export type Perhaps = { 
/**
 * Their seat.
 */
seat: SeatId, 
/**
 * What they are called.
 */
name: string, 
/**
 * Their screen was lost; else they are expected.
 */
lost: boolean, };

/**
 * Somebody for whom swallow drills could be turned on (`GET .../clearing`).
 */
export type Clearing = { 
/**
 * Whose.
 */
seat: SeatId, 
/**
 * The name.
 */
name: string, 
/**
 * What speaks against doing it without a look; nobody with a doubt is ticked beforehand.
 */
doubts: Array<Doubt>, };

/**
 * What speaks against turning swallow drills on for somebody unseen.
 */
export type Doubt = "not_here" | "not_decided" | "aspiration" | "not_checked_in" | "mouth_not_empty" | "not_well" | "reported" | "stopped";

/**
 * A desk's part in a report.
 */
export type Handled = { 
/**
 * What it became.
 */
to: ReportState, 
/**
 * Which desk.
 */
by: DeskRole, 
/**
 * The name said at that desk.
 */
name: string | null, 
/**
 * When.
 */
at: EpochMs, };

/**
 * A person who was lost in the middle of a swallow or a hold.
 */
export type LostRow = { 
/**
 * Whose.
 */
seat: SeatId, 
/**
 * The name.
 */
name: string, 
/**
 * When they were last heard.
 */
heard_at: EpochMs, 
/**
 * The step then.
 */
during: StepId, 
/**
 * Its offset.
 */
during_ms: number, 
/**
 * The desk that sees to it.
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
 * Since when.
 */
at: EpochMs, 
/**
 * Somebody on the roster who may be the same person.
 */
perhaps: Perhaps | null, };

/**
 * Who may come in by the code.
 */
export type Entry = "code" | "ask" | "closed";

/**
 * Who said that their mouth is empty.
 */
export type Mouths = { 
/**
 * How many said so.
 */
empty: number, 
/**
 * Of how many.
 */
of: number, };

/**
 * How much effort it was, as a spread: never by name.
 */
export type Effort = { 
/**
 * Which question of the class.
 */
number: number, 
/**
 * Whether it is asked now.
 */
asked: boolean, 
/**
 * How many said 0, 1, ... 10.
 */
spread: [number, number, number, number, number, number, number, number, number, number, number], };

/**
 * What a desk did.
 */
export type DeskAct = { 
/**
 * Its place in the ledger.
 */
seq: number, 
/**
 * When.
 */
at: EpochMs, 
/**
 * Which desk.
 */
by: DeskRole, 
/**
 * The name said at that desk.
 */
name: string | null, 
/**
 * What.
 */
did: DeskDid, 
/**
 * To whom.
 */
seat: SeatId | null, };

/**
 * Kinds of what a desk did.
 */
export type DeskDid = "opened" | "entry_set" | "let_in" | "turned_away" | "moved" | "paused" | "paused_for_safety" | "went_on" | "resumed" | "dose_swapped" | "step_inserted" | "clue_shown" | "effort_asked" | "report_seen" | "report_taken" | "report_resting" | "report_back" | "report_closed" | "stop_seen" | "lost_taken" | "lost_closed" | "rest_asked" | "message_sent" | "removed" | "merged" | "expected" | "added_by_phone" | "marked" | "swallow_cleared" | "swallow_ended" | "family_cleared" | "family_ended" | "care_set" | "follow_up_added" | "follow_up_closed" | "named" | "health_shared" | "desk_handed" | "ended";

/**
 * What a desk sees of one person, on demand.
 */
export type PersonCard = { 
/**
 * Whose.
 */
seat: SeatId, 
/**
 * The name.
 */
name: string, 
/**
 * The whole check-in, with place and contact.
 */
check_in: CheckIn | null, 
/**
 * Messages, oldest first.
 */
messages: Array<Message>, 
/**
 * All reports, also closed ones, oldest first.
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
 * A short message of a desk.
 */
export type Message = { 
/**
 * Which.
 */
id: MessageId, 
/**
 * What.
 */
text: string, 
/**
 * Of which desk.
 */
by: DeskRole, 
/**
 * When.
 */
at: EpochMs, 
/**
 * When the person said that they read it.
 */
read_at: EpochMs | null, };

/**
 * What a clinician set for a person.
 */
export type Health = { 
/**
 * Precautions.
 */
precautions: Array<Condition>, 
/**
 * Who turned swallow drills on for today.
 */
swallow_cleared_by: string | null, 
/**
 * Families cleared for today in spite of a precaution, and by whom.
 */
cleared: Array<[Family, string]>, 
/**
 * Personal forms.
 */
forms: Array<PersonalForm>, 
/**
 * What of the plan is not as it is for this person.
 */
steps: Array<StepForm>, };

/**
 * Something to be done after class.
 */
export type FollowUp = { 
/**
 * Its number.
 */
id: number, 
/**
 * For whom.
 */
seat: SeatId, 
/**
 * What.
 */
what: string, 
/**
 * Who does it.
 */
owner: string, 
/**
 * Until which day.
 */
due: string, 
/**
 * When it was done.
 */
closed_at: EpochMs | null, };

/**
 * Precautions of a person, by the columns of the house rules.
 */
export type Condition = "heart" | "lung" | "neck" | "aspiration" | "jaw" | "surgery" | "low_pressure" | "thinking";

/**
 * What a personal form is about.
 */
export type Of = { "drill": string } | { "family": Family };

/**
 * How a person does it.
 */
export type Way = "leave_out" | "easier" | "seated";

/**
 * A personal form.
 */
export type PersonalForm = { 
/**
 * Of what.
 */
of: Of, 
/**
 * How.
 */
way: Way, 
/**
 * Why, for clinicians only.
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
 * Its answer on the screens in other languages.
 */
answer_in: Array<AnswerIn>, 
/**
 * Whether it is shown.
 */
answer_shown: boolean, 
/**
 * Why.
 */
because: string | null, 
/**
 * How many people said something.
 */
said: number, 
/**
 * How many of them have it, written or spoken.
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
 * The second name on the same device.
 */
partner: string | null, 
/**
 * How the person is.
 */
status: Status, 
/**
 * Why stopped, if said.
 */
reason: StopReason | null, 
/**
 * Why resting.
 */
rest: RestReason | null, 
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
 * What the present step asks of them.
 */
form: Form, 
/**
 * Whether they checked in.
 */
checked_in: boolean, 
/**
 * What in the check-in stands out.
 */
exceptions: Array<Exception>, 
/**
 * Gets the easier forms today.
 */
off_today: boolean, 
/**
 * Messages that were not read yet.
 */
unread: number, };

/**
 * How a person is in the class.
 */
export type Status = "discomfort" | "stopped" | "away" | "working" | "done" | "resting" | "waiting";

/**
 * How a seat's screen is, in the desk's words.
 */
export type Screen = "live" | "quiet" | "off" | "away" | "phone" | "not_yet";

/**
 * What stands out in a check-in.
 */
export type Exception = "not_well" | "partner_not_well" | "not_seated" | "mouth_not_empty" | "news" | "alone" | "no_place" | "not_all_said";

/**
 * Why a person rests.
 */
export type RestReason = "asked" | "not_for_them" | "mouth_not_said";

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
sources: Array<Reference>, 
/**
 * What to know about weak or null evidence.
 */
evidence: string | null, 
/**
 * The harder form.
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
 * What it is called.
 */
name: string, 
/**
 * The day of the week on which it meets, 1 (Monday) to 7 (Sunday) as in ISO 8601.
 */
weekday: number | null, 
/**
 * When it starts, as 10:00 on the clock of the place.
 */
start: string | null, 
/**
 * How long its class is booked for, 1 to 240 minutes.
 */
minutes: number, 
/**
 * For how many weeks no clue comes again, 0 to 52.
 */
weeks_apart: number, 
/**
 * Its enrolled people.
 */
people: Array<Enrolled>, };

/**
 * A person of a group, with what clinicians decided.
 */
export type Enrolled = { 
/**
 * First name, with an initial where two share it.
 */
name: string, 
/**
 * Precautions.
 */
conditions: Array<Condition>, 
/**
 * What clinicians decided.
 */
decisions: Array<Decision>, };

/**
 * One deliberate act of a clinician, with name and day.
 */
export type Decision = { 
/**
 * What was decided.
 */
what: Decided, 
/**
 * By whom.
 */
by: string, 
/**
 * When.
 */
on: string, };

/**
 * What a clinician can decide for a person of a group.
 */
export type Decided = { "kind": "swallow" } | { "kind": "cleared", 
/**
 * Which.
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
 * Of which family.
 */
family: Family, 
/**
 * Repetitions in a week.
 */
reps_a_week: number, };

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
minutes: number, } | { "kind": "check_in", 
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
seconds: number, } | { "kind": "effort" } | { "kind": "clues", 
/**
 * The clue set's id.
 */
set: string, 
/**
 * Which of its clues, by number from 1, in this order; all of them when empty.
 */
only: Array<number>, 
/**
 * What is allowed for it, 1 to 60 minutes.
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
 * When it was saved last.
 */
updated_at: EpochMs, 
/**
 * What people edit.
 */
content: T, };

/**
 * A draft with the day and the group that it is meant for: what the planner keeps.
 */
export type Planned = { 
/**
 * The plan.
 */
draft: Draft, 
/**
 * The day.
 */
day: string | null, 
/**
 * The group.
 */
group: GroupId | null, };

/**
 * A plan by the names of the library.
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
 * When it starts, as 10:00 or 10:00:00 on the clock of the place; only for the projected times.
 */
start: string | null, 
/**
 * The steps in order.
 */
steps: Array<DraftStep>, 
/**
 * What people take home.
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
 * Its head, where it is not the usual one.
 */
title: string | null, 
/**
 * For the facilitator only.
 */
note: string | null, 
/**
 * What it is.
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
 * What is wrong with a draft, and where.
 */
export type DraftError = { 
/**
 * The step, from 0; nothing when it is the whole.
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
 * What it is about.
 */
kind: AdviceKind, 
/**
 * The step, from 0; nothing when it is the whole plan.
 */
step: number | null, 
/**
 * What is so, with the numbers.
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
 * How far that was checked.
 */
trust: Trust, };

/**
 * What advice is about.
 */
export type AdviceKind = "over_time" | "under_time" | "unusual_dose" | "swallow_rest" | "mouth_check" | "no_rest" | "no_sip" | "not_cleared" | "over_ceiling" | "long_home_list" | "home_only" | "same_clues";

/**
 * Where a drill may be done.
 */
export type Setting = "class" | "home";

/**
 * How far the usual dose reaches, both ends included; nothing where the sources name no range.
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
 * What a hold counts (the target of an open one), in milliseconds.
 */
hold_ms: [number, number] | null, };

/**
 * An exercise of the library.
 */
export type Drill = { 
/**
 * Its id: the file's name.
 */
id: string, 
/**
 * Its name on screens.
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
 * The pose of its picture.
 */
pose: string, 
/**
 * Whether eyes leave the screen, so that sound must carry the cues.
 */
eyes_away: boolean, 
/**
 * When a tap may be asked for.
 */
tap: Tap, 
/**
 * Where it may be done.
 */
place: Setting, 
/**
 * Sides or positions in order, each with its name; at least one, a single unnamed one for
 * drills without sides.
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
 * How far the usual dose reaches.
 */
usual: Usual, 
/**
 * Cautions, the one that matters most first.
 */
cautions: Array<string>, 
/**
 * The easier form, in one plain sentence.
 */
easier: string | null, 
/**
 * The harder form, in one plain sentence.
 */
harder: string | null, 
/**
 * Who should not do it without being cleared.
 */
clearance: Array<string>, 
/**
 * What the facilitator should know about weak or null evidence, to promise no more than it holds.
 */
evidence: string | null, 
/**
 * Where the dose and the cautions come from; at least one.
 */
sources: Array<Reference>, };

/**
 * One phase of a repetition as the drill's file gives it.
 */
export type PhaseSpec = { 
/**
 * What it asks for.
 */
phase: Phase, 
/**
 * The words on the screen.
 */
cue: string, 
/**
 * How long, and the marks of an open hold.
 */
length: Hold, 
/**
 * The firmer end of a hold: its length and words. Shorter than the hold.
 */
firm: [number, string] | null, 
/**
 * The pose of the picture in this phase; `None` for the side's or the drill's.
 */
pose?: string | null, };

/**
 * What is shown between two repetitions.
 */
export type Between = { 
/**
 * [`Phase::Rest`] or [`Phase::Sip`].
 */
phase: Phase, 
/**
 * The words on the screen.
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
 * The pose of its picture; `None` for the drill's own.
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
 * Plans to start from.
 */
templates: Array<TemplateCard>, 
/**
 * Own files that were left out, each with file, line and reason.
 */
refused: Array<string>, };

/**
 * A drill of the library, with what only the server can say of it.
 */
export type DrillCard = { 
/**
 * The drill, as its file gives it.
 */
drill: Drill, 
/**
 * The hold of the usual dose; nothing for drills without one.
 */
hold: Hold | null, 
/**
 * What the usual dose takes with its get-ready, in milliseconds.
 */
clock_ms: number, 
/**
 * Off for everyone until a clinician switched it on or cleared the person.
 */
off_for_all: boolean, 
/**
 * Conditions for which the house rules turn it off until a clinician cleared the person.
 */
off_for: Array<Condition>, };

/**
 * A clue set of the library.
 */
export type ClueCard = { id: string, theme: string, game: Game, clues: number, 
/**
 * How many of its clues are of level 1, 2 and 3.
 */
levels: [number, number, number], };

/**
 * A plan to start from.
 */
export type TemplateCard = { 
/**
 * Its id.
 */
id: string, 
/**
 * Its title.
 */
title: string, };

/**
 * A plan in the list (`GET /api/planner/plans`).
 */
export type PlanCard = { 
/**
 * Its id.
 */
id: string, 
/**
 * Its title.
 */
title: string, 
/**
 * Its version.
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
 * When it was saved last.
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
 * Its id.
 */
id: GroupId, 
/**
 * What it is called.
 */
name: string, 
/**
 * How many people are enrolled.
 */
people: number, };

/**
 * Begins a plan (`POST /api/planner/plans`).
 */
export type NewPlan = { "from": "empty", 
/**
 * Its title.
 */
title: string, 
/**
 * The group it is meant for, on the day and at the time it meets next.
 */
group: GroupId | null, } | { "from": "template", 
/**
 * Which.
 */
id: string, 
/**
 * The group it is meant for, on the day and at the time it meets next.
 */
group: GroupId | null, } | { "from": "next_week", 
/**
 * Which.
 */
id: string, 
/**
 * The version that the page shows.
 */
version: number, 
/**
 * Every dose one notch on, within its usual range.
 */
one_notch_on: boolean, } | { "from": "file", 
/**
 * The text.
 */
text: string, } | { "from": "copy", 
/**
 * What it says.
 */
planned: Planned, };

/**
 * Saves a plan or a group (`PUT /api/planner/plans/{id}`, `PUT /api/planner/groups/{id}`).
 */
export type Save<T> = { 
/**
 * The version that this one changes.
 */
after: number, 
/**
 * What it is to say.
 */
content: T, };

/**
 * Answers a save.
 */
export type Saved<T> = { 
/**
 * Whether it was saved. If not, somebody else saved first, and nothing was overwritten.
 */
saved: boolean, 
/**
 * What the server has now.
 */
now: Versioned<T>, };

/**
 * Removes a plan or a group, and gets what it said (`DELETE /api/planner/plans/{id}`, `DELETE /api/planner/groups/{id}`).
 */
export type Remove = { 
/**
 * The version that the page shows.
 */
version: number, };

/**
 * Asks what a draft adds up to (`POST /api/planner/look`).
 */
export type LookAt = { 
/**
 * The plan that is being written, so that it does not count as what its group had.
 */
plan: string | null, 
/**
 * What it says.
 */
planned: Planned, };

/**
 * What a draft adds up to.
 */
export type Look = { 
/**
 * Why it cannot be led yet.
 */
error: DraftError | null, 
/**
 * The clock total in milliseconds.
 */
clock_ms: number, 
/**
 * What the class is booked for.
 */
class_ms: number, 
/**
 * Each step; shorter than the draft's when there is an error.
 */
steps: Array<StepLook>, 
/**
 * Advice.
 */
advice: Array<Advice>, 
/**
 * What its group had before its day.
 */
had: GroupHad | null, };

/**
 * What a group had before a day.
 */
export type GroupHad = { 
/**
 * Each drill it had, with how many days ago.
 */
drills: Array<HadDrill>, 
/**
 * Each round of the library.
 */
rounds: Array<RoundLeft>, };

/**
 * When a group had a drill.
 */
export type HadDrill = { 
/**
 * The drill's id.
 */
drill: string, 
/**
 * How many days ago it came last.
 */
days: number, };

/**
 * What a round still has for a group.
 */
export type RoundLeft = { 
/**
 * The clue set's id.
 */
set: string, 
/**
 * The numbers of the clues that the group had not within its weeks.
 */
left: Array<number>, 
/**
 * How many days ago one of its clues came last.
 */
days: number | null, };

/**
 * What a step adds up to.
 */
export type StepLook = { 
/**
 * Its head.
 */
title: string, 
/**
 * When it begins, in milliseconds from the start of the class.
 */
starts_ms: number, 
/**
 * What it takes.
 */
clock_ms: number, 
/**
 * Repetitions over all sets and sides.
 */
reps: number, 
/**
 * Seconds held as planned, in milliseconds.
 */
held_ms: number, };

/**
 * A class whose records cannot be read (`GET /api/planner/unreadable`).
 */
export type Unreadable = { 
/**
 * What it is called.
 */
title: string, 
/**
 * When it was made.
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
 * With rehearsed participants.
 */
rehearsal: boolean, 
/**
 * Made by the browser, the same when sent again: a request whose answer was lost begins no second class.
 */
request: string, };

/**
 * The links of a class that was begun.
 */
export type ClassLinks = { 
/**
 * Opens the facilitator's desk, once.
 */
desk: string, 
/**
 * Opens the helper's desk, once.
 */
helper: string, 
/**
 * Opens the wall.
 */
wall: string, 
/**
 * Where participants join.
 */
class: string, 
/**
 * The code they join by.
 */
code: string, };

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
 * Families share cautions and clearance (the rows of the precaution grid).
 */
export type Family = "posture" | "breath" | "cough" | "trainer" | "voice" | "effortful-swallow" | "tongue-hold" | "hold-at-top" | "head-lift" | "chin-tuck" | "jaw-opening" | "neck" | "lips-face" | "words";

/**
 * When a tap may be asked for: never while somebody swallows or voices. *I need to stop* is not asked
 * for and always works.
 */
export type Tap = "rests" | "after";

/**
 * Where something comes from.
 */
export type Reference = { 
/**
 * What is taken from it, and its name.
 */
what: string, 
/**
 * How far it was checked.
 */
trust: Trust, 
/**
 * Where it was seen; only of [`Trust::Seen`].
 */
at: string | null, };

/**
 * How far a source was checked.
 */
export type Trust = "seen" | "memory" | "common-practice" | "arithmetic" | "judgement";

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
 * The pose of the picture, where it is not the side's or the drill's.
 */
pose?: string, 
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

