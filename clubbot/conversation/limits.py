"""What becomes of a text above its limit, and of a sender who is not answered; who hears of it."""

from dataclasses import replace
from typing import assert_never

from clubbot.conversation.crowd import noted
from clubbot.conversation.flood import LIMITS, MINUTES, Kind, Limit, quiet_reason, told_before, too_many
from clubbot.conversation.phrasing import Voice
from clubbot.conversation.replying import Turn
from clubbot.conversation.texted import Texted
from clubbot.model.club import Knowledge
from clubbot.model.effects import Effect, GoQuiet, Reply, TellPerson
from clubbot.model.known import Known
from clubbot.people.duty import on_duty, organiser

# How a text ended whose sender was told that it was too much.
ABOVE = "above its limit"
LEFT_ALONE = "left alone"


def within_limits(turned: Turn, kind: Kind, texted: Texted) -> Turn:
    """What is to be done, where there were not too many texts of the kind; else what the table of limits has."""
    limit = too_many(kind, texted.known)
    if limit is None:
        return turned
    match limit.above:
        case "done, not answered":
            return _unanswered(turned)
        case "left alone":
            return Turn(language=turned.language, outcome=LEFT_ALONE, kind=kind)
        case "told once":
            return _told_once(limit, kind, turned, texted)
        case "counted":  # the emergency number has been told often enough; the text itself is never dropped
            return _unanswered(turned) if kind == "danger" else turned
        case "added":  # it is with the others already
            return turned
        case _:
            assert_never(limit.above)


def _unanswered(turned: Turn) -> Turn:
    return replace(turned, effects=tuple(one for one in turned.effects if not isinstance(one, Reply)))


def _told_once(limit: Limit, kind: Kind, turned: Turn, texted: Texted) -> Turn:
    """Nothing is done; the sender hears so once an hour, and of a phone of the club's people the organiser too."""
    if told_before(kind, texted.known):
        return Turn(language=turned.language, outcome=LEFT_ALONE, kind=kind)
    said = texted.voice(turned.language).say(f"limit.{kind}", minutes=limit.within // MINUTES)
    effects: list[Effect] = [Reply(text=said)]
    if limit.hears == "the sender and the organiser":
        effects += _organiser_told(texted.known, texted.knowledge)
    return Turn(effects=tuple(effects), language=turned.language, outcome=ABOVE, kind=kind)


def _organiser_told(known: Known, knowledge: Knowledge) -> list[TellPerson]:
    """That a phone of the club's people texts more than a person would."""
    head = organiser(knowledge)
    person = next((one for one in knowledge.people if one.number == known.sender.number), head)
    note = Voice(knowledge, head.language).say("limit.club_note", name=person.first_name)
    return [TellPerson(person=head.id, number=head.number, text=note)]


def left_alone(texted: Texted) -> Turn | None:
    """A text that is not answered: of a flood, an echo, the same again; None where it is."""
    reason = quiet_reason(texted.text, texted.known, of_the_club=texted.person is not None)
    return None if reason is None else quiet(reason, texted)


def quiet(reason: str, texted: Texted) -> Turn:
    """Not answered; the person on duty is told the first time, of a phone of the club's people its owner and the organiser."""
    known, knowledge, usual = texted.known, texted.knowledge, texted.usual
    if known.sender.quiet_reason is not None:
        return Turn(language=usual, outcome=LEFT_ALONE, kind="flood")
    if told_before("flood", known):
        return Turn(effects=(GoQuiet(reason=reason),), language=usual, outcome=LEFT_ALONE, kind="flood")
    if texted.person is not None:
        said = Reply(text=texted.voice().say("limit.club"))
        effects: tuple[Effect, ...] = (GoQuiet(reason=reason), said, *_organiser_told(known, knowledge))
        return Turn(effects=effects, language=usual, outcome=ABOVE, kind="flood")
    person = on_duty(knowledge, texted.now).person
    theirs = Voice(knowledge, person.language)
    most, minutes = _counted_for(reason)
    note = theirs.say("quiet.note", reason=theirs.say(f"quiet.{reason}", most=most, minutes=minutes))
    told = noted("left alone", known, TellPerson(person=person.id, number=person.number, text=note))
    return Turn(effects=(GoQuiet(reason=reason), *told), language=usual, outcome=ABOVE, kind="flood")


def _counted_for(reason: str) -> tuple[int, int]:
    """The line of the table that a flood is above: so many texts in so many minutes."""
    lines = [limit for limit in LIMITS if limit.kind == "any"]
    limit = max(lines, key=lambda one: one.within) if reason == "hours" else min(lines, key=lambda one: one.within)
    return limit.most, limit.within // MINUTES
