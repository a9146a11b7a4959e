"""A text to one person who is known by the name they gave, from somebody of the club: shown first, sent on the code under the sender's role. What
comes back within a day goes to whoever wrote.
"""

from dataclasses import replace

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.codes import waiting, with_code
from clubbot.conversation.handover import for_a_person, handed
from clubbot.conversation.occasions import day_named, quiet_hours
from clubbot.conversation.phrasing import Voice
from clubbot.conversation.taking_off import off_shown, role_of
from clubbot.conversation.which_one import asked_which, picked_of, which_again
from clubbot.events.choosing import day_of
from clubbot.model.club import Person
from clubbot.model.deeds import Draft, TakeOffDeed, TellOneDeed, WhichDeed
from clubbot.model.effects import CloseDraft, Record, WriteTo
from clubbot.model.known import Called
from clubbot.model.orders_by_name import TellOne
from clubbot.people.names import as_name, called, exactly
from clubbot.texting.keywords import bare
from clubbot.texting.parts import as_sent

# What a question is kept as that is none: somebody of the club wrote to its phone.
WRITTEN_TO = "written to"
_MOST_DAYS = 2
_ENDS = (".", "!", "?", "…", ")")


def is_known(order: TellOne, ask: Ask) -> bool:
    """Whether anybody has one of the names that an order may say."""
    return any(_known_as(name, ask) or _by_name_only(name, ask) for name, _ in order.readings)


def tell_one(order: TellOne, ask: Ask, person: Person) -> Served:
    """Show what would be sent to whom; ask which where several have the name; say so where nobody has it or they cannot be reached."""
    voice = ask.voice
    for name, words in order.readings:
        found = _known_as(name, ask)
        if len(found) > 1:
            options = [_deed(one, words) for one in found]
            return asked_which(as_name(name), options, [_label(one, ask) for one in found], ask)
        if found:
            return _shown_to(found[0], words, ask, person)
    for name, _ in order.readings:
        if _by_name_only(name, ask):
            return Served(sentence=voice.say("to_one.no_phone", name=as_name(name)))
    return Served(sentence=voice.say("to_one.nobody", name=as_name(order.readings[-1][0])))


def _known_as(name: str, ask: Ask) -> list[Called]:
    """Whoever has the name, but the sender; one who has just this name of several words before others."""
    found = [one for one in ask.known.called if called(name, one.name) and one.number != ask.known.sender.number]
    whole = [one for one in found if exactly(name, one.name)]
    return whole if whole and len(bare(name).split()) > 1 else found


def _by_name_only(name: str, ask: Ask) -> bool:
    return any(called(name, one) for names in ask.known.by_name.values() for one in names)


def _label(one: Called, ask: Ask) -> str:
    """What tells somebody from others of the name: a role, else what they are down for."""
    voice = ask.voice
    of_the_club = next((person for person in voice.knowledge.people if person.number == one.number), None)
    if of_the_club is not None:
        return voice.say("to_one.with_role", name=one.name, role=role_of(of_the_club, voice))
    days = [day for on in one.down_for if (day := day_of(on, voice.knowledge)) is not None and day.starts > ask.now]
    if not days:
        return voice.say("to_one.down_for_nothing", name=one.name)
    listed = voice.joined([day_named(day, voice) for day in sorted(days, key=lambda day: day.starts)[:_MOST_DAYS]])
    return voice.say("to_one.down_for", name=one.name, list=listed)


def _deed(one: Called, words: str) -> TellOneDeed:
    return TellOneDeed(number=one.number, name=one.name, language=one.language, words=words)


def _shown_to(one: Called, words: str, ask: Ask, person: Person) -> Served:
    if one.opted_out or one.unreachable:
        key = "to_one.opted_out" if one.opted_out else "to_one.unreachable"
        return Served(sentence=ask.voice.say(key, name=one.name))
    return shown(_deed(one, words), ask, person)


def shown(deed: TellOneDeed, ask: Ask, person: Person) -> Served:
    """The text as it will go out, with the code."""
    found = next((one for one in ask.known.called if one.number == deed.number), None)
    if found is not None and (found.opted_out or found.unreachable):
        return _shown_to(found, deed.words, ask, person)
    said = ask.voice.say("to_one.shown", name=deed.name, text=_text(deed, ask, person))
    return with_code(deed, said, ask, key="tell.code")


def _text(deed: TellOneDeed, ask: Ask, person: Person) -> str:
    knowledge = ask.voice.knowledge
    theirs = Voice(knowledge, deed.language)
    words = deed.words if deed.words.endswith(_ENDS) else f"{deed.words}."
    said = theirs.say("to_one.text", role=role_of(person, theirs), text=words, name=person.first_name.upper())
    return as_sent(said, shorten_letters=knowledge.club.plain_letters)


def told_one(deed: TellOneDeed, ask: Ask, person: Person) -> Served:
    """The code has come: the text goes, after the quiet hours where it is night."""
    voice = ask.voice
    due = quiet_hours(voice.knowledge).end_after(ask.now)
    write = WriteTo(
        number=deed.number, language=deed.language, person=person.id, text=_text(deed, ask, person), due=due
    )
    record = Record(person=person.id, what=f"wrote to {deed.name}: {deed.words}")
    key = "to_one.sent_later" if due > ask.now else "to_one.sent"
    said = voice.say(key, name=deed.name, time=voice.moment(due, ask.now))
    return Served(sentence=said, effects=(write, record))


def one_picked(ask: Ask, person: Person) -> Served | None:
    """Which of several was meant, shown with its code; None where nothing of the kind was asked, or the text says something else."""
    asked = _which(ask)
    if asked is None or not isinstance(asked.deed, WhichDeed):
        return None
    one = picked_of(asked.deed, ask.text)
    match one:
        case TakeOffDeed():
            served = off_shown(one, replace(ask, known=replace(ask.known, draft=None)))
        case TellOneDeed():
            served = shown(one, replace(ask, known=replace(ask.known, draft=None)), person)
        case _:
            return None
    return replace(served, effects=(CloseDraft(), *served.effects))


def asked_again(ask: Ask) -> Served | None:
    """A yes to a question which of several is meant: it is asked once more."""
    asked = _which(ask)
    return which_again(asked.deed, ask) if asked is not None and isinstance(asked.deed, WhichDeed) else None


def _which(ask: Ask) -> Draft | None:
    waits = waiting(ask)
    return waits[0][0] if waits and isinstance(waits[0][0].deed, WhichDeed) else None


def written_back(ask: Ask) -> Served | None:
    """ "Sam: ok" within a day of a text of Sam's goes to Sam; None where the text is no such thing."""
    thread = ask.known.thread
    if thread is None or thread.reason != WRITTEN_TO:
        return None
    person = next((one for one in ask.voice.knowledge.people if one.id == thread.person), None)
    words = ask.text.split(maxsplit=1)
    if person is None or len(words) < 2 or bare(words[0]) != bare(person.first_name):
        return None
    said = replace(ask, text=words[1].lstrip(":,- "))
    if person.id in ask.voice.knowledge.suspended:
        return for_a_person(said, reason="written back")
    note = handed(said, "written back", "handover.goes_on_note", to=person, again=thread.number)
    return Served(sentence=ask.voice.say("to_one.passed", name=person.first_name), effects=(note,))
