"""What a report says of a disc: its colours, its kind, and the names on it."""

import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from clubbot.course.disc_names import names_on_it
from clubbot.course.disc_texts import (
    ADDRESS,
    LONG_FIGURE,
    PHONE,
    PHONE_LENGTH,
    PHONE_WORD,
    ROUND_ZERO,
    Word,
    about_disc,
    at,
    colour_word,
    negated,
    plain,
    words_of,
)
from clubbot.course.disc_vocabulary import (
    AFTER,
    BEFORE,
    CHOSES,
    DETERMINERS,
    HUES,
    KIND_WORDS,
    LOOKS,
    ORDINARY,
    PLACING,
    PLACING_THE,
    SAYS,
    SHADES,
    THINGS,
)


@dataclass(frozen=True, slots=True)
class DiscWords:
    """What a text says of a disc. A colour is a hue ("blue"), a shaded one ("dark blue") or a look ("glow").

    Names are the single words written on it, initials, numbers, and its make, as the texter wrote them in lower case.
    """

    colours: frozenset[str]
    kind: str | None
    names: frozenset[str]


def disc_words(text: str) -> DiscWords:
    """The colours, the kind and the names that a report gives. A phone number is cut out before anything is read."""
    text = "".join(letter for letter in unicodedata.normalize("NFKC", text) if unicodedata.category(letter) != "Cf")
    text = ROUND_ZERO.sub("0", text)
    without = ADDRESS.sub(" , ", PHONE.sub(" , ", text))
    # Where a phone number is said or could be, in one piece or several, no figure is taken for anything else.
    pieces = sum(len(piece) for piece in LONG_FIGURE.findall(text))
    figures = pieces < PHONE_LENGTH and not PHONE.search(text) and not PHONE_WORD.search(plain(text))
    words = words_of(without)
    # In a text of capitals only, a capital tells nothing.
    capitals = any(letter.islower() for letter in without)
    names = names_on_it(words, without, figures=figures, capitals=capitals)
    return DiscWords(frozenset(_colours(words)), _kind(words), names)


def _colours(words: Sequence[Word]) -> Iterator[str]:
    for index, word in enumerate(words):
        if word.named or word.mark:
            continue
        hue = colour_word(word.plain)
        if hue is not None and not negated(words, index) and not _of_something_else(words, index):
            yield hue if " " in hue else _shaded(words, index, hue)
        elif hue is None and word.plain in LOOKS and not negated(words, index) and not _shades_a_hue(words, index):
            yield LOOKS[word.plain]


def _shaded(words: Sequence[Word], index: int, hue: str) -> str:
    before, after = at(words, index - 1), at(words, index + 1)
    if before in BEFORE and colour_word(at(words, index - 2)) is None:
        return f"{SHADES[before]} {hue}"
    if after in AFTER and colour_word(at(words, index + 2)) is None:
        return f"{SHADES[after]} {hue}"
    # "rouge bleu clair": the shade between two colours goes with its language; French words stand behind.
    if before in BEFORE and before not in AFTER:
        return f"{SHADES[before]} {hue}"
    return f"{SHADES[after]} {hue}" if after in AFTER and after not in BEFORE else hue


def _shades_a_hue(words: Sequence[Word], index: int) -> bool:
    beside = at(words, index - 1), at(words, index + 1)
    return words[index].plain in SHADES and any(colour_word(one) is not None for one in beside)


def _of_something_else(words: Sequence[Word], index: int) -> bool:
    """Whether the colour is a tree's, a tee's, the ink's: "white pine", "by the red house", "feutre noir"."""
    after = at(words, index + 1)
    if after in THINGS or (after in {"permanent", "metallic"} and at(words, index + 2) in THINGS):
        return True
    start = index - 1
    while at(words, start) in SHADES or at(words, start) in HUES:
        start -= 1
    before = at(words, start)
    if before in CHOSES or before in PLACING_THE:
        return True
    behind = index + 1
    while at(words, behind) in SHADES or at(words, behind) in HUES:
        behind += 1
    of_disc = any(about_disc(at(words, one)) for one in range(behind, behind + 3))
    if before in {"in", "en"} and not of_disc and any(at(words, one) in SAYS for one in range(start - 5, start)):
        return True
    if before in DETERMINERS:
        return at(words, start - 1) in PLACING and not of_disc
    if about_disc(before) or before in ORDINARY - DETERMINERS or words[max(start, 0)].mark:
        return False
    # "pres de la maison jaune": preposition, article, thing, colour.
    article = at(words, start - 1)
    return article in PLACING_THE or (article in DETERMINERS and at(words, start - 2) in PLACING | {"de"})


def _kind(words: Sequence[Word]) -> str | None:
    """The one kind that is named; None for none and for two, since nobody knows which of them is meant."""
    kinds = {
        KIND_WORDS[word.plain]
        for index, word in enumerate(words)
        if word.plain in KIND_WORDS and not word.named and not negated(words, index) and _is_disc(words, index)
    }
    return kinds.pop() if len(kinds) == 1 else None


_MIDDLE_WORDS = (
    "morning afternoon day week june july august season round fairway flight air hole april may september october"
)
_MIDDLE_OF = frozenset(_MIDDLE_WORDS.split())
_DRIVING_WORDS = "bus cart truck mower taxi cab"
_DRIVES = frozenset(_DRIVING_WORDS.split())


def _is_disc(words: Sequence[Word], index: int) -> bool:
    """Not "mid july", "the bus driver", "on my approach"."""
    match words[index].plain:
        case "mid":
            return at(words, index + 1) not in _MIDDLE_OF
        case "driver":
            return at(words, index - 1) not in _DRIVES
        case "approach" | "approche":
            before = index - 1
            while at(words, before) in DETERMINERS | {"l", "first", "second", "deuxieme"}:
                before -= 1
            shot = at(words, index + 1) in {"shot", "shots", "throw"}
            return not shot and at(words, before) not in {"on", "after", "for", "sur", "apres", "during", "pendant"}
        case _:
            return True
