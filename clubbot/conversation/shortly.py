"""Short answers that mean something only after what was said before: "yes", "no", "3", "no, thursday", "make it 4 then"."""

from dataclasses import replace
from typing import Literal

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.coming import answer
from clubbot.conversation.naming import just_asked_for_a_name
from clubbot.conversation.not_twice import fresh
from clubbot.conversation.occasions import day_named, headcount, hold, standing
from clubbot.conversation.occasions import named as event_named
from clubbot.conversation.reminding import remind
from clubbot.conversation.settling import settle
from clubbot.conversation.signing_in import sign_in
from clubbot.events.choosing import day_of
from clubbot.model.dialogue import ANSWERED_WITHIN, MENDED_WITHIN
from clubbot.model.effects import KeepName, KeepRsvp, SpeakOf
from clubbot.model.intents import RSVPS, AskReminder, Party, Rsvp, RsvpKind
from clubbot.model.rsvps import DayId, Talk
from clubbot.model.rsvps import Rsvp as Kept
from clubbot.rsvps.places import decline, say_maybe, say_no, say_yes
from clubbot.texting.keywords import bare
from clubbot.understanding.noticing import Noticed
from clubbot.understanding.once import Reading

NAME_ASKED_AFTER = frozenset({"rsvp-yes", "rsvp-change", "here"})
_LONGEST = 7  # words: a longer text says something of its own
_MOST_DIGITS = 2
_SIGNS = ("+", "-")
Answer = Literal["yes", "no"]


def yes_or_no(said: Noticed) -> Answer | None:
    """A bare yes or no; "yeah no" is a no."""
    if said.says("no"):
        return "no"
    return "yes" if said.says("yes") else None


def number_alone(said: Noticed) -> int | None:
    """The number that a text consists of: "3", "just two of us", "no, make it 4"."""
    found = said.first("a number")
    if found is None:
        return None
    named = (word.number for word in said.words(found) if len(word.form) <= _MOST_DIGITS or word.form.isalpha())
    return next((one for one in named if one is not None), None)


def more_or_fewer(text: str) -> int | None:
    """ "+2", "- 1": so many more or fewer; None for anything else."""
    sign, figures = text.strip()[:1], text.strip()[1:].strip(" .!")
    return int(sign + figures) if sign in _SIGNS and figures.isdecimal() and len(figures) <= _MOST_DIGITS else None


def short_answer(ask: Ask) -> Served | None:
    """What a short text does to what was last spoken of; None where it says something of its own."""
    said = yes_or_no(ask.said)
    offered = _offered(ask)
    if said is not None and offered is not None:
        return _to_offer(offered, said, ask)
    talk = ask.known.talk
    if talk is None or ask.now - talk.at > ANSWERED_WITHIN:
        return None
    if said is not None:
        return _yes_or_no(talk, said, ask)
    if ask.now - talk.at <= MENDED_WITHIN or talk.awaits:
        joined = _joining(talk, ask)
        if joined is not None:
            return joined
    found, more = number_alone(ask.said), more_or_fewer(ask.text)
    just_now = talk.intent in {"rsvp-yes", "rsvp-change", "rsvp-move"} and ask.now - talk.at <= MENDED_WITHIN
    if more is not None:
        return answer(Rsvp("rsvp-change", party=Party(more=more), on=talk.on), ask) if just_now else None
    if found is not None and (talk.awaits == "number" or just_now):
        return answer(Rsvp("rsvp-yes", party=Party(total=found), on=talk.on), ask)
    return None


def _joining(talk: Talk, ask: Ask) -> Served | None:
    """ "Me too", "maybe", "never mind" after an event day was spoken of; None where the text says none of these."""
    mine = ask.known.rsvps.get(talk.on)
    if ask.said.says("me too"):
        down = mine is not None and mine.is_down and talk.intent in RSVPS
        if down:  # "put my wife down": "me too" is one more
            return answer(Rsvp("rsvp-change", party=Party(more=1), on=talk.on), ask)
        return answer(Rsvp("rsvp-yes", party=ask.party, on=talk.on), ask)
    if ask.said.says("maybe"):
        return answer(Rsvp("rsvp-maybe", on=talk.on), ask)
    return _never_mind(talk, mine, ask) if ask.said.says("never mind") else None


