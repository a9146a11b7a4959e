"""The language that somebody asks to be answered in: it holds from then on, whichever they write in."""

from collections.abc import Callable
from dataclasses import replace

from clubbot.conversation.replying import Turn
from clubbot.conversation.texted import Texted
from clubbot.model.effects import ChooseLanguage, Effect, Introduce, KeepLanguage, Reply
from clubbot.model.messages import Language
from clubbot.understanding.rules import Match

# Words beside the wish for a language from which on they are a text of their own.
_SAYS_MORE = 2
_WANTS: dict[str, Language] = {"wants French": "fr", "wants English": "en"}


def asks_language(texted: Texted) -> tuple[Language, Match] | None:
    """The language that a text asks for, of those that the club speaks, and where it says so; None where it asks for none, or for both."""
    said = texted.reading.noticed
    found = {language: said.first(what) for what, language in _WANTS.items() if said.says(what)}
    if len(found) != 1:
        return None
    ((language, match),) = found.items()
    return (language, match) if match is not None and language in texted.knowledge.club.languages else None


def only_asks_language(texted: Texted) -> Turn | None:
    """A text that asks for a language and for nothing else."""
    language = _only_language(texted)
    if language is None:
        return None
    voice = in_that_language(texted, language).voice()
    said = voice.say("speaks.chosen")
    effects: tuple[Effect, ...] = (Reply(text=said),)
    if not texted.known.sender.introduced:
        effects = (Reply(text=f"{said} {voice.say('greeting.introduction')}"), Introduce())
    turned = Turn(effects=effects, language=language, served=("greeting",), outcome="answered")
    return with_chosen(turned, language)


def _only_language(texted: Texted) -> Language | None:
    """The language that a text asks for, which asks for nothing else."""
    asked = asks_language(texted)
    if asked is None or texted.known.sender.opted_out or _rest(texted, asked[1]):
        return None
    return asked[0]


def said_again(texted: Texted, in_context: Callable[[Texted], Turn | None]) -> Turn | None:
    """What was answered just now, in the language that is asked for; None where nothing was, or more is asked."""
    language, exchange = _only_language(texted), texted.known.exchange
    if language is None or exchange is None or not exchange.intents:
        return None
    turned = in_context(in_that_language(texted, language))
    return with_chosen(turned, language) if turned is not None and turned.served and not turned.handed_over else None


def of_the_club_asks_language(texted: Texted) -> Turn | None:
    """The same from one of the club's people: it is no answer to a question that waits for them."""
    return only_asks_language(texted) if texted.person is not None else None


def without_the_wish(texted: Texted) -> tuple[Texted, Language | None]:
    """The text as it is answered in the language that it asks for, without these words; and that language."""
    asked = asks_language(texted)
    if asked is None:
        return texted, None
    rest = texted.reading.in_its_place(_rest(texted, asked[1]))
    return replace(in_that_language(texted, asked[0]), reading=rest), asked[0]


def in_that_language(texted: Texted, language: Language) -> Texted:
    """The same from somebody who has asked for that language."""
    dialogue = replace(texted.known.dialogue, speaks=language)
    return replace(texted, known=replace(texted.known, dialogue=dialogue))


def with_chosen(turned: Turn, language: Language) -> Turn:
    """What is to be done, and the language kept."""
    rest = tuple(one for one in turned.effects if not isinstance(one, KeepLanguage))
    return replace(turned, effects=(ChooseLanguage(language=language), KeepLanguage(language=language), *rest))


def _rest(texted: Texted, match: Match) -> str:
    """What the text says beside."""
    words = texted.reading.noticed.words(match)
    text = texted.text
    left = f"{text[: words[0].start]} {text[words[-1].end :]}".strip() if words else text
    said = [one for one in left.split() if any(letter.isalnum() for letter in one)]
    return left if len(said) >= _SAYS_MORE or (said and "?" in left) else ""
