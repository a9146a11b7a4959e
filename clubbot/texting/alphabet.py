"""Which of the two alphabets of text messages a text needs, and how much of a part each letter takes."""

import codecs
from functools import lru_cache
from typing import Literal

import gsmcodecs  # noqa: F401  (importing it registers the codec)

from clubbot.texting import patterns

Coding = Literal["7-bit", "UCS-2"]

# The codec of 3GPP TS 23.038: the default alphabet with its extension table, no national tables (French has none).
_GSM = codecs.lookup("gsm23.038")

# Marks that word processors and phones put in and that have an exact plain twin in the 7-bit alphabet.
PLAIN_MARKS: dict[str, str] = {
    "\u2018": "'",
    "\u2019": "'",
    "\u201a": "'",
    "\u201c": '"',
    "\u201d": '"',
    "\u201e": '"',
    "\u00ab": '"',
    "\u00bb": '"',
    "\u2039": "'",
    "\u203a": "'",
    "\u2010": "-",
    "\u2011": "-",
    "\u2012": "-",
    "\u2013": "-",
    "\u2014": "-",
    "\u2212": "-",
    "\u2026": "...",
    "\u2022": "-",
    "\u00b7": "-",
    "\u00a0": " ",
    "\u202f": " ",
    "\u2009": " ",
    "\t": " ",
    "`": "'",
    "\u00b4": "'",
    "\u00d7": "x",
    "\u00b0": " deg",
}

# French letters that the 7-bit alphabet lacks, as they are commonly texted.
PLAIN_LETTERS: dict[str, str] = dict(zip("çêëâîïôûÀÂÈÊËÎÏÔÙÛ", "ceeaiiouAAEEEIIOUU", strict=True)) | {
    "œ": "oe",
    "Œ": "Oe",
}


# The alphabet has a capital C with its cedilla and no small one (3GPP TS 23.038, 6.2.1), and "ca" is no French word: the same is said by one
# that needs none. A capital one stays as it is.
_SAID_OTHERWISE = ((patterns.compile(r"\bça\b"), "cela"),)

_MARKS, _LETTERS = str.maketrans(PLAIN_MARKS), str.maketrans(PLAIN_LETTERS)


@lru_cache(maxsize=4096)
def septets(letter: str) -> int | None:
    """How many septets a single character takes: 1, 2 for the extension table, None outside the 7-bit alphabet.

    The escape itself is no letter. Source: 3GPP TS 23.038, 6.2.1 and 6.2.1.1 (table and extension table).
    """
    encoded = _encoded(letter)
    return None if encoded is None else len(encoded)


def _encoded(text: str) -> bytes | None:
    """The text in septets, a byte each; None where a letter is outside the 7-bit alphabet."""
    try:
        return _GSM.encode(text)[0]
    except UnicodeEncodeError:
        return None


def coding(text: str) -> Coding:
    """The alphabet that the whole text needs: one letter outside the 7-bit one takes the text to UCS-2."""
    return "UCS-2" if _encoded(text) is None else "7-bit"


def units(text: str, alphabet: Coding) -> int:
    """Length in septets, or in 16-bit units for UCS-2 (a letter beyond the basic plane takes two)."""
    if alphabet == "7-bit":
        encoded = _encoded(text)
        return len(encoded) if encoded is not None else sum(septets(letter) or 0 for letter in text)
    return len(text.encode("utf-16-be", "surrogatepass")) // 2


def plain_marks(text: str) -> str:
    """Typographic marks as their plain twins; nothing is lost by it."""
    return text.translate(_MARKS)


def plain_letters(text: str) -> str:
    """French letters that the 7-bit alphabet lacks without their accents, as people text them; a word that is another without them is said
    otherwise.
    """
    for word, other in _SAID_OTHERWISE:
        text = word.sub(other, text)
    return text.translate(_LETTERS)