def _never_mind(talk: Talk, mine: Kept | None, ask: Ask) -> Served | None:
    """What was just asked or signed up for is let go: a new sign-up is taken off, a change is put back to what was."""
    if talk.awaits:
        return Served(sentence=fresh(ask.voice, ask.known, "rsvp.left_as_is"))
    exchange = ask.known.exchange
    latest = exchange is not None and exchange.at == talk.at
    if not latest or mine is None or talk.intent not in {"rsvp-yes", "rsvp-change", "rsvp-maybe"}:
        return None
    if talk.before is not None and talk.before.state == "coming":
        return answer(Rsvp("rsvp-change", party=Party(total=talk.before.people), on=talk.on), ask)
    return answer(Rsvp("rsvp-no", on=talk.on), ask)


def _offered(ask: Ask) -> DayId | None:
    """The day of the sender's open offer; of several the one last spoken of, else the one that ends first."""
    ends = {on: kept.offer.until for on, kept in ask.known.rsvps.items() if kept.offer and ask.now < kept.offer.until}
    if ask.known.talk is not None and ask.known.talk.on in ends:
        return ask.known.talk.on
    return min(ends, key=lambda on: ends[on], default=None)


def _to_offer(on: DayId, said: Answer, ask: Ask) -> Served | None:
    one = day_of(on, ask.voice.knowledge)
    if one is None:
        return None
    if said == "yes":
        return answer(Rsvp("rsvp-yes", on=on), ask)
    change = decline(standing(one, ask.known), hold(one, ask.voice.knowledge, ask.now))
    return replace(settle(change, one, ask, "rsvp-no"), event=on.event)


def _yes_or_no(talk: Talk, said: Answer, ask: Ask) -> Served | None:
    mine = ask.known.rsvps.get(talk.on)
    match talk.awaits, said:
        case "this", "yes" if talk.intent == "remind":
            return remind(AskReminder(on=talk.on), ask)
        case "this", "yes":
            party = Party(total=talk.people or None)
            return answer(Rsvp(_kind(talk.intent), party=party, on=talk.on), ask)
        case "sure", "yes" if talk.intent == "here":
            one = day_of(talk.on, ask.voice.knowledge)
            return None if one is None else sign_in(one, ask, confirmed=talk.people)
        case "sure", "yes":
            return answer(Rsvp("rsvp-yes", party=Party(total=talk.people or None), on=talk.on, confirmed=True), ask)
        case "maybe", "yes":
            return answer(Rsvp("rsvp-yes", party=Party(total=mine.people if mine else None), on=talk.on), ask)
        case "maybe", "no":
            return answer(Rsvp("rsvp-no", on=talk.on), ask)
        case "this" | "number" | "sure", "no":
            return Served(sentence=fresh(ask.voice, ask.known, "rsvp.left_as_is"))
        case "offer", "no" if mine is not None and mine.state == "waiting" and mine.passed_over < mine.people:
            return _still_waiting(talk.on, mine, ask)  # the offer of a part is over, and "no" meant to wait for all
        case "", "yes" if talk.intent == "rsvp-no" and ask.now - talk.at <= MENDED_WITHIN:
            return Served(
                sentence=ask.voice.say("rsvp.left_as_is_again")
            )  # "yes" to having been taken off signs nobody up
        case "offer", "yes":  # the offer's time is over, or it has been taken already
            return answer(Rsvp("rsvp-yes", on=talk.on), ask)
        case _:
            return None


def _still_waiting(on: DayId, mine: Kept, ask: Ask) -> Served | None:
    one = day_of(on, ask.voice.knowledge)
    if one is None:
        return None
    people = headcount(mine.people, ask.voice)
    return Served(sentence=ask.voice.say("rsvp.kept_in_line", event=event_named(one, ask.voice), people=people))


