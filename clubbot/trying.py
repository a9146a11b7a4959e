"""One text tried on a club without any lasting effect, and how it was read, for `clubbot ask`."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from rapidfuzz import fuzz, process

from clubbot.conversation.replying import Turn
from clubbot.conversation.turn import turn
from clubbot.handbook.book import Handbook
from clubbot.model.club import Example
from clubbot.model.effects import (
    ChooseLanguage,
    Effect,
    Erase,
    GoQuiet,
    HandOver,
    KeepName,
    KeepReport,
    KeepRsvp,
    KeepWarned,
    OpenChoice,
    OpenDraft,
    OptIn,
    OptOut,
    PlanReminders,
    Reply,
    SettleReport,
    SignIn,
    Subscribe,
    TellPerson,
    Unsubscribe,
)
from clubbot.model.intents import Danger, ForAPerson, When
from clubbot.model.known import Known, Sender
from clubbot.model.messages import Incoming
from clubbot.texting.parts import as_sent, split
from clubbot.understanding.deciding import Decision

# From this probability up another reading is told.
_WORTH_TELLING = 0.02
_NEARLY_ALL = 0.995


@dataclass(frozen=True, slots=True)
class Tried:
    """A text, what was decided, and the reply as it would go out."""

    text: str
    turned: Turn
    reply: str
    parts: int


def try_one(text: str, handbook: Handbook, sender: str, now: datetime) -> Tried:
    """The text answered as a new sender's first."""
    knowledge = handbook.knowledge
    message = Incoming(
        channel="ask",
        their_id="ask",
        delivery_id="ask",
        sender=sender,
        recipient=knowledge.club.number,
        text=text,
        received_at=now,
    )
    turned = turn(message, Known(sender=Sender(number=sender)), knowledge, handbook.reader, now)
    reply = as_sent(turned.reply, shorten_letters=knowledge.club.plain_letters) if turned.reply else ""
    return Tried(text, turned, reply, len(split(reply)) if reply else 0)


def as_json_line(tried: Tried, handbook: Handbook, now: datetime) -> str:
    """The result as the labelled messages' rules of scoring want it; `when` and `people` are what the text itself says, whatever it wants."""
    turned = tried.turned
    # The same reading that an answer to an event takes its day and number from.
    said = handbook.reader.read(tried.text, now, turned.language).both_ends.answer
    return json.dumps(
        {
            "text": tried.text,
            "lang": turned.language,
            "served": list(turned.served),
            "offered": list(turned.offered),
            "handed_over": turned.handed_over,
            "event": turned.event,
            "party": turned.party,
            "reply": tried.reply,
            "parts": tried.parts,
            "when": _as_told(said.when) if said.when is not None else None,
            "people": said.party.total,
        },
        ensure_ascii=False,
    )


def _as_told(when: When) -> dict[str, str | None]:
    """Days, and the hour on the club's clock where one was named."""
    at = when.at.strftime("%Y-%m-%dT%H:%M") if when.at is not None else None
    return {"first": when.first.isoformat(), "last": when.last.isoformat(), "at": at}


def explained(tried: Tried, handbook: Handbook, examples: Sequence[Example]) -> str:
    """Why a text was read so, in plain words for a volunteer; `examples` are the ways of asking it was read by."""
    turned = tried.turned
    lines = [f"text:     {tried.text}", *_rules_in(tried.text, handbook)]
    lines += [*_read_as(turned, tried.text, handbook, examples), *_done(turned)]
    lines.append(f"reply ({tried.parts} part{'s' if tried.parts != 1 else ''}): {tried.reply or '(no answer)'}")
    return "\n".join(lines)


def _rules_in(text: str, handbook: Handbook) -> list[str]:
    """The rules that hold, with the words that they found."""
    noticed = handbook.reader.notice(text)
    return [
        f'rule:     {match.rule} says {match.says}, by "{noticed.text.said(noticed.words(match))}"'
        for match in noticed.matches
    ]


