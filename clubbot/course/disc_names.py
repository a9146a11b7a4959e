"""The names on a disc: what is written on it, initials, numbers, and its make."""

from collections.abc import Iterator, Sequence

from clubbot.course.disc_texts import (
    FIGURES,
    MOST_NAME_WORDS,
    ORDINAL,
    QUOTED,
    WEIGHTS,
    Word,
    about_disc,
    at,
    colour_word,
    negated,
    words_of,
)
from clubbot.course.disc_vocabulary import (
    CHOSES,
    DETERMINERS,
    DISC_WORDS,
    HUES,
    KIND_WORDS,
    LOOKS,
    LOSING,
    NEGATIVE,
    ORDINARY,
    OVER,
    PLACING,
    PLACING_THE,
    SAYS,
    SAYS_LOOSELY,
    SHADES,
    THINGS,
)
from clubbot.texting import patterns

_ON_IT = patterns.compile(
    r"\b(?:(?:is |was |are |c est )?(?:written|marked|ecrit|inscrit|marque)\b"
    r"|(?:on|sur|in|under|a|au|en) (?:(?:the|its?|l|le|la) )?"
    r"(?:it|back|front|bottom|top|rim|inside|underside|dos|dessus|dessous|arriere|endos|bord|verso)\b"
    r"|dessus\b|derriere$)"
)


def names_on_it(words: list[Word], text: str, *, figures: bool, capitals: bool) -> frozenset[str]:
    """All names, each word marked so that "says GREEN" gives no colour."""
    runs: list[list[Word]] = []
    for index, word in enumerate(words):
        if word.plain in SAYS and not negated(words, index) and not _introduces_sender(words, index):
            runs.append(_run_after(words, index, capitals=capitals))
    runs += [_run_before(words, index, capitals=capitals) for index in range(1, len(words))]
    runs += [_make(words, index, capitals=capitals) for index in range(len(words))]
    for quoted in QUOTED.findall(text):
        inside = [one for one in words_of(quoted) if not one.mark]
        if len(inside) <= MOST_NAME_WORDS:
            plain = [one.plain for one in inside]
            runs += [
                words[at : at + len(plain)]
                for at in range(len(words) - len(plain) + 1)
                if plain == [one.plain for one in words[at : at + len(plain)]]
                and all(_may_be_name(words, at + one, capitals=capitals) for one in range(len(plain)))
            ]
    names: set[str] = set()
    for run in runs:
        for one in run:
            one.named = True
        names.update(_joined(run, figures=figures))
    return frozenset(names)


def _joined(run: Sequence[Word], *, figures: bool) -> Iterator[str]:
    """The names of a run: letters that stand alone are put together ("J B"); a single letter proves nothing."""
    alone = ""
    for word in [*run, None]:
        if word is not None and len(word.plain) == 1 and word.plain.isalpha():
            alone += word.written.lower()
            continue
        if len(alone) > 1:
            yield alone
        alone = ""
        if word is not None and _allowed(word.plain, figures=figures):
            yield word.written.lower()


def _allowed(plain: str, *, figures: bool) -> bool:
    if plain.isdecimal():
        weight = len(plain) == 3 and int(plain) in WEIGHTS
        return figures and len(plain) in FIGURES and not weight
    digits = sum(letter.isdecimal() for letter in plain)
    return (not digits or (figures and digits <= 2)) and not ORDINAL.fullmatch(plain)


def _may_be_name(words: Sequence[Word], index: int, *, capitals: bool) -> bool:
    word = words[index]
    if word.mark or word.plain in KIND_WORDS or (word.plain in DISC_WORDS and word.plain != "one"):
        return False
    shouted = capitals and word.written.isupper()
    if len(word.plain) == 1:
        return shouted or word.plain.isdecimal()
    if word.plain in ORDINARY or word.plain in SAYS or word.plain in OVER:
        return shouted and len(word.plain) > 2
    if word.plain in HUES or word.plain in LOOKS or word.plain in SHADES:
        return capitals and word.written[0].isupper() and not about_disc(at(words, index + 1))
    return True


def _introduces_sender(words: Sequence[Word], index: int) -> bool:
    """ "My name is Dana": who texts, unless the sentence says that it is written on the disc."""
    if words[index].plain not in {"name", "nom", "prenom"} or at(words, index - 1) not in {"my", "mon"}:
        return False
    if at(words, index + 1) not in {"is", "s", "est", "c"}:
        return False
    rest: list[str] = []
    for word in words[index + 1 :]:
        if word.ends or word.written == ",":
            break
        rest.append(word.plain)
    return not _ON_IT.search(" ".join(rest))


