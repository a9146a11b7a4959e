"""Ways of asking that pull the wrong way: those that are read as something else, and those that draw other people's words to them."""

from collections.abc import Iterable, Sequence
from pathlib import Path

from rapidfuzz import fuzz, process

from clubbot.handbook.answers import AnswerFile
from clubbot.handbook.findings import Finding, warning
from clubbot.model.club import Example
from clubbot.understanding.plain import words_of
from clubbot.understanding.scoring import Scorer

# So many a way of asking are named; a way that draws one text may be an accident, and the list is for people.
_MOST_NAMED = 2
_LEAST_DRAWN = 2


def pulling(files: Iterable[AnswerFile], common: Sequence[Example], scorer: Scorer) -> list[Finding]:
    """What the club's own ways of asking do, by what was learnt from them and the `common` ones together."""
    own = [(file.file, line, example) for file in files for line, example in file.examples]
    return [*_misread(own, scorer), *_drawn(own, common, scorer)]


def _misread(own: Sequence[tuple[Path, int, Example]], scorer: Scorer) -> list[Finding]:
    return [
        warning(
            file,
            line,
            f'"{one.text}" is read as "{read}" although it stands here',
            "reword it, or leave it out: it pulls the wrong way",
        )
        for file, line, one in own
        if (read := _likeliest(one, scorer)) != one.intent
    ]


def _drawn(own: Sequence[tuple[Path, int, Example]], common: Sequence[Example], scorer: Scorer) -> list[Finding]:
    """Common ways of asking for other things that a topic of the club's own takes over, by the way that they are most like."""
    topics = {one.intent for _, _, one in own} - {one.intent for one in common}
    if not topics:
        return []
    drawn: dict[int, list[Example]] = {}
    for one in common:
        read = _likeliest(one, scorer)
        if read in topics:
            mine = [place for place, (_, _, example) in enumerate(own) if example.intent == read]
            texts = [own[place][2].text for place in mine]
            nearest = process.extractOne(one.text, texts, scorer=fuzz.token_set_ratio)
            drawn.setdefault(mine[nearest[2]], []).append(one)
    return [
        warning(
            own[place][0],
            own[place][1],
            f'"{own[place][2].text}" draws others to it: '
            + ", ".join(f'"{one.text}" (asks for "{one.intent}")' for one in away[:_MOST_NAMED]),
            "say in it what only this topic is about",
        )
        for place, away in sorted(drawn.items())
        if len(away) >= _LEAST_DRAWN
    ]


def _likeliest(one: Example, scorer: Scorer) -> str:
    return scorer.intents[int(scorer.scores(words_of(one.text), one.language).argmax())]
