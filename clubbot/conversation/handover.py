"""What only a person can deal with goes to whoever is on duty; the asker hears who and until when."""

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.phrasing import Voice
from clubbot.model.effects import QUESTION_NUMBER, HandOver
from clubbot.texting.numbers import mask_all

# A note to a volunteer stays within a few parts; the whole text is in the inbox.
_LONGEST_QUOTE = 280


def for_a_person(ask: Ask, *, reason: str, wanted: bool = False) -> Served:
    """Passed to whoever is on duty; the asker hears who and until when."""
    voice, duty = ask.voice, ask.duty
    kind = "wanted" if wanted else "reply"
    if duty.resumes is not None:
        kind = "wanted_later" if wanted else "later"
    resumes = voice.moment(duty.resumes, ask.now) if duty.resumes else ""
    sentence = voice.say(
        f"handover.{kind}",
        name=duty.person.first_name,
        wait=voice.length(voice.knowledge.club.answer_within_minutes),
        resumes=resumes,
    )
    return Served(sentence=sentence, effects=(handed(ask, reason, "handover.note"),), served=wanted)


def unreadable(ask: Ask) -> Served:
    """A text in letters that we cannot read goes to a person."""
    said = ask.voice.say("handover.unreadable", name=ask.duty.person.first_name)
    return Served(sentence=said, effects=(handed(ask, "unreadable", "handover.note"),), served=False)


def danger(ask: Ask) -> Served:
    """The emergency number first; the person on duty is told at once."""
    said = ask.voice.say("danger.reply", name=ask.duty.person.first_name)
    return Served(sentence=said, effects=(handed(ask, "danger", "danger.note"),), served=False)


def handed(ask: Ask, reason: str, key: str, **values: object) -> HandOver:
    """The note speaks the volunteer's language and quotes the asker, with any phone number masked."""
    knowledge, person = ask.voice.knowledge, ask.duty.person
    theirs = Voice(knowledge, person.language)
    note = theirs.say(key, number=QUESTION_NUMBER, text=_quoted(ask.text), **values)
    return HandOver(reason=reason, person=person.id, number=person.number, note=note)


def _quoted(text: str) -> str:
    """The asker's words as a volunteer sees them: on one line, no phone number, cut where they run on."""
    words = " ".join(mask_all(text).split())
    return words if len(words) <= _LONGEST_QUOTE else f"{words[: _LONGEST_QUOTE - 4].rstrip()} ..."
