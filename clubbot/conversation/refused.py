"""A no to what we asked about an event day, with words beside it: "no leave it at 5", "NO. seven stay, nephew's only a might". What was
refused is never done by the same text, and nobody who is sure of a place loses it by a word of somebody else's maybe.
"""

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.coming import answer
from clubbot.conversation.not_twice import fresh
from clubbot.conversation.replying import Turn, both, served, told
from clubbot.model.dialogue import OPEN_FOR
from clubbot.model.intents import (
    Danger,
    ForAPerson,
    Greet,
    JoinList,
    LeaveList,
    Party,
    Rsvp,
    StartAgain,
    Stop,
    TellName,
    Thank,
)
from clubbot.model.rsvps import Talk
from clubbot.understanding.once import Reading

_ASKED = frozenset({"this", "sure", "number"})
_NOT_BESIDE = (Danger, ForAPerson, Greet, JoinList, LeaveList, Rsvp, StartAgain, Stop, TellName, Thank)


def refused(ask: Ask, reading: Reading) -> Turn | None:
    """What comes of a no that goes on, or of what leaves a sign-up as it is; None where a text is neither."""
    talk = ask.known.talk
    if talk is None or ask.now - talk.at > OPEN_FOR:
        return None
    match = reading.noticed.first("begins with no")
    rest = reading.in_its_place(reading.noticed.after(match)) if match is not None else reading
    mine = ask.known.rsvps.get(talk.on)
    down = mine is not None and mine.is_down
    if talk.intent == "rsvp-maybe" and match is not None and not down and rest.noticed.says("comes for certain"):
        return _after_all(rest, ask, talk)
    told_to_stay = talk.intent == "rsvp-change" and down and (match is not None or ask.said.says("leaves it as it is"))
    if (talk.awaits not in _ASKED and not told_to_stay) or not rest.text.strip():
        return None
    if ask.said.says("leaves it as it is") or _refuses_the_event(talk, ask, reading):
        return _left(rest, ask, talk)
    if match is None or not any(isinstance(intent, Rsvp) and intent.kind == "rsvp-maybe" for intent in rest.intents):
        return None
    return _left(rest, ask, talk) if down else None


def _refuses_the_event(talk: Talk, ask: Ask, reading: Reading) -> bool:
    """Whether the event that we asked about is refused by its name, and nothing is to be given up: "no, not the league, only the car"."""
    mine = ask.known.rsvps.get(talk.on)
    if talk.intent == "rsvp-no" or (mine is not None and mine.state != "off"):
        return False
    return talk.on.event in events_refused(reading)


def events_refused(reading: Reading) -> tuple[str, ...]:
    """The events that a text refuses by their names: "not the league"."""
    said = reading.noticed
    found = (
        reading.anew(said.text.written[said.words(one)[0].start : said.words(one)[-1].end]).answer.event
        for one in said.all("refuses an event")
    )
    return tuple(one for one in found if one is not None)


def _left(rest: Reading, ask: Ask, talk: Talk) -> Turn:
    """It stays as it was, with what else is asked."""
    kept = told([Served(sentence=fresh(ask.voice, ask.known, "rsvp.left_as_is"), event=talk.on.event)], ask, None)
    wanted = [one for one in rest.intents if not isinstance(one, _NOT_BESIDE)]
    return both(kept, served(wanted, ask, None, brief=True)) if wanted else kept


def _after_all(rest: Reading, ask: Ask, talk: Talk) -> Turn:
    """Whoever refuses to be only a maybe comes."""
    mine = ask.known.rsvps.get(talk.on)
    people = rest.answer.party.total or talk.people or (mine.people if mine is not None else 0)
    coming = answer(Rsvp("rsvp-yes", party=Party(total=people or None), on=talk.on), ask)
    return told([coming], ask, None)
