"""How it went, in one text to those whose role it is: the counts, what is still open, and what was most often not understood."""

from collections import Counter
from collections.abc import Sequence

from rapidfuzz import fuzz

from clubbot.conversation.helping import cut, quoted
from clubbot.conversation.lacking import named
from clubbot.conversation.phrasing import Voice
from clubbot.model.digest import Digest, Doubt
from clubbot.texting.parts import count

_MOST_GROUPS = 5
_MOST_DOUBTS = 3
_MOST_OPEN = 10
# Letters of all open questions together, and of one at least.
_FOR_ALL = 160
_SHORTEST = 24
_LIKE = 75  # of 100: texts this much alike are one question
_LONGEST = 40


def summed_up(found: Digest, voice: Voice) -> str:
    """The digest as it is sent."""
    club = voice.knowledge.club
    parts = sum(count(text) for text in found.sent) + found.blanked_parts
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
        said.append(_open(found.open, voice))
    if found.reports:
        said.append(voice.say("overview.reports", count=found.reports))
    if found.kept:
        said.append(voice.say("digest.kept", count=found.kept))
    if found.lacking:
        said.append(_lacking(found.lacking, voice))
    groups, pairs = grouped(found.unclear)[:_MOST_GROUPS], doubted(found.doubts)[:_MOST_DOUBTS]
    text = _with_lists(said, groups, pairs, voice)
    while not voice.fits(text) and (groups or pairs):  # what was rarest is left out first
        if len(groups) > len(pairs):
            groups = groups[:-1]
        else:
            pairs = pairs[:-1]
        text = _with_lists(said, groups, pairs, voice)
    return text


def _open(questions: Sequence[tuple[int, str]], voice: Voice) -> str:
    """Every question that waits, in its own words; the more of them there are, the fewer of each. Of very many the rest is counted."""
    shown, rest = questions[:_MOST_OPEN], questions[_MOST_OPEN:]
    longest = max(_SHORTEST, _FOR_ALL // len(shown))
    said = voice.say("digest.open", list="; ".join(f'Q{number} "{cut(words, longest)}"' for number, words in shown))
    return f"{said} {voice.say('digest.open_rest', count=len(rest))}" if rest else said


def _lacking(topics: Sequence[str], voice: Voice) -> str:
    """What was asked about and has no answer, the most frequent first."""
    found = Counter(topics).most_common(_MOST_GROUPS)
    listed = "; ".join(
        f"{named(topic, voice)} x{times}" if times > 1 else named(topic, voice) for topic, times in found
    )
    return voice.say("lacking.digest", list=listed)


def _with_lists(
    said: Sequence[str], groups: Sequence[tuple[str, int]], pairs: Sequence[tuple[Doubt, int]], voice: Voice
) -> str:
    text = list(said)
    if groups:
        listed = "; ".join(f'"{quoted(words)[:_LONGEST]}" x{times}' for words, times in groups)
        text.append(voice.say("digest.unclear", list=listed))
    if pairs:
        text.append(voice.say("digest.doubts", list="; ".join(_doubt(pair, times, voice) for pair, times in pairs)))
    return " ".join(text)


def _doubt(pair: Doubt, times: int, voice: Voice) -> str:
    words = quoted(pair.text)[:_LONGEST]
    if pair.meant is None:
        said = voice.say("digest.doubt_only", text=words, read_as=pair.read_as)
    else:
        said = voice.say("digest.doubt", text=words, read_as=pair.read_as, meant=pair.meant)
    return said if times == 1 else f"{said} x{times}"


def doubted(doubts: Sequence[Doubt]) -> list[tuple[Doubt, int]]:
    """The misreadings of one intent for another taken together, the most frequent first, each by its first text."""
    groups: dict[tuple[str, str | None], tuple[Doubt, int]] = {}
    for one in doubts:
        first, times = groups.get((one.read_as, one.meant), (one, 0))
        groups[one.read_as, one.meant] = (first, times + 1)
    return sorted(groups.values(), key=lambda group: -group[1])


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
