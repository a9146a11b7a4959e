"""Texts that are not read whole: of more than anybody types, and such as were begun and never finished."""

from dataclasses import replace
from datetime import datetime

from clubbot.conversation.ask import Ask
from clubbot.conversation.crowd import bounded
from clubbot.conversation.flood import is_ours, quiet_reason
from clubbot.conversation.handover import for_a_person
from clubbot.conversation.helping import quoted
from clubbot.conversation.key_words import by_key_word, cried_for_help, opted_out
from clubbot.conversation.limits import quiet
from clubbot.conversation.mending import LONGEST_KEPT
from clubbot.conversation.phrasing import Voice
from clubbot.conversation.replying import Turn
from clubbot.conversation.texted import Texted, usual_language
from clubbot.model.club import Knowledge
from clubbot.model.effects import Reply
from clubbot.model.known import Known
from clubbot.texting.keywords import Keyword, keyword
from clubbot.understanding.consent import opts_out
from clubbot.understanding.danger import sounds_like_danger
from clubbot.understanding.once import Reading
from clubbot.understanding.splitting import more_than_anybody_types, two_ends

_SENTENCE_ENDS = str.maketrans(dict.fromkeys(".!?;", "\n"))


def too_long(texted: Texted) -> Turn | None:
    """A text of more than anybody types: only its two ends are looked at, for the way out and for danger; else it is asked for in a few
    words, nothing is done by it and it goes to nobody. None where it is no such text.
    """
    if not more_than_anybody_types(texted.text):
        return None
    first, last = (texted.reading.anew(end) for end in two_ends(texted.text))
    word = _opts_out(first, last)
    if word is not None:
        return opted_out(replace(texted.ask(word.language, part=first), text=quoted(first.text)))
    cry = next((end for end in (first, last) if sounds_like_danger(end.noticed)), None)
    if cry is not None and not is_ours(cry.text, texted.known):
        return cried_for_help(cry, texted)
    if texted.known.sender.opted_out:
        return Turn(language=texted.usual, outcome="opted out")
    reason = quiet_reason(first.text, texted.known, of_the_club=False)
    if reason is not None:
        return quiet(reason, texted)
    said = texted.voice().say("too_long.reply")
    return Turn(effects=(Reply(text=said),), language=texted.usual, outcome="too long")


def _opts_out(first: Reading, last: Reading) -> Keyword | None:
    """An opt-out in the two ends of a long text: a key word as its first or last sentence, the plain wish in any."""
    begins, ends = _sentences(first.text)[0], _sentences(last.text.rstrip(" .!?;"))[-1]
    words = (keyword(begins), keyword(ends), opts_out(first.noticed), opts_out(last.noticed))
    return next((word for word in words if word is not None and word.kind == "stop"), None)


def _sentences(text: str) -> list[str]:
    return text.translate(_SENTENCE_ENDS).split("\n")


def set_aside(text: str, known: Known, knowledge: Knowledge, now: datetime, opt_out: Keyword | None = None) -> Turn:
    """A text whose reading was begun and never finished is not read again: a person gets it with its words, and the sender is told.
    Only the key words, which are looked up and not searched for, are still done, and an `opt_out` that was found in it by itself.
    """
    voice = Voice(knowledge, usual_language(known, knowledge))
    ask = Ask(text=text, known=known, voice=voice, now=now, alone=True)
    word = opt_out or (keyword(text) if len(text) <= LONGEST_KEPT else None)
    if word is not None:
        return by_key_word(word, ask, first_text=known.sender.language is None)
    handed = bounded(for_a_person(ask, reason="set aside"), ask)
    said = f"{handed.sentence} {voice.say('handover.set_aside')}"
    effects = (Reply(text=said), *handed.effects)
    return Turn(effects=effects, language=voice.language, outcome="set aside", kind="question")
