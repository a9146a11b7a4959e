"""Text with facts in it of which one may be missing: what can be said without it is said, and the rest is left out."""

from collections.abc import Iterable, Iterator, Mapping, Sequence

_ENDS = (". ", "? ", "! ")


def names_left(text: str) -> Iterator[str]:
    """The names in braces of a text."""
    for piece in text.split("{")[1:]:
        name, mark, _ = piece.partition("}")
        if mark:
            yield name


def filled(paragraphs: Sequence[str], facts: Mapping[str, str]) -> tuple[str, ...]:
    """The paragraphs with their facts, without the sentences that name a fact which is missing. Nothing at all where the very first sentence
    does, since it is the answer.
    """
    said = [[_in(one, facts) for one in sentences_of(paragraph)] for paragraph in paragraphs]
    if not said or not said[0] or said[0][0] is None:
        return ()
    whole = (" ".join(one for one in paragraph if one is not None) for paragraph in said)
    return tuple(one for one in whole if one)


def _in(sentence: str, facts: Mapping[str, str]) -> str | None:
    for name in set(names_left(sentence)):
        if name not in facts:
            return None
        sentence = sentence.replace(f"{{{name}}}", facts[name])
    return sentence


def sentences_of(paragraph: str) -> Iterable[str]:
    """The sentences of a paragraph, in order."""
    rest = paragraph
    while rest:
        ends = [at + 1 for mark in _ENDS if (at := rest.find(mark)) >= 0]
        end = min(ends, default=len(rest))
        yield rest[:end].strip()
        rest = rest[end:].strip()
