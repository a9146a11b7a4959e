"""A name that is given beside something else: it is kept, and the rest of the text is answered as if it had come alone."""

from collections.abc import Callable
from dataclasses import replace

from clubbot.conversation.ask import asks
from clubbot.conversation.phrasing import Voice
from clubbot.conversation.replying import Turn
from clubbot.conversation.texted import Texted
from clubbot.model.club import Knowledge
from clubbot.model.dialogue import MENDED_WITHIN
from clubbot.model.effects import Introduce, KeepName, KeepRsvp, Reply, SpeakOf
from clubbot.model.intents import Danger, Party, StartAgain, Stop
from clubbot.model.known import Known
from clubbot.people.names import akin
from clubbot.understanding.name_beside import NameBeside

_ASKED = ("rsvp.your_name", "name.unclear")
# What is served of a rest that asks for nothing.
_NOTHING = frozenset({"name", "thanks", "greeting"})


def named_beside(texted: Texted, answered: Callable[[Texted], Turn]) -> Turn | None:
    """What is done about a text that gives a name and says more; None where it gives none, or nobody needs one."""
    if texted.person is not None:
        return None
    if texted.known.sender.name is not None:
        return _said_again(texted.known.sender.name, texted, answered)
    asked = just_asked_for_a_name(texted.known, texted.knowledge)
    if asked and (texted.reading.noticed.says("keeps the name back") or texted.reading.noticed.says("bare no")):
        return _not_needed(texted)
    found = texted.reading.name_first if asked else None
    if found is not None:
        return _name_and_rest(found, texted, answered)
    found = texted.reading.name_last
    if found is None:
        return None
    turned = answered(_rest(found, texted))
    return _with_name(turned, found.name, texted) if asked or _signs_up(turned) else None


def _said_again(known: str, texted: Texted, answered: Callable[[Texted], Turn]) -> Turn | None:
    """The sender's own name, given once more right after a sign-up: it is no change of who comes."""
    talk = texted.known.talk
    if talk is None or not talk.intent.startswith("rsvp-") or texted.now - talk.at > MENDED_WITHIN:
        return None
    found = texted.reading.name_first
    return _name_and_rest(found, texted, answered) if found is not None and akin(found.name, known) else None


def just_asked_for_a_name(known: Known, knowledge: Knowledge) -> bool:
    """Whether the last that we said asks for a name, in whichever language."""
    return any(
        Voice(knowledge, language).say(key) in told
        for told in known.said_lately[:1]
        for language in knowledge.club.languages
        for key in _ASKED
    )


def _name_and_rest(found: NameBeside, texted: Texted, answered: Callable[[Texted], Turn]) -> Turn | None:
    rest = _rest(found, texted)
    if not any(letter.isalnum() for letter in found.rest):
        return _only_name(found.name, texted)
    if any(isinstance(intent, Stop | StartAgain | Danger) for intent in rest.reading.intents):
        return None
    turned = answered(rest)
    return _with_name(turned, found.name, texted) if _says_more(turned, rest) else _only_name(found.name, texted)


def _rest(found: NameBeside, texted: Texted) -> Texted:
    """The rest of the text, from somebody whose name is known."""
    sender = replace(texted.known.sender, name=found.name)
    return replace(texted, reading=texted.reading.in_its_place(found.rest), known=replace(texted.known, sender=sender))


def _says_more(turned: Turn, rest: Texted) -> bool:
    """Whether what is beside the name is to be answered: an aside is not, nor what names who comes without a number."""
    if _touches_sign_up(turned):
        said = rest.reading.answer
        return said.party != Party() or bool(said.said.out or said.said.sender_out) or said.when is not None
    if turned.handed_over or turned.offered or not turned.served:
        return asks(rest.ask())
    return not set(turned.served) <= _NOTHING


def _touches_sign_up(turned: Turn) -> bool:
    return any(isinstance(one, KeepRsvp) or (isinstance(one, SpeakOf) and one.awaits) for one in turned.effects)


def _signs_up(turned: Turn) -> bool:
    return any(isinstance(one, KeepRsvp) and one.rsvp.is_down for one in turned.effects)


def _only_name(name: str, texted: Texted) -> Turn:
    """The name kept; no language is concluded from it."""
    voice = texted.voice()
    said = voice.say("name.kept", name=name)
    return Turn(
        effects=(Reply(text=said), KeepName(name=name)), language=voice.language, served=("name",), outcome="answered"
    )


def _not_needed(texted: Texted) -> Turn:
    """Somebody would rather not give a name: nobody has to."""
    voice = texted.voice(texted.reading.language)
    said = voice.say("name.not_needed")
    return Turn(effects=(Reply(text=said),), language=voice.language, served=("thanks",), outcome="answered")


def _with_name(turned: Turn, name: str, texted: Texted) -> Turn:
    """What is done, and the name kept and said back behind it."""
    said = texted.voice(turned.language).say("name.kept_too", name=name)
    effects = [one for one in turned.effects if not isinstance(one, KeepName)]
    at = next((at for at, one in enumerate(effects) if isinstance(one, Reply)), None)
    first = effects[at] if at is not None else None
    if at is None or not isinstance(first, Reply):
        return replace(turned, effects=(Reply(text=said), KeepName(name=name), *effects))
    introduction = texted.voice(turned.language).say("greeting.introduction")
    introduces = any(isinstance(one, Introduce) for one in effects) and first.text.endswith(introduction)
    text = first.text.removesuffix(introduction).rstrip() if introduces else first.text
    effects[at] = replace(first, text=" ".join([text, said, *([introduction] if introduces else [])]))
    served = tuple(dict.fromkeys((*turned.served, "name")))
    return replace(turned, effects=(*effects, KeepName(name=name)), served=served)