def _read_as(turned: Turn, text: str, handbook: Handbook, examples: Sequence[Example]) -> list[str]:
    reading = turned.reading
    if reading is None:
        return ["read:     as a key word or a plain wish that comes before anything else"]
    shown = {"en": "English", "fr": "French"}[turned.language]
    lines = [f"language: {shown}" if reading.language else f"language: does not show; answered in {shown}"]
    if not reading.scores:
        cry = any(isinstance(intent, Danger) for intent in reading.intents)
        return [*lines, "read:     " + ("words of an injury or an emergency" if cry else "nothing that could be read")]
    (first, sure), *others = reading.scores
    lines.append(f"sounds like: {_named(first, handbook)}, {_in_100(sure)} in 100")
    near = [f"{_named(intent, handbook)} {_in_100(share)}" for intent, share in others if share >= _WORTH_TELLING]
    lines.append("or else:  " + (", ".join(near) if near else "nothing else comes near"))
    lines += [f'put right by "{one.name}": {_decided(one.before)} -> {_decided(one.after)}' for one in reading.steps]
    lines.append(f"for us at all: {_in_100(reading.for_us)} in 100")
    spoke = handbook.reader.reasons(text, first, turned.language)
    if spoke:
        lines.append("words that spoke for the first: " + ", ".join(f'"{word}"' for word in spoke))
    same = [one for one in examples if one.language == turned.language]
    alike = process.extract(text, [one.text for one in same], scorer=fuzz.token_sort_ratio, limit=3)
    lines += [f'like:     "{known}" ({_named(same[place].intent, handbook)})' for known, _, place in alike]
    return lines


def _decided(decision: Decision) -> str:
    if decision.outside:
        return "nothing for us"
    return ", ".join(decision.served) or (
        f"one of {', '.join(decision.choices)}" if decision.choices else "nothing clear"
    )


def _done(turned: Turn) -> list[str]:
    """What comes of it, and where nothing is served, why."""
    lines = [f"answers:  {', '.join(turned.served)}" if turned.served else "answers:  nothing by itself"]
    did = dict.fromkeys(said for one in turned.effects if (said := _did(one)))
    lines.append(f"did:      {'; '.join(did) or 'nothing'}")
    warned = any(isinstance(one, KeepWarned) for one in turned.effects)
    if turned.kind in {"danger", "detail"}:
        lines.append(
            "because:  somebody may be hurt or in danger; the emergency number is told first, and a person is told at once"
        )
    elif turned.offered:
        lines.append(f"because:  no one thing is clear; asks whether it is {', '.join(turned.offered)}")
    elif warned:
        lines.append("because:  somebody may be about to do what has hurt people; the caution comes first")
    elif turned.handed_over and not turned.served:
        lines.append(f"because:  {_why_passed(turned)}; whoever is on duty gets it")
    elif turned.handed_over:
        lines.append("and:      whoever is on duty gets it")
    return lines


# Why a person gets a text.
_PASSED: Mapping[str, str] = {
    "not understood": "nothing is clear enough",
    "outside": "it may be nothing that the club's answers are about",
    "stranded": "somebody cannot get away from the course",
    "human": "a person is asked for",
}


def _why_passed(turned: Turn) -> str:
    reason = next((one.reason for one in turned.effects if isinstance(one, HandOver)), "")
    if turned.reading is not None and any(isinstance(intent, ForAPerson) for intent in turned.reading.intents):
        reason = "outside" if reason == "not understood" else reason
    return _PASSED.get(reason, f"the club has written no answer to it ({reason})")


# What an effect does, as a volunteer would say it; what only keeps the conversation in mind is not told.
_DOES: Mapping[type, str] = {
    OpenChoice: "asks back, and keeps the question open",
    KeepRsvp: "changes a sign-up",
    PlanReminders: "plans reminders",
    KeepReport: "takes down a report",
    SettleReport: "closes a report",
    Subscribe: "puts the phone on a list",
    Unsubscribe: "takes the phone off a list",
    OptOut: "ends all texts to the phone",
    OptIn: "lets texts to the phone begin again",
    Erase: "erases what is kept of the phone",
    KeepName: "keeps the name",
    ChooseLanguage: "keeps the language that was asked for",
    SignIn: "signs in",
    GoQuiet: "leaves the phone unanswered",
    OpenDraft: "shows an order with its code",
}


def _did(effect: Effect) -> str | None:
    match effect:
        case Reply():
            return "replies"
        case HandOver(person=person, kept=kept, reason=reason):
            return f"keeps it for the list ({reason})" if kept else f"passes it to {person} ({reason})"
        case TellPerson(person=person):
            return f"tells {person}"
        case _:
            return _DOES.get(type(effect))


def _named(intent: str, handbook: Handbook) -> str:
    answer = handbook.knowledge.answers.get(intent)
    return f"{intent} ({answer.label.en})" if answer is not None and answer.label.en != intent else intent


def _in_100(share: float) -> str:
    return str(round(100 * share)) if share < _NEARLY_ALL else "over 99"
