"""Which cautions a text needs: what somebody is about to do, or asks whether they may, that has hurt people. Better once too often: a
caution is one sentence, and what else was asked is answered beside it.
"""

from collections.abc import Set
from typing import get_args

from clubbot.model.caution import Risk
from clubbot.understanding.noticing import Noticed
from clubbot.understanding.text import SENTENCE_ENDS

# What makes a place or a state a risk: what somebody does there.
_TOGETHER: tuple[tuple[Risk, str, str], ...] = (
    ("water", "near water", "goes in"),
    ("water", "near mud", "means to"),
    ("ice", "near ice", "on the course"),
    ("climb", "near height", "climbs"),
    ("nest", "near a nest", "reaches in"),
    ("unwell", "near unwell", "plays on"),
    ("dark", "near dark", "carries on"),
)
# The worst first. More than two nobody reads.
_RISKS: tuple[Risk, ...] = get_args(Risk)
_MOST = 2
# Sentences between where it is and what is done there: "the tide is out. i'll run and grab it".
_NEAR = 1
# What goes with any risk: whether to play on.
_PLAYS_ON = ("plays on", "whether to play on")
# Words of a text that has no room for anything else.
_FEW = 8
# Words of a question of its own.
_FEWEST = 3


def cautions(noticed: Noticed) -> tuple[Risk, ...]:
    """What the text by itself calls for, the worst first."""
    return worst_of({risk for risk in _RISKS if _needed(risk, noticed)})


def worst_of(risks: Set[Risk]) -> tuple[Risk, ...]:
    """The worst few of them, the worst first."""
    return tuple(risk for risk in _RISKS if risk in risks)[:_MOST]


def goes_on_with(noticed: Noticed) -> bool:
    """Whether a text goes on with a risk that was just spoken of: "even with boots", "and if it stops at six"."""
    return noticed.says("goes on with a risk") or noticed.says("whether to play on")


def asks_about_it(noticed: Noticed, risks: tuple[Risk, ...]) -> bool:
    """Whether the text is about doing what is risky, or about nothing else: a few words, or what somebody means to do."""
    doing = [done for risk, _, done in _TOGETHER if risk in risks and done != "on the course"]
    if any(noticed.says(one) for one in (*doing, *_PLAYS_ON)):
        return True
    return all(len(words) <= _FEW for words in noticed.text.spelled.values())


def may_be_anothers(noticed: Noticed) -> bool:
    """Whether a text is long enough to be about something else, and has no word of our game."""
    return not noticed.says("of our game") and any(len(words) > _FEW for words in noticed.text.spelled.values())


def about_playing(noticed: Noticed) -> bool:
    """Whether a text has a word of the course or of playing on, so that weather in it is ours."""
    return noticed.says("on the course") or noticed.says("plays on")


def asks_more(noticed: Noticed) -> bool:
    """Whether a sentence without any risk in it asks something too."""
    risky = {noticed.sentence(match) for match in noticed.matches if _is_about_risk(match.says)}
    asked: dict[int, int] = {}
    for words in noticed.text.spelled.values():
        number = count = 0
        for word in words:
            count += 1
            if word.pause in SENTENCE_ENDS:
                if word.pause == "?":
                    asked[number] = count
                number, count = number + 1, 0
        break
    return any(count >= _FEWEST and number not in risky for number, count in asked.items())


def _is_about_risk(says: str) -> bool:
    return says.startswith(("caution ", "near ")) or says in {
        "goes in",
        "plays on",
        "reaches in",
        "goes on with a risk",
    }


def _needed(risk: Risk, noticed: Noticed) -> bool:
    if noticed.says(f"caution {risk}"):
        return True
    return any(_together(where, done, noticed) for one, where, done in _TOGETHER if one == risk)


def _together(where: str, done: str, noticed: Noticed) -> bool:
    """Whether both are said, in one sentence or in neighbours."""
    places = [noticed.sentence(match) for match in noticed.all(where)]
    acts = [noticed.sentence(match) for match in noticed.all(done)]
    return any(abs(place - act) <= _NEAR for place in places for act in acts)
