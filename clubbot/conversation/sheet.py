"""The sign-up sheet for the clipboard at the tee: names, party, a box for who has paid and who is here. No phone numbers."""

import csv
import io
from collections.abc import Sequence

from clubbot.conversation.occasions import named
from clubbot.conversation.phrasing import Voice, capital
from clubbot.conversation.turnout import one_name
from clubbot.events.days import EventDay
from clubbot.model.rsvps import Named, State

# People who had not answered write themselves in by hand.
_EMPTY_LINES = 6
_LONGEST_NAME = 34
_SHOWN: tuple[State, ...] = ("coming", "waiting", "maybe")
# Spreadsheets take a cell that begins so for a formula; a name comes from a stranger.
_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def as_text(one: EventDay, names: Sequence[Named], voice: Voice) -> str:
    """The sheet as lines of text, to print."""
    coming = [line for line in names if line.state == "coming"]
    people = sum(line.people for line in coming)
    lines = [
        f"{voice.knowledge.club.name}",
        f"{capital(named(one, voice))}, {one.meet.to(voice.language)}",
        voice.say("sheet.counts", people=people, places=one.event.places or voice.say("sheet.no_limit")),
        "",
        _row("", voice.say("sheet.name"), voice.say("sheet.people"), _paid(one, voice), voice.say("sheet.here")),
    ]
    number = 0
    for state in _SHOWN:
        listed = [line for line in names if line.state == state]
        if state != "coming" and listed:
            lines += ["", voice.say(f"sheet.{state}")]
        for line in listed:
            number += 1
            lines.append(_row(str(number), _name(line, voice), str(line.people), "[ ]", "[x]" if line.came else "[ ]"))
        if state == "coming":
            lines += [_row("", "." * _LONGEST_NAME, "..", "[ ]", "[ ]") for _ in range(_EMPTY_LINES)]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def as_csv(one: EventDay, names: Sequence[Named], voice: Voice) -> str:
    """The sheet as comma-separated values (RFC 4180), one line a party."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow([voice.say(f"sheet.{key}") for key in ("name", "people", "list", "paid", "here")])
    for line in names:
        if line.state in _SHOWN:
            name = _name(line, voice)
            safe = f"'{name}" if name.startswith(_FORMULA) else name
            writer.writerow([safe, line.people, voice.say(f"sheet.{line.state}"), "", line.came or ""])
    return out.getvalue()


def _name(line: Named, voice: Voice) -> str:
    return one_name(Named(name=line.name, state=line.state, people=1, stand_in=line.stand_in), voice)


def _paid(one: EventDay, voice: Voice) -> str:
    if not one.event.price:
        return voice.say("sheet.free")
    price = voice.money(one.event.price)
    if one.event.member_price is None:
        return voice.say("sheet.paid_price", price=price)
    return voice.say("sheet.paid_prices", price=price, member_price=voice.money(one.event.member_price))


def _row(number: str, name: str, people: str, paid: str, here: str) -> str:
    return f"{number:>3}  {name[:_LONGEST_NAME]:<{_LONGEST_NAME}} {people:>9}  {paid:<24} {here}"
