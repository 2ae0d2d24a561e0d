"""Reads a calendar file with icalendar 7.3 and expands it with recurring-ical-events 3.8, which know nothing of ours.

    calendar_file.py FILE FROM TO     (days as 2027-01-05)

Prints what was found: the starts and ends between the two days, in milliseconds since 1970; the zones' parts; and what
the standard asks of every line.
"""

import json
import sys
from datetime import date, timedelta
from pathlib import Path

import icalendar
import recurring_ical_events

raw = Path(sys.argv[1]).read_bytes()
first, last = (date.fromisoformat(day) for day in sys.argv[2:4])
calendar = icalendar.Calendar.from_ical(raw)
events = recurring_ical_events.of(calendar).between(first, last + timedelta(days=1))


def milliseconds(moment):
    return round(moment.timestamp() * 1000)


def utf8(line):
    try:
        line.decode()
        return True
    except UnicodeDecodeError:
        return False


found = sorted((milliseconds(event.start), milliseconds(event.end)) for event in events)
# A line ends with CR LF, and no other CR or LF is anywhere (RFC 5545, section 3.1).
lines = raw.split(b"\r\n")
print(
    json.dumps(
        {
            "found": found,
            "zones": [
                {"id": str(zone["TZID"]), "parts": sorted(part.name for part in zone.subcomponents)}
                for zone in calendar.walk("VTIMEZONE")
            ],
            "zone_begins": [
                part["DTSTART"].dt.isoformat() for zone in calendar.walk("VTIMEZONE") for part in zone.subcomponents
            ],
            "events": [sorted(event.keys()) for event in calendar.walk("VEVENT")],
            "uids": sorted({str(event["UID"]) for event in calendar.walk("VEVENT")}),
            "sequences": sorted({int(event["SEQUENCE"]) for event in calendar.walk("VEVENT")}),
            "summaries": sorted({str(event["SUMMARY"]) for event in calendar.walk("VEVENT")}),
            "begins": [str(event["DTSTART"].to_ical().decode()) for event in calendar.walk("VEVENT")],
            "errors": [str(error) for part in calendar.walk() for error in getattr(part, "errors", [])],
            "longest": max(len(line) for line in lines),
            "loose": sum(line.count(b"\r") + line.count(b"\n") for line in lines),
            "whole": all(utf8(line) for line in lines) and lines[-1] == b"",
        }
    )
)
