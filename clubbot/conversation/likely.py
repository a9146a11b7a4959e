"""Asking back what a text may want: only what is likely, one thing as yes or no, and never twice in a row."""

from dataclasses import replace

from clubbot.conversation import asking
from clubbot.conversation.ask import Ask, Served, ask_back
from clubbot.conversation.handover import for_a_person
from clubbot.conversation.not_twice import fresh
from clubbot.model.choices import Choice, any_of
from clubbot.understanding.once import Reading

# A choice is offered where it is at least so likely beside the likeliest.
_BESIDE_THE_BEST = 0.3
_MOST_KEPT = 160


def menu(choices: tuple[str, ...], reading: Reading, ask: Ask) -> Served:
    """The likely ones of what a text may want, to choose from; a person where we have just asked already."""
    asked = ask.known.asked
    if asked is not None and ask.now < asked.until and not any(choice.on is not None for choice in asked.choices):
        both = replace(ask, text=f"{asked.about} / {ask.text}"[:_MOST_KEPT])
        return for_a_person(both, reason="not understood")
    chances = dict(reading.scores)
    best = max((chances.get(choice, 0.0) for choice in choices), default=0.0)
    likely = tuple(one for one in choices if chances.get(one, 0.0) >= _BESIDE_THE_BEST * best)
    if len(likely) > 1:
        return _worded(ask_back(any_of(likely), ask), fresh_choices(any_of(likely), ask))
    return whether((likely or choices)[0], ask)


def whether(intent: str, ask: Ask) -> Served:
    """One thing that a text may want, asked as yes or no."""
    choice = Choice(intent)
    said = fresh(ask.voice, ask.known, "choice.one", choice=asking.label(choice, ask.voice))
    return _worded(ask_back((choice,), ask), said)


def fresh_choices(choices: tuple[Choice, ...], ask: Ask) -> str:
    """The question which of them is meant, in other words where it has been asked with these already."""
    return fresh(ask.voice, ask.known, "choice.ask", choices=asking.listed(choices, ask.voice))


def _worded(asked: Served, sentence: str) -> Served:
    return replace(asked, sentence=sentence)
