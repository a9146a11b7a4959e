"""Who is meant by a name: somebody may be called by a part of theirs, the first or the last, or with an initial."""

from clubbot.texting.keywords import bare


def called(said: str, name: str) -> bool:
    """Whether somebody of that name may be meant by what was said: "bob", "smith", "bob s" and "bob smith" of Bob Smith."""
    words, whole = bare(said).split(), bare(name).split()
    runs = (whole[first : first + len(words)] for first in range(len(whole) - len(words) + 1))
    return any(len(word) > 1 for word in words) and any(all(map(_same, words, run)) for run in runs)


def _same(said: str, word: str) -> bool:
    return said == word or (len(said) == 1 and word.startswith(said))


def exactly(said: str, name: str) -> bool:
    """Whether it is the whole name."""
    return bare(said) == bare(name)


def akin(said: str, name: str) -> bool:
    """Whether they share a word."""
    return not set(bare(said).split()).isdisjoint(bare(name).split())


def as_name(said: str) -> str:
    """A name as it is kept: with capital letters where it was texted without any."""
    words = " ".join(said.split())
    return words if any(letter.isupper() for letter in words) else "-".join(map(_capitals, words.split("-")))


def _capitals(words: str) -> str:
    return " ".join(word[:1].upper() + word[1:] for word in words.split())
