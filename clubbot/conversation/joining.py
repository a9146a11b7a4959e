"""A phone that was asked to join the club's people says yes or no. Its yes needs no code: it takes a role on that the organiser's code gave."""

from dataclasses import replace

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.phrasing import Voice
from clubbot.conversation.texted import Texted
from clubbot.model.club import Person
from clubbot.model.deeds import JoinDeed
from clubbot.model.effects import CloseDraft, Effect, KeepPerson, Record, TellPerson


def answered(texted: Texted) -> Served | None:
    """What comes of it; None where the phone was asked nothing, or says something else."""
    draft = texted.known.proposals.get(texted.known.sender.number)
    if draft is None or not isinstance(draft.deed, JoinDeed) or texted.now >= draft.until:
        return None
    reading, ask = texted.reading, texted.ask(_language(draft.deed, texted))
    if "?" in texted.text or texted.known.asked is not None or texted.known.sender.opted_out:
        return None
    if reading.among_orders("declines"):
        return _declined(draft.deed, ask)
    return _joined(draft.deed, ask) if reading.among_orders("accepts") else None


def _language(deed: JoinDeed, texted: Texted) -> str:
    """The language of the answer, where it shows one; else that in which the phone was asked."""
    said = texted.reading.language
    return said if said in texted.knowledge.club.languages and said is not None else deed.person.language


def _joined(deed: JoinDeed, ask: Ask) -> Served:
    """Live from the next text on; whoever asked hears of it."""
    voice, joins = ask.voice, deed.person
    if any(one.number == joins.number or one.id == joins.id for one in voice.knowledge.people):
        return Served(sentence=voice.say("phones.number_taken"), effects=(CloseDraft(proposal=True),))
    joins = replace(joins, language="fr" if voice.language == "fr" else "en")
    effects: list[Effect] = [
        CloseDraft(proposal=True),
        KeepPerson(person=joins),
        Record(person=joins.id, what=f"joined: {', '.join(joins.roles)}, asked by {deed.asked_by}"),
        *_told(deed, "people.joined_note", ask),
    ]
    said = voice.say("people.welcome", name=joins.first_name, roles=voice.roles(joins.roles))
    return Served(sentence=said, effects=tuple(effects), introduces=True)


def _declined(deed: JoinDeed, ask: Ask) -> Served:
    effects: tuple[Effect, ...] = (CloseDraft(proposal=True), *_told(deed, "people.declined_note", ask))
    return Served(sentence=ask.voice.say("people.declined"), effects=effects, introduces=True)


def _told(deed: JoinDeed, key: str, ask: Ask) -> tuple[TellPerson, ...]:
    knowledge = ask.voice.knowledge
    by: Person | None = next((one for one in knowledge.people if one.id == deed.asked_by), None)
    if by is None:
        return ()
    theirs = Voice(knowledge, by.language)
    text = theirs.say(key, name=deed.person.first_name, roles=theirs.roles(deed.person.roles))
    return (TellPerson(person=by.id, number=by.number, text=text),)
