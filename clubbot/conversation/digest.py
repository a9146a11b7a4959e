"""How it went, in one text to the organiser: the counts, what is still open, and what was most often not understood."""

from collections.abc import Sequence

from rapidfuzz import fuzz

from clubbot.conversation.helping import quoted
from clubbot.conversation.phrasing import Voice
from clubbot.model.digest import Digest
from clubbot.texting.parts import count

_MOST_GROUPS = 5
_MOST_OPEN = 8
_LIKE = 75  # of 100: texts this much alike are one question
_LONGEST = 40


def summed_up(found: Digest, voice: Voice) -> str:
    """The digest as it is sent."""
    club = voice.knowledge.club
    parts = sum(count(text) for text in found.sent)
    said = [
        voice.say(
            "digest.summary",
            span=voice.say("digest.day") if club.digest == "daily" else club.short_name,
            texts=found.texts,
            people=found.people,
            new=found.new,
            passed=found.passed,
            open=len(found.open),
            rsvps=found.rsvps,
            parts=parts,
            cost=voice.money(f"{parts * club.text_part_price:.2f}"),
        )
    ]
    if found.open:
        said.append(voice.say("digest.open", list=", ".join(f"Q{number}" for number in found.open[:_MOST_OPEN])))
    groups = grouped(found.unclear)[:_MOST_GROUPS]
    if groups:
        listed = "; ".join(f'"{quoted(words)[:_LONGEST]}" x{times}' for words, times in groups)
        said.append(voice.say("digest.unclear", list=listed))
    return " ".join(said)


def grouped(texts: Sequence[str]) -> list[tuple[str, int]]:
    """Texts that are much alike taken together, the most frequent first, each by its first."""
    groups: list[tuple[str, int]] = []
    for text in texts:
        for place, (words, times) in enumerate(groups):
            if fuzz.token_set_ratio(text.casefold(), words.casefold()) >= _LIKE:
                groups[place] = (words, times + 1)
                break
        else:
            groups.append((text, 1))
    return sorted(groups, key=lambda group: -group[1])
