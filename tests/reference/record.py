"""Reads the ledgers of a database by itself and folds them into who was there, what they said, stops, reports and whole
repetitions; prints the same as JSON, by session. It shares nothing with the server but the names of events."""
import json
import sqlite3
import sys

AWAY, BACK = {"lost", "screen_away"}, {"found", "screen_back"}


def half_up(ms):
    return (ms + 30_000) // 60_000


def seat_of(merged, seat):
    while seat in merged:
        seat = merged[seat]
    return seat


def stretches(lines, end):
    """When each seat was there."""
    since, away, found = {}, set(), {}

    def close(seat, at):
        begun = since.pop(seat, None)
        if begun is not None and begun < at:
            found.setdefault(seat, []).append((begun, at))

    for at, by, event in lines:
        name, seat = event["event"], event.get("seat")
        if name == "ended":
            break
        if name == "merged":
            gone, stays = event["from"], event["into"]
            was_there, was_away = gone in since, gone in away
            close(gone, at)
            away.discard(gone)
            if stays not in since:
                if was_there:
                    since[stays] = at
                if was_away:
                    away.add(stays)
            continue
        if seat is None:
            continue
        comes = name in ("came_in", "came_back") or name == "seat_taken" and event["how"] in ("by_code", "by_phone")
        if comes:
            since.setdefault(seat, at)
            away.discard(seat)
        elif name in ("left", "removed"):
            close(seat, at)
            away.discard(seat)
        elif name in AWAY and seat in since:
            close(seat, event["heard_at"])
            away.add(seat)
        elif seat in away and (name in BACK or by["who"] == "seat" and name not in AWAY):
            since[seat] = at
            away.discard(seat)
    for seat in list(since):
        close(seat, end)
    return found


def within(parts, begin, end):
    """How many milliseconds of the class the parts cover, each counted once."""
    total, reached = 0, begin
    for start, stop in sorted(parts):
        start, stop = max(start, reached), min(stop, end)
        if stop > start:
            total += stop - start
            reached = stop
    return total


def whole(ledger):
    lines = [(one["at"], one["by"], one["event"]) for one in ledger]
    begun = lines[0][2]
    ended = [at for at, _, event in lines if event["event"] == "ended"]
    started = [event["moves"][0]["at"] for _, _, event in lines if event["event"] == "moved" and event["why"] == "started"]
    end = ended[0] if ended else lines[-1][0]
    begin = started[0] if started else None
    merged = {event["from"]: event["into"] for _, _, event in lines if event["event"] == "merged"}
    people, answers, stops, corrected = {}, {}, {}, {}
    reports, step, stopped = [], None, {}
    for at, _, event in lines:
        name, seat = event["event"], event.get("seat")
        if name == "seat_taken":
            people[seat] = event.get("person")
        elif name == "moved":
            step = event["moves"][-1]["step"]
        elif name == "did" or name == "marked" and event["mark"] == "done" and event["step"]:
            answers.setdefault(seat, {})[event["step"]] = "done"
        elif name == "got":
            answers.setdefault(seat, {}).setdefault(event["step"], "done")
        elif name == "undid":
            answers.get(seat, {}).pop(event["step"], None)
        elif name == "attendance_set":
            corrected[seat] = event["minutes"]
        if name in ("stopped", "reported", "report_amended") or name == "marked" and event["mark"] == "stopped":
            if step is not None:
                answers.setdefault(seat, {}).setdefault(step, "stopped")
            if not stopped.get(seat):
                stops[seat] = stops.get(seat, 0) + 1
            stopped[seat] = True
        elif name in ("went_on",) or name == "marked" and event["mark"] == "back":
            stopped[seat] = False
        elif name == "stop_undone":
            stops[seat] = stops.get(seat, 0) - 1
            stopped[seat] = False
            if answers.get(seat, {}).get(step) == "stopped":
                del answers[seat][step]
        if name == "reported":
            reports.append(event["report"])
    there = stretches(lines, end)
    found = {}
    expected = {event["seat"] for _, _, event in lines if event["event"] == "seat_taken" and event["how"] == "expected"}
    came_in = {event["seat"] for _, _, event in lines if event["event"] == "came_in"}
    out = {event["seat"] for _, _, event in lines if event["event"] == "removed"}
    for seat in people:
        if seat in merged:
            continue
        own = [part for other, parts in there.items() if seat_of(merged, other) == seat for part in parts]
        covered = within(own, begin, end) if begin is not None else 0
        minutes = half_up(covered)
        missed = seat not in out and (people[seat] or seat in expected and seat not in came_in)
        if not (covered or stops.get(seat) or seat in corrected or missed):
            continue
        found[seat] = {
            "minutes": corrected.get(seat, minutes),
            "recorded": minutes,
            "done": sorted(step for step, answer in answers.get(seat, {}).items() if answer == "done"),
            "stops": stops.get(seat, 0),
        }
    planned = {}
    for index, one in enumerate(begun["plan"]["steps"], 1):
        if one["body"]["kind"] == "drill":
            dose, sides = one["body"]["dose"], max(1, len(one["body"]["drill"].get("sides", [])))
            planned[index] = dose["sets"] * dose["reps"] * sides
    return {
        "minutes": half_up(end - begin) if begin is not None else 0,
        "people": found,
        "reports": reports,
        "reps": planned,
    }


database = sqlite3.connect(f"file:{sys.argv[1]}?mode=ro", uri=True)
ledgers = {}
for session, body in database.execute("select session, body from event order by session, seq"):
    ledgers.setdefault(session, []).append(json.loads(body))
json.dump({session: whole(ledger) for session, ledger in ledgers.items()}, sys.stdout)