def _run_after(words: Sequence[Word], index: int, *, capitals: bool) -> list[Word]:
    """The name that follows "says", over "on the back", "in black marker", ":"."""
    start = index + 1
    while start < len(words) and not words[start].ends and not _may_be_name(words, start, capitals=capitals):
        over = words[start].plain in OVER or words[start].plain in HUES or words[start].written in ":(,"
        if not over or (words[start].written == "," and at(words, start - 1) not in {"initials", "name"}):
            return []
        start += 1
    run = _run_from(words, start, capitals=capitals)
    loose = words[index].plain in SAYS_LOOSELY and not (run and capitals and run[0].written[0].isupper())
    return [] if loose else run


def _run_from(words: Sequence[Word], start: int, *, capitals: bool) -> list[Word]:
    run: list[Word] = []
    while start < len(words) and len(run) < MOST_NAME_WORDS and _may_be_name(words, start, capitals=capitals):
        # After a name with a capital, a small word is no more of it: "says KIM blah".
        if run and run[0].written[0].isupper() and words[start].written[0].islower():
            break
        run.append(words[start])
        start += 1
    return run


def _run_before(words: Sequence[Word], index: int, *, capitals: bool) -> list[Word]:
    """The name before "on it", "on the back", "dessus"; a small letter only after "with", "has" or a comma."""
    if not _ON_IT.match(" ".join(one.plain for one in words[index : index + 4])):
        return []
    start = index
    while start > 0 and index - start < MOST_NAME_WORDS and _may_be_name(words, start - 1, capitals=capitals):
        start -= 1
    run = list(words[start:index])
    bare = start
    while at(words, bare - 1) in {"a", "an", "the", "un", "une", "number", "numero", "le"}:
        bare -= 1
    led = at(words, bare - 1) in {"with", "w", "has", "had", "got", "having", "avec"}
    if at(words, bare - 1) in {"hole", "trou", "basket", "panier", "tee"} or negated(words, start):
        return []
    if led or (start > 0 and words[start - 1].mark):
        return run
    while run and not (capitals and run[0].written[0].isupper()):
        run, start = run[1:], start + 1
    return run


def _make(words: Sequence[Word], index: int, *, capitals: bool) -> list[Word]:
    """The make of a disc, from where it stands: "a red zorbex driver", "lost my Zorbex", "putter Zorbex rouge"."""
    if words[index].plain.isdecimal() or not _unknown(words, index):
        return []
    if _in_phrase(words, index - 1) and _unknown(words, index):
        end = index + 1
        while end < len(words) and end - index < 2 and _unknown(words, end):
            end += 1
        run = list(words[index:end])
        closed = _in_phrase(words, end) and at(words, end) not in DETERMINERS
        if closed and not _of_thing_phrase(words, index):
            return run
        behind = at(words, index - 1)
        looked_for = behind in DETERMINERS and at(words, index - 2) in LOSING | {"called", "s", "its", "est"}
        if capitals and words[index].written[0].isupper() and (behind not in DETERMINERS or looked_for):
            return [one for one in run if one.written[0].isupper() or one.plain.isdecimal()]
        return []
    starts = index == 0 or words[index - 1].mark
    told = at(words, index - 1) in LOSING and capitals and words[index].written[0].isupper()
    return (
        [words[index]]
        if (starts or told) and about_disc(at(words, index + 1)) and at(words, index + 1) != "one"
        else []
    )


def _of_thing_phrase(words: Sequence[Word], index: int) -> bool:
    return at(words, index - 1) in DETERMINERS and at(words, index - 2) in PLACING


def _unknown(words: Sequence[Word], index: int) -> bool:
    """A word with no meaning here: neither everyday, nor a thing, nor said of discs."""
    word = words[index]
    if word.mark or len(word.plain) < 2 or word.named or _in_phrase(words, index) or word.plain.isdecimal():
        return False
    everyday = (ORDINARY, SAYS, THINGS, CHOSES, PLACING, NEGATIVE, OVER, LOSING, PLACING_THE)
    return not any(word.plain in group for group in everyday) and word.plain not in {"permanent", "w", "fairway"}


def _in_phrase(words: Sequence[Word], index: int) -> bool:
    """Said of a disc: its article, colour, shade, look, kind, or the word for it."""
    plain = at(words, index)
    if not plain:
        return False
    known = (DETERMINERS, HUES, SHADES, LOOKS, KIND_WORDS, DISC_WORDS)
    return any(plain in group for group in known) or colour_word(plain) is not None
