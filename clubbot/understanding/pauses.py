"""The plain form of a text with a word where a clause ends, since the plain form keeps no marks."""

from collections.abc import Container, Iterator, Sequence

from clubbot.texting import patterns
from clubbot.understanding.dates import plain_for_dates

_MARK = "comma"


def marked(text: str, numbers: Container[str]) -> str:
    """The plain form of a text with a word where a clause ends, "+" and "&" written out; `numbers` are the words for them."""
    spelled = patterns.sub(r"\(\d+\)", " ", text)  # "my daughter Ella (13)"
    spelled = patterns.sub(r"\s*\+\s*", " plus ", spelled)
    spelled = patterns.sub(r"\bw/ ?", "with ", spelled.replace("&", " and "), flags=patterns.IGNORECASE)
    # Where a clause ends matters: "only 2, Jake has exams". A word stands for the mark, since the plain form keeps none.
    plain = plain_for_dates(patterns.sub(r"[,;!?]+|\.(?!\d)", f" {_MARK} ", spelled))
    return " ".join(_without_odds(plain.split(), numbers))


def _without_odds(words: Sequence[str], numbers: Container[str]) -> Iterator[str]:
    """Without "50 50", "30 percent", and numbers that are taken back: "not 3 of us"."""
    at = 0
    while at < len(words):
        here = words[at : at + 4]
        number = [one.isdigit() or one in numbers for one in here]
        if here[:2] == ["50", "50"] or (here[0].isdigit() and here[1:2] == ["percent"]):
            at += 2
        elif len(here) > 3 and here[0] in {"not", "pas", "plus"} and number[1] and here[2:] == ["of", "us"]:
            at += 4
        else:
            yield words[at]
            at += 1
