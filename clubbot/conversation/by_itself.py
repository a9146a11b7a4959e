"""A text that stands for itself: what it wants is served; what is not clear is asked back or goes to a person."""

from dataclasses import replace

from clubbot.conversation.about_mine import another_day, of_the_party
from clubbot.conversation.alarm import only_denies
from clubbot.conversation.ask import Ask, asks
from clubbot.conversation.handover import for_a_person, unreadable
from clubbot.conversation.key_words import and_the_rest, cried_for_help, opted_in, opted_out
from clubbot.conversation.lacking import not_written
from clubbot.conversation.likely import menu, whether
from clubbot.conversation.mending import last_said, of_that_hole, others_of, with_what_was_named
from clubbot.conversation.replying import Turn, served, told
from clubbot.conversation.reporting import DISCS, of_discs
from clubbot.conversation.serve import ids
from clubbot.conversation.small_talk import in_another_language
from clubbot.conversation.sureness import likely_answer, one_likely, sure_enough
from clubbot.conversation.teaching import as_taught
from clubbot.conversation.texted import Texted
from clubbot.course.disc_words import disc_words
from clubbot.model.effects import KeepLanguage
from clubbot.model.intents import AskEvents, AskTopic, Danger, ForAPerson, Intent, Report, StartAgain, Stop
from clubbot.model.messages import Language
from clubbot.understanding.once import Reading

# After a cry for help a text without a question mark is a question about the club from this chance on.
_ASKED_IN_AN_ALARM = 0.75


def by_itself(texted: Texted) -> Turn:
    """What a text wants by itself."""
    reading = texted.reading
    shown = reading.language if reading.language in texted.knowledge.club.languages else None
    ask = texted.ask(shown, alone=len(reading.intents) < 2)
    if any(isinstance(intent, Danger) for intent in reading.intents):
        return cried_for_help(reading, texted)
    if any(isinstance(intent, Stop) for intent in reading.intents):
        return and_the_rest(opted_out(ask), texted)
    if any(isinstance(intent, StartAgain) for intent in reading.intents):
        return and_the_rest(opted_in(ask), texted)
    turned = _answered(reading, ask)
    return with_language(turned, reading.language, ask) if turned.effects else turned


def _is_kept(intent: Intent) -> bool:
    """Whether it may be about what is kept: after a disc was spoken of it is the disc, not a number or a name."""
    return isinstance(intent, ForAPerson) or intent == AskTopic("privacy")


def _answered(reading: Reading, ask: Ask) -> Turn:
    """What is clear is served, what is taught is said, what is likely is asked back, and all else goes to a person."""
    if _where_they_are(reading, ask) or _of_the_same_report(reading, ask):
        turned, before = told([for_a_person(ask, reason="detail")], ask, reading), last_said(ask)
        return replace(turned, spoken=before.intents if before is not None else ())
    if all(_is_kept(intent) for intent in reading.intents) and _about_discs(ask):
        passed = for_a_person(ask, reason="not understood")
        return told([replace(passed, sentence=f"{of_discs(ask.voice)} {passed.sentence}")], ask, reading)
    if all(isinstance(intent, ForAPerson) for intent in reading.intents) and (none := only_denies(ask)) is not None:
        return replace(told([none], ask, reading), served=("thanks",))
    if as_taught(ask) is None and (lacking := not_written(ask, reading)) is not None:
        turned = told([lacking], ask, reading)
        return replace(turned, served=ids(reading.intents)) if lacking.served else turned
    if reading.intents and not _passes_on(reading, ask):
        return _served(reading, ask)
    if (known_now := as_taught(ask)) is not None:
        return told([known_now], ask, reading)
    foreign, party = in_another_language(ask), of_the_party(ask, reading)
    if party is not None or foreign is not None:
        return told([one for one in (party or foreign,) if one is not None], ask, reading)
    likely = reading.choices or one_likely(reading)
    if likely:
        return told([likely_answer(reading, ask) or menu(likely, reading, ask)], ask, reading)
    if not any(letter.isalnum() for letter in ask.text):
        return Turn(language=ask.voice.language, outcome="nothing to read", reading=reading)
    if not any(letter.isascii() and letter.isalnum() for letter in ask.text):
        return told([unreadable(ask)], ask, reading)
    return told([for_a_person(ask, reason="not understood")], ask, reading)


def _about_discs(ask: Ask) -> bool:
    """Whether a question comes right after a disc was reported: what becomes of found discs is told, whatever it asks."""
    before = last_said(ask)
    return before is not None and asks(ask) and any(one.intent in DISCS for one in before.intents)


def _where_they_are(reading: Reading, ask: Ask) -> bool:
    """Whether a text after a cry for help that only sounds like a question about the club may tell where they are, or how it stands."""
    alarm = ask.known.alarm
    topics = all(isinstance(intent, AskTopic) for intent in reading.intents)  # or nothing that is clear
    unsure = max((chance for _, chance in reading.scores), default=1.0) < _ASKED_IN_AN_ALARM
    unclear = unsure or not reading.intents
    return alarm is not None and alarm.open and topics and unclear and "?" not in ask.text


def _of_the_same_report(reading: Reading, ask: Ask) -> bool:
    """Whether a text right after a report tells of no other place or disc: it is of the same one, and whoever has that one gets it too."""
    before, intents, looks = last_said(ask), reading.intents, disc_words(ask.text)
    if before is None or not intents or looks.colours or looks.kind or ask.known.thread is None or asks(ask):
        return False
    reported = {one.intent for one in before.intents}
    return all(isinstance(intent, Report) and intent.kind in reported and intent.hole is None for intent in intents)


def _served(reading: Reading, ask: Ask) -> Turn:
    """What is sure enough is done, the rest is asked first."""
    intents = with_what_was_named(reading.intents, ask, reading)
    intents = of_that_hole(intents, ask)
    if (later := another_day(ask)) is not None:
        intents = (*(intent for intent in intents if not isinstance(intent, AskEvents | ForAPerson)), later)
    sure, asked = sure_enough(intents, ask, reading)
    if sure and not asked and reading.choices:  # an act that may be meant beside
        unsure = reading.choices[0]
        asked = (likely_answer(reading, ask) or whether(unsure, ask),)
    turned = served(sure, ask, reading, also=asked) if sure else told(asked, ask, reading)
    return replace(turned, others=others_of(reading.scores, turned.served))


def with_language(turned: Turn, shown: Language | None, ask: Ask) -> Turn:
    """The language that a text shows is kept as its sender's."""
    if shown is None or shown == ask.known.sender.language or ask.known.dialogue.speaks is not None:
        return turned
    return replace(turned, effects=(KeepLanguage(language=shown), *turned.effects))


def _passes_on(reading: Reading, ask: Ask) -> bool:
    """Whether a text would only be passed on although we know what to say or to ask."""
    if not all(isinstance(intent, ForAPerson) for intent in reading.intents):
        return False
    return as_taught(ask) is not None or in_another_language(ask) is not None or of_the_party(ask, reading) is not None
