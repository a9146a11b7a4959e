"""What asks for nothing, or only who or what answers here: a short word or silence, and never a person at once."""

from collections.abc import Mapping
from dataclasses import replace

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.not_twice import fresh, told_lately
from clubbot.conversation.replying import Turn, told

# What a rule says of a text, and the sentence that answers it; nothing is answered to what has none.
_ANSWERS: Mapping[str, str] = {
    "only thanks": "thanks.reply",
    "asks whether a machine answers": "talk.machine",
    "tests the line": "talk.here",
    "asks who answers": "talk.who",
    "only a wrong number": "talk.wrong_number",
    "only a compliment": "talk.compliment",
    "only goodbye": "talk.bye",
    "only laughs": "",
    "only ok": "",
}
# Not answered again right after it was, nor a third time.
_ONCE = frozenset({"only thanks", "only a compliment", "only goodbye", "only a wrong number"})
_SERVED: Mapping[str, str] = {
    "asks whether a machine answers": "privacy",
    "tests the line": "greeting",
    "asks who answers": "privacy",
}
_SAYS_WHO = frozenset({"asks whether a machine answers", "tests the line", "asks who answers"})


def small_talk(ask: Ask) -> Turn | None:
    """What is said to small talk; None where a text is none, or somebody is in danger."""
    kind = next((says for says in _ANSWERS if ask.said.says(says)), None)
    thread = ask.known.thread
    if kind is None or (thread is not None and thread.open and thread.reason == "danger"):
        return None
    sentence = _sentence(kind, ask)
    served = (_SERVED.get(kind, "thanks"),)
    if not sentence:
        return Turn(language=ask.voice.language, served=served, outcome="asks for nothing")
    return replace(
        told([Served(sentence=sentence, introduces=kind in _SAYS_WHO or kind == "only a wrong number")], ask, None),
        served=served,
    )


def in_another_language(ask: Ask) -> Served | None:
    """A text in a language that we cannot read: that is said in words that are easy to look up, once; after that a person gets it."""
    letters = [letter for letter in ask.text if letter.isalnum()]
    strange = bool(letters) and not any(letter.isascii() for letter in letters)
    if not strange and not ask.said.says("is in another language"):
        return None
    said = ask.voice.say("talk.languages")
    return None if told_lately(said, ask.known) else Served(sentence=said, served=False)


def _sentence(kind: str, ask: Ask) -> str:
    key = _ANSWERS[kind]
    if key == "thanks.reply" and any(one.kind == "held" for one in ask.known.closures):
        key = "first.thanks"  # nobody is wished a good round in thunder
    if not key or (kind in _ONCE and _just_said(key, ask)):
        return ""
    thread = ask.known.thread
    if kind == "tests the line" and thread is not None and thread.open:
        person = next((one for one in ask.voice.knowledge.people if one.id == thread.person), None)
        if person is not None:
            return fresh(ask.voice, ask.known, "talk.waiting", name=person.first_name)
    said = fresh(ask.voice, ask.known, key)
    return "" if kind in _ONCE and told_lately(said, ask.known) else said


def _just_said(key: str, ask: Ask) -> bool:
    """Whether the last that we said was such a word already: thanks for thanks go on for ever."""
    last = replace(ask.known, said_lately=ask.known.said_lately[:1])
    keys = (key, f"{key}_again")
    return any(told_lately(ask.voice.say(one), last) for one in keys if ask.voice.has(one))
