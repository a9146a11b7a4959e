"""A report on a disc cut into its words, with what is no word of it taken out: phone numbers, addresses, weights."""

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass

from rapidfuzz import process
from rapidfuzz.distance import OSA

from clubbot.course.disc_vocabulary import (
    BETWEEN,
    CHOSES,
    DISC_WORDS,
    HUES,
    KIND_WORDS,
    MENDED,
    NEGATIVE,
    NOT_A_SLIP,
    ORDINARY,
    THINGS,
)
from clubbot.texting import patterns

# Seven figures or more with anything but words between them: a phone number (or a date, which is no loss).
PHONE = patterns.compile(r"\+?\(?\d(?:[\s().,/·+_‐-―−-]*\d){6,}")
LONG_FIGURE = patterns.compile(r"\d{3,}")
PHONE_LENGTH = 7
ROUND_ZERO = patterns.compile(r"(?<=\d)[oO](?=\d)|\b[oO](?=\d{2})")
ADDRESS = patterns.compile(r"\S+@\S+|https?://\S+|www\.\S+", patterns.IGNORECASE)
PHONE_WORD = patterns.compile(
    r"\b(?:phone|cell|mobile|tel|telephone|cellulaire|call|appele[rz]|text me|contact"
    r"|my (?:\w+ )?(?:number|num|no|digits)"
    r"|mon (?:\w+ )?num(?:ero)?|ends? (?:in|with)|ending|last (?:four|4)|finit|derniers chiffres)\b"
)
_DOTTED = patterns.compile(r"\b(?:[^\W\d_]\.){2,}")
ORDINAL = patterns.compile(r"(?<!\d)\d+(?:st|nd|rd|th|e|er|eme|g|gr|am|pm|h|m|ft|x)")
QUOTED = patterns.compile(r"[\"“”«]\s{0,9}([^\"“”«»\n]{1,30}?)\s{0,9}[\"“”»]")
_ONE_WORD = (
    (patterns.compile(r"\btie[- ]+dyed?\b", patterns.IGNORECASE), "tiedye"),
    (patterns.compile(r"\bmid[- ]+range(s?)\b", patterns.IGNORECASE), "midrange"),
    (patterns.compile(r"\bmi[- ]+distance\b", patterns.IGNORECASE), "midistance"),
    (patterns.compile(r"\bglow[- ]+in[- ]+(?:the[- ]+)?dark\b", patterns.IGNORECASE), "glow"),
    (patterns.compile(r"\bmulti[- ]+(?=colo)", patterns.IGNORECASE), "multi"),
    (
        patterns.compile(
            r"\bsee[- ]+thr(?:ough|u)\b|\bclear(?= (?:plastic|dis[ck]|driver|mid|putter|one))", patterns.IGNORECASE
        ),
        "transparent",
    ),
)
_TOKEN = patterns.compile(r"[^\W_]+(?:['’][^\W_]+)*|[.!?;\n]|[,:()]")
_ELIDED = patterns.compile(r"\b([ldjncsmt]|qu)['’](?=\w)", patterns.IGNORECASE)
_POSSESSED = patterns.compile(r"['’]s\b", patterns.IGNORECASE)
# Numbers that a disc bears for its weight in grams say nothing of whose it is.
WEIGHTS = range(140, 181)
# Up to a number drawn on for fun, or a player's number; four figures are as a rule the end of a phone number.
FIGURES = frozenset((1, 2, 3, 5, 6))
MOST_NAME_WORDS = 3


@dataclass(slots=True)
class Word:
    """A word or mark as written, and plain: small, without accents."""

    written: str
    plain: str
    named: bool = False

    @property
    def mark(self) -> bool:
        """Whether it is no word."""
        return not self.written[0].isalnum()

    @property
    def ends(self) -> bool:
        """Whether a sentence ends with it."""
        return self.written in ".!?;\n"


def plain(text: str) -> str:
    """Lower case without accents and apostrophes."""
    split = unicodedata.normalize("NFKD", text.casefold())
    return "".join(letter for letter in split if not unicodedata.combining(letter)).replace("'", "").replace("’", "")


def words_of(text: str) -> list[Word]:
    """The words and marks of a text."""
    for pattern, word in _ONE_WORD:
        text = pattern.sub(word, text)
    text = _DOTTED.sub(lambda found: found.group().replace(".", ""), text)
    text = _ELIDED.sub(r"\1 ", _POSSESSED.sub(" s", text))
    return [Word(found, plain(found)) for found in _TOKEN.findall(text)]


def at(words: Sequence[Word], index: int) -> str:
    """The plain word there, or nothing beyond the ends."""
    return words[index].plain if 0 <= index < len(words) else ""


def negated(words: Sequence[Word], index: int) -> bool:
    """Whether a "no" or a "not" stands before the word."""
    index -= 1
    while at(words, index) in BETWEEN:
        index -= 1
    return at(words, index) in NEGATIVE


def colour_word(plain: str) -> str | None:
    """The hue that a word means, one slip of the thumb mended."""
    if plain in HUES:
        return HUES[plain]
    if len(plain) < 4 or plain in NOT_A_SLIP or plain in ORDINARY or plain in THINGS or plain in CHOSES:
        return None
    near = process.extractOne(plain, MENDED, scorer=OSA.distance, score_cutoff=1)
    return HUES[near[0]] if near is not None and near[0][0] == plain[0] else None


def about_disc(plain: str) -> bool:
    """Whether a word is one for a disc or a kind of disc."""
    return plain in DISC_WORDS or plain in KIND_WORDS
