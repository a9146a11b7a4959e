"""One message, what is known, the hour: what to do. The order of judgment stands in `_judged`, top to bottom."""

from dataclasses import replace
from datetime import datetime, timedelta

from clubbot.conversation.beside import none_of_them
from clubbot.conversation.by_itself import by_itself
from clubbot.conversation.flood import kind_of
from clubbot.conversation.from_the_club import from_the_club, to_what_was_shown
from clubbot.conversation.in_context import in_context, kept_to_lean_on
from clubbot.conversation.key_words import alarm_is_over, asks_for_help, comes_back, cries_for_help, stops_or_starts
from clubbot.conversation.limits import left_alone, within_limits
from clubbot.conversation.naming import just_asked_for_a_name, named_beside
from clubbot.conversation.own_data import own_data
from clubbot.conversation.replying import Turn
from clubbot.conversation.rumour import rumour_told
from clubbot.conversation.speaks import (
    of_the_club_asks_language,
    only_asks_language,
    said_again,
    with_chosen,
    without_the_wish,
)
from clubbot.conversation.texted import Texted, usual_language
from clubbot.conversation.unread import too_long
from clubbot.conversation.warning import caution_first
from clubbot.model.club import Knowledge
from clubbot.model.effects import CloseChoice, SpeakAgain
from clubbot.model.known import Known
from clubbot.model.messages import Incoming
from clubbot.model.rsvps import DayId
from clubbot.understanding.reading import Reader
from clubbot.understanding.splitting import without_rows

# So far ahead a sign-up may be what somebody writes of out of the blue.
_AHEAD = timedelta(days=14)


def turn(message: Incoming, known: Known, knowledge: Knowledge, reader: Reader, now: datetime) -> Turn:
    """Decide about one message, within what one phone may do. `now` is aware; nothing is read or done beyond the arguments. The text is
    read here, once, in its conversation.
    """
    usual = usual_language(known, knowledge)
    name_asked = just_asked_for_a_name(known, knowledge)
    dialogue = replace(known.dialogue, near=_at_hand(known, knowledge, now), name_asked=name_asked)
    reading = reader.read(readable(message.text), now, usual, dialogue)
    texted = Texted(reading=reading, known=known, knowledge=knowledge, at=message.received_at, now=now)
    turned = _judged(texted)
    kind = turned.kind or kind_of(turned.effects)
    return within_limits(replace(turned, kind=kind), kind, texted)


def _at_hand(known: Known, knowledge: Knowledge, now: datetime) -> tuple[DayId, int] | None:
    """The sender's own sign-up of today or tomorrow, the nearest, with how many people: what a text out of the blue is likely to be about."""
    today = now.astimezone(knowledge.club.zone).date()
    days = (on for on, rsvp in known.rsvps.items() if rsvp.is_down and today <= on.day)
    nearest = min((on for on in days if on.day - today <= _AHEAD), key=lambda on: on.day, default=None)
    return None if nearest is None else (nearest, known.rsvps[nearest].people)


def _judged(texted: Texted) -> Turn:
    """The order of judgment: each of these has its say or leaves the text to the next."""
    return (
        _cannot_be_texted(texted)
        or too_long(texted)  # only its two ends are looked at
        or to_what_was_shown(texted)  # NOT ME, and a no of the club's people to what waits for their code
        or own_data(texted)  # what is kept of the sender, told or erased, also after an opt-out
        or stops_or_starts(texted)  # the way out and the way back in, as a key word or in plain words
        or of_the_club_asks_language(texted)
        or from_the_club(texted)  # orders and answers of the club's people; of anybody else that no order is taken
        or cries_for_help(texted)
        or alarm_is_over(texted)  # after a cry, that it is over or that helpers have come
        or asks_for_help(texted)  # HELP
        or comes_back(texted)  # whoever has opted out is not answered
        or left_alone(texted)  # floods, echoes, the same over and over
        or said_again(texted, in_context)
        or only_asks_language(texted)
        or _answered(texted)
    )


def _cannot_be_texted(texted: Texted) -> Turn | None:
    if texted.known.sender.textable:
        return None
    return Turn(language=texted.usual, outcome="the sender's number cannot be texted")


def _answered(texted: Texted) -> Turn:
    """A message that is to be answered: for what it means after what was said before, else for what it says by itself."""
    texted, language = without_the_wish(texted.both_ends())
    said = none_of_them(texted) or texted
    turned = named_beside(said, _as_meant) or _as_meant(said)
    if language is not None:
        turned = with_chosen(turned, language)
    if texted.known.asked is not None:  # the question is not open any more, or opened anew by what follows
        turned = replace(turned, effects=(CloseChoice(), *turned.effects))
    turned = with_caution(kept_to_lean_on(turned, texted.text), texted)
    rumour = () if texted.person is not None else rumour_told(texted.ask(turned.language), texted.reading)
    turned = replace(turned, effects=(*turned.effects, *rumour))
    if texted.known.sender.quiet_reason is not None:
        turned = replace(turned, effects=(SpeakAgain(), *turned.effects))
    return turned


def _as_meant(texted: Texted) -> Turn:
    return in_context(texted) or by_itself(texted)


def with_caution(turned: Turn, texted: Texted) -> Turn:
    """With the caution first that the text needs."""
    first = caution_first(texted.ask(turned.language), turned.effects, (*turned.served, *turned.offered))
    if first is None:
        return turned
    left = () if first.alone else turned.offered
    return replace(turned, effects=first.effects, served=first.served, offered=left)


def readable(text: str) -> str:
    """The text without control characters, which no reply or note should carry on, and without what stands in it over and over."""
    return without_rows("".join(one if one.isprintable() or one == "\n" else " " for one in text).strip())