def _kind(intent: str) -> RsvpKind:
    """The answer that was given: a change of the number is a yes."""
    match intent:
        case "rsvp-maybe" | "rsvp-no":
            return intent
        case _:
            return "rsvp-yes"


def named(ask: Ask, reading: Reading) -> Served | None:
    """A bare name soon after we asked what to put on the list."""
    talk = ask.known.talk
    just_now = talk is not None and ask.now - talk.at <= MENDED_WITHIN and talk.intent in NAME_ASKED_AFTER
    if not just_now or ask.known.sender.name is not None:
        return None
    name = reading.name_given(sure=just_asked_for_a_name(ask.known, ask.voice.knowledge))
    if name is None:
        return None
    return Served(sentence=ask.voice.say("name.kept", name=name), effects=(KeepName(name=name),))


def mended(ask: Ask, reading: Reading) -> Served | None:
    """ "no, thursday" or "no, 3" soon after an answer was taken: the answer is moved or corrected; None where nothing is."""
    talk = ask.known.talk
    if talk is None or ask.now - talk.at > MENDED_WITHIN or not talk.intent.startswith("rsvp-"):
        return None
    if len(bare(ask.text).split()) > _LONGEST or not ask.said.says("mends"):
        return None
    intent = reading.answer
    number = _number_first(ask)
    if number is not None and talk.intent != "rsvp-no":
        return answer(Rsvp("rsvp-change", party=Party(total=number), on=talk.on), ask)
    if intent.event is None and (intent.when is None or not intent.when.dated):
        return _other_number(talk, intent, ask)
    kind = _kind(talk.intent)
    party = intent.party if intent.party.total is not None else Party(total=talk.people or None)
    # What was misread must not be taken for what is meant now.
    afresh = replace(ask, known=replace(ask.known, dialogue=replace(ask.known.dialogue, talk=None)))
    served = answer(replace(intent, kind=kind, party=party), afresh)
    if not any(isinstance(effect, KeepRsvp) for effect in served.effects):
        return served  # nothing was taken instead: what was stays as it is
    return taken_back(talk, served, ask)


def _number_first(ask: Ask) -> int | None:
    """The number that "oops no 3, i forgot my girlfriend" puts right, where it comes first and is no day, hour or hole."""
    begins = ask.said.first("a number to mend")
    words = ask.said.words(begins) if begins is not None else ()
    return words[-1].number if words else None


def _other_number(talk: Talk, intent: Rsvp, ask: Ask) -> Served | None:
    found = number_alone(ask.said)
    total = found if found is not None else intent.party.total
    if total is None or talk.intent == "rsvp-no":
        return None
    return answer(Rsvp("rsvp-change", party=Party(total=total), on=talk.on), ask)


def taken_back(talk: Talk, served: Served, ask: Ask) -> Served:
    """With the misread answer back to how it stood; places that this frees are offered on."""
    one, mine = day_of(talk.on, ask.voice.knowledge), ask.known.rsvps.get(talk.on)
    if talk.awaits in {"this", "number", "sure"}:
        return served  # it was only asked
    if one is None or mine is None or any(isinstance(e, KeepRsvp) and e.on == talk.on for e in served.effects):
        return served
    state, holding = standing(one, ask.known), hold(one, ask.voice.knowledge, ask.now)
    if talk.before is not None and talk.before.state == "coming":
        change = say_yes(state, talk.before.people, holding, ask.now)
    elif talk.before is not None and talk.before.state == "maybe":
        change = say_maybe(state, talk.before.people, holding)
    else:
        change = say_no(state, holding)
    undone = settle(change, one, ask, talk.intent)
    effects = tuple(effect for effect in undone.effects if not isinstance(effect, SpeakOf))
    said = f"{served.sentence} {ask.voice.say('rsvp.as_before', event=day_named(one, ask.voice))}"
    return replace(served, sentence=said, extras=(), effects=(*effects, *served.effects))
