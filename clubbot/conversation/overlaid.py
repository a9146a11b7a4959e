"""What the club knows now: its files, with all that was changed by text laid over them."""

from collections.abc import Mapping
from dataclasses import replace

from clubbot.events.days import with_changed_days
from clubbot.model.club import Answer, Knowledge, Overlay
from clubbot.people.changed import by_role, with_changed_people
from clubbot.texting.gaps import filled
from clubbot.texting.wording import joined

_NOTHING_CHANGED = Overlay()


def as_changed(knowledge: Knowledge, overlay: Overlay) -> Knowledge:
    """The knowledge with what was changed by text laid over the files."""
    if overlay == _NOTHING_CHANGED:
        return knowledge
    changed = with_changed_people(with_changed_days(knowledge, overlay), overlay)
    if not (overlay.roles or overlay.retired or overlay.people):
        return changed
    return replace(changed, answers={topic: _named(one, changed) for topic, one in changed.answers.items()})


def _named(answer: Answer, knowledge: Knowledge) -> Answer:
    """The answer with the names of those who have the roles now; what names a role that nobody has is left out."""
    points = {
        language: tuple(
            replace(one, said=" ".join(filled([one.by_role], _names(knowledge, language)))) if one.by_role else one
            for one in written
        )
        for language, written in answer.points.items()
    }
    if not answer.by_role:
        return replace(answer, points=points)
    paragraphs = {
        language: filled(written, _names(knowledge, language)) for language, written in answer.by_role.items()
    }
    return replace(answer, paragraphs=paragraphs, points=points)


def _names(knowledge: Knowledge, language: str) -> Mapping[str, str]:
    words = knowledge.wording[language]
    return {fact: joined(names, words) for fact, names in by_role(knowledge.people).items()}
