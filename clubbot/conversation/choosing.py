"""An answer to the question that we left open: the choice that it picks is carried out, or the question is asked once more, or let go."""

from collections.abc import Sequence
from dataclasses import replace

from clubbot.conversation.ask import Ask, Served, ask_back
from clubbot.conversation.asking import answered, picked, picked_day
from clubbot.conversation.not_twice import fresh
from clubbot.conversation.replying import Turn, served, told
from clubbot.conversation.shortly import yes_or_no
from clubbot.conversation.signing_in import sign_in
from clubbot.conversation.texted import Texted
from clubbot.events.choosing import day_of
from clubbot.model.choices import ERASE, Choice
from clubbot.model.dialogue import OPEN_FOR
from clubbot.model.effects import OpenChoice
from clubbot.model.intent_kinds import ACTS
from clubbot.model.intents import AskPlaces, AskReminder, Intent, JoinList, LeaveList, Party, Rsvp
from clubbot.understanding.once import Reading
from clubbot.understanding.refusing import refusal

# Words: a longer text that names one of the days offered says something of its own.
LONGEST_PICK = 6
# So likely a text is about a kind of event where only one of the days offered is of that kind.
_SOUNDS_LIKE = 0.3


def chosen(asked: OpenChoice, texted: Texted, beside: Reading | None = None) -> Turn | None:
    """The choice that the text picks of those we offered, carried out; or what becomes of the question where it picks none. `beside` are
    the words behind the pick, which may tell how many come or when: "1, all six of us".
    """
    if asked.choices == (ERASE,):
        return None  # what was no answer to that lets it go
    reading, about = texted.reading, texted.reading.anew(asked.about)
    ask = texted.ask(asked.language, part=about)
    choice = _choice(asked, reading, ask)
    if choice is None:
        return _not_one(asked, reading, about, ask)
    said = (beside or reading).answer
    party = said.party if said.party.total is not None and (beside or not reading.text.strip().isdigit()) else None
    if choice.intent == "remind" and beside is not None:
        about = about.anew(f"{asked.about}, {beside.text}")
    return _picked([choice], asked, about, ask, party)


def either(asked: OpenChoice, texted: Texted) -> Turn | None:
    """All of the choices, where they are only answered and nothing is done by them; None where one has to be picked."""
    about = texted.reading.anew(asked.about)
    return _answers(asked, about, texted.ask(asked.language, part=about))


def _answers(asked: OpenChoice, about: Reading, ask: Ask) -> Turn | None:
    if any(choice.intent in ACTS for choice in asked.choices):
        return None
    return _picked(asked.choices, asked, about, ask)


def _choice(asked: OpenChoice, reading: Reading, ask: Ask) -> Choice | None:
    """The only choice that the text picks, by its number, its words or its day."""
    corrects = refusal(reading.noticed)  # "i meant buying"
    instead = reading.anew(corrects.meant).noticed if corrects is not None and corrects.meant else reading.noticed
    choice = picked(instead, asked, ask.voice, ask.now)
    if choice is not None or ask.now >= asked.until or len(reading.text.split()) > LONGEST_PICK:
        return choice
    said = reading.answer
    span = (said.when.first, said.when.last) if said.when is not None and said.when.dated else None
    return picked_day(asked.choices, said.event, span) or _by_its_kind(asked, reading, ask)


def _by_its_kind(asked: OpenChoice, reading: Reading, ask: Ask) -> Choice | None:
    """The only day of the kind of event that the text sounds like: "the beginner one"."""
    kinds = {ask.voice.knowledge.event(one.on.event).topic: one for one in asked.choices if one.on is not None}
    if len(kinds) < len(asked.choices):
        return None
    likely = [
        kinds[intent]
        for intent, chance in reading.anew(reading.text).scores
        if intent in kinds and chance >= _SOUNDS_LIKE
    ]
    return likely[0] if len(likely) == 1 else None


def _not_one(asked: OpenChoice, reading: Reading, about: Reading, ask: Ask) -> Turn | None:
    """All of our choices, the other one, none of them; or no answer, so that we ask again, once. None where a text says something else."""
    said = reading.noticed
    answer = answered(said, asked, ask.now)
    talk = ask.known.talk
    if answer is None or (talk is not None and talk.at > asked.until - OPEN_FOR and yes_or_no(said) is not None):
        return None  # a yes or a no is said to what was told last
    match answer:
        case "let go":
            return _said("mend.let_go", ask)
        case "both":
            return _picked(asked.choices, asked, about, ask)
        case "other":
            return _picked(asked.choices[1:], asked, about, ask)
        case "none":
            about_days = any(choice.on is not None for choice in asked.choices)
            return _said("rsvp.left_as_is" if about_days else "mend.none", ask)
        case "unclear" if said.says("either") and (turned := _answers(asked, about, ask)) is not None:
            return turned
        case "unclear" if not asked.again:
            return told([ask_back(asked.choices, ask, key="mend.again", again=True)], ask, None)
        case _:
            return _said("mend.let_go", ask)


def _said(key: str, ask: Ask) -> Turn:
    return told([Served(sentence=fresh(ask.voice, ask.known, key), served=False)], ask, None)


def _picked(
    choices: Sequence[Choice], asked: OpenChoice, about: Reading, ask: Ask, party: Party | None = None
) -> Turn | None:
    """The choices carried out, with the number coming where the text that picked them names one: "the clinic, 2 of us"."""
    first = choices[0]
    if first.intent == "here" and first.on is not None:
        one = day_of(first.on, ask.voice.knowledge)
        return None if one is None else told([sign_in(one, ask)], ask, None)
    intents = [_wanted(choice, about, party) for choice in choices]
    others = tuple(one.intent for one in asked.choices if one not in choices and one.of_a_kind)
    return replace(served(intents, ask, None), others=others, about=asked.about)


def _wanted(choice: Choice, about: Reading, party: Party | None) -> Intent:
    """The intent that a choice is, with what the text names that it was asked about."""
    wanted = about.taken_as(choice.intent)
    if isinstance(wanted, JoinList | LeaveList):
        return replace(wanted, list_id=choice.list_id or wanted.list_id)
    if choice.on is None:
        return wanted
    assert isinstance(wanted, Rsvp | AskPlaces | AskReminder)  # the only ones that are offered by day
    if isinstance(wanted, Rsvp):
        by_sound = about.answer.heard if party is None and wanted.party == Party() else ()
        wanted = replace(wanted, party=party or wanted.party, heard=by_sound)
    return replace(wanted, on=choice.on)
