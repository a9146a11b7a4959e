"""Where one text says several things: its sentences, and the clauses that "and", "also", "et" join."""

from collections.abc import Sequence, Set

from clubbot.texting import patterns
from clubbot.texting.parts import LONGEST_TEXT
from clubbot.understanding.noticing import Noticed
from clubbot.understanding.time_words import Marked

_SENTENCE = patterns.compile(r"(?<=[?!;])\s*|(?<=[a-zA-Z)\]])\.+\s+|\.{2,}\s*|\n+|\s[-–—]+\s")
_CLAUSE = patterns.compile(
    r"\s{0,9},\s*(?:and |also |plus |et |aussi |puis |but |mais )?|\s{1,9}(?:and(?: also)?|also|plus|& ?|\+|et(?: aussi)?|aussi|ainsi que|puis|as well as|or|ou|but|mais|oh)\s+",
    patterns.IGNORECASE,
)
_LEAST_WORDS = 2
_MOST_CUTS = 8
# Nobody says as many things in a text; each piece is looked at by itself.
_MOST_PIECES = 8
# Letters that are read of a text that is longer than both together.
_OF_THE_BEGINNING, _OF_THE_END = 250, 450
# And words and marks: people's 700 letters have some 150, noise has as many as it has letters.
_TOKEN = patterns.compile(r"\w+|[^\w\s]")
_FIRST_TOKENS, _LAST_TOKENS = 65, 115
# Words and marks of one text at most. People write 4.2 letters for each, spaces counted (965 long texts of the teaching material, median; 3.2 at
# the hundredth), so that some texts of over 1,300 letters and half of those near 1,600 are asked for in a few words.
MOST_TOKENS = 400
# From so many on they are of words: the least that people write is 2.7 letters for each, signs by chance 2.1.
_MANY_TOKENS, _LETTERS_EACH = 120, 2.2
# Of a row of the same few words so many words are read: enough to see that it is one, which nobody signs up by.
_MOST_OF_A_ROW, _LONGEST_ROUND = 48, 6


def both_ends(text: str) -> str:
    """A text as far as it is read: of a very long one its beginning and, since a story comes before what is asked, more of its end."""
    if len(text) > _OF_THE_BEGINNING + _OF_THE_END:
        text = f"{text[:_OF_THE_BEGINNING].rpartition(' ')[0]}\n{text[-_OF_THE_END:].partition(' ')[2]}"
    if len(text) <= _FIRST_TOKENS + _LAST_TOKENS:
        return text
    tokens = [found.span() for found in _TOKEN.finditer(text)]
    if len(tokens) <= _FIRST_TOKENS + _LAST_TOKENS:
        return text
    return f"{text[: tokens[_FIRST_TOKENS - 1][1]]}\n{text[tokens[-_LAST_TOKENS][0] :]}"


def without_rows(text: str) -> str:
    """The text with a few words or signs that stand there over and over, "the 4th the 4th the 4th ...", as often as tells that."""
    if len(text) < _MANY_TOKENS:
        return text
    tokens = [(found.start(), found.group()) for found in _TOKEN.finditer(text)]
    words = [word for _, word in tokens]
    kept: list[tuple[int, int]] = []
    at = begun = 0
    while at < len(words):
        length, times = _row_at(words, at)
        kept_times = _MOST_OF_A_ROW // length
        if times > kept_times:
            end = at + length * times
            cut = tokens[at + length * kept_times][0]
            kept.append((begun, cut))
            begun = tokens[end][0] if end < len(tokens) else len(text)
            at = end
        else:
            at += 1
    return "".join(text[first:last] for first, last in (*kept, (begun, len(text)))) if kept else text


def _row_at(words: Sequence[str], at: int) -> tuple[int, int]:
    """The few words from `at` on that stand there most often in a row: how many they are, and how often."""
    best = (1, 1)
    for length in range(1, _LONGEST_ROUND + 1):
        if words[at : at + length] != words[at + length : at + 2 * length]:
            continue
        times = 2
        while words[at : at + length] == words[at + times * length : at + (times + 1) * length]:
            times += 1
        best = max(best, (length, times), key=lambda one: one[0] * one[1])
    return best


def more_than_anybody_types(text: str) -> bool:
    """Whether a text has more letters, or more words and marks, than anybody types at once, or hardly a word among them."""
    if len(text) > LONGEST_TEXT or len(text) < _MANY_TOKENS:
        return len(text) > LONGEST_TEXT
    tokens = len(_TOKEN.findall(text))
    return tokens > MOST_TOKENS or (tokens > _MANY_TOKENS and len(text) < _LETTERS_EACH * tokens)


def two_ends(text: str) -> tuple[str, str]:
    """The beginning and the end of a text of more than anybody types, each as far as it is looked at."""
    tokens = [found.span() for found in _TOKEN.finditer(text[: 2 * LONGEST_TEXT])]
    if len(tokens) > MOST_TOKENS:
        last = [found.span() for found in _TOKEN.finditer(text[-LONGEST_TEXT:])][-_LAST_TOKENS:]
        return text[: tokens[_LAST_TOKENS - 1][1]], text[-LONGEST_TEXT:][last[0][0] :]
    return text[:LONGEST_TEXT], text[-LONGEST_TEXT:]


def sentences(text: str) -> list[str]:
    """The sentences of a text; questions end at "?", others at a full stop or a new line."""
    return _bounded(_long_enough(_SENTENCE.split(text)))


def clauses(text: str) -> list[str]:
    """The sentences cut at their joining words and commas; a piece of a single word stays with the one before it."""
    found: list[str] = []
    for sentence in sentences(text):
        pieces = [piece.strip() for piece in _CLAUSE.split(sentence) if piece and piece.strip()]
        joined: list[str] = []
        for piece in pieces:
            if joined and len(piece.split()) < _LEAST_WORDS:
                joined[-1] = f"{joined[-1]} {piece}"
            else:
                joined.append(piece)
        found.extend(joined)
    return _bounded(found)


def _bounded(pieces: list[str]) -> list[str]:
    """Of very many pieces those of both ends, since a story comes before what is asked; the middle is one."""
    if len(pieces) <= _MOST_PIECES:
        return pieces
    first, last = _MOST_PIECES // 2, _MOST_PIECES // 2 - 1
    return [*pieces[:first], " ".join(pieces[first:-last]), *pieces[-last:]]


def _long_enough(pieces: list[str]) -> list[str]:
    return [piece.strip() for piece in pieces if piece and any(letter.isalnum() for letter in piece)]


def cuts(text: str) -> list[tuple[str, str]]:
    """Every way to cut a text in two at a sentence's end or a joining word, each side two words or more; at most eight."""
    spots = {found.span() for pattern in (_CLAUSE, _SENTENCE) for found in pattern.finditer(text)}
    sides = [(text[:begin].strip(" ,.?!"), text[end:].strip(" ,.")) for begin, end in sorted(spots)]
    return [side for side in sides if min(len(one.split()) for one in side) >= _LEAST_WORDS][:_MOST_CUTS]


def without(said: Noticed, what: str) -> str:
    """A text without the words by which a rule says so: the day on which somebody signed up is not the event's."""
    plain = said.text.written
    for match in said.all(what):
        first, last = said.words(match)[0].start, said.words(match)[-1].end
        plain = f"{plain[:first]}{' ' * (last - first)}{plain[last:]}"
    return plain


def corrections(said: Noticed) -> list[str]:
    """A plain text cut where its writer corrects himself or herself, what holds first; "not wednesday" is left out altogether, and so is
    when the writer will know or tell: that is not when the event is.
    """
    plain = said.text.written
    for match in (*said.all("takes a day back"), *said.all("will tell")):
        first, last = said.words(match)[0].start, said.words(match)[-1].end
        until = len(plain) if match.says == "will tell" else last
        plain = f"{plain[:first]}{' ' * (until - first)}{plain[until:]}"
    spots = [(0, 0, False)]
    for match in sorted(said.all("corrects itself"), key=lambda match: said.words(match)[0].start):
        words = said.words(match)
        if words[0].start >= spots[-1][1] and plain[words[0].start : words[-1].end].strip():
            spots.append((words[0].start, words[-1].end, match.rule.endswith("instead-of")))
    ends = [*(begin for begin, _, _ in spots[1:]), len(plain)]
    pieces = [(instead, plain[behind:end].strip()) for (_, behind, instead), end in zip(spots, ends, strict=True)]
    holds = [" ".join(piece.split()) for instead, piece in reversed(pieces) if piece and not instead]
    return holds + [" ".join(piece.split()) for instead, piece in pieces if piece and instead] or [said.text.written]


# Words between the one that joins and the day: "and put me down for next thursday".
_MOST_BETWEEN = 6


def day_pieces(plain: str, marked: Marked) -> list[str]:
    """A plain text, whose roles of words are `marked`, cut so that each piece names one day of the week; a single piece where it names fewer
    than two.
    """
    days = {place for place in range(len(marked.at)) if marked.begins(place, "weekday")}
    if len(days) < 2:
        return [plain]
    pieces: list[str] = []
    begin = 0
    for place, word in enumerate(marked.words):
        if not marked.begins(place, "next_day") or days.isdisjoint(range(begin, place)):
            continue
        if _day_follows(place + 1, days, marked):
            pieces.append(plain[marked.words[begin].start : word.start].strip())
            begin = place + 1
    return [*pieces, plain[marked.words[begin].start :].strip()]


def _day_follows(place: int, days: Set[int], marked: Marked) -> bool:
    """Whether only a few words in letters stand before the next day."""
    for after in range(place, min(place + _MOST_BETWEEN + 1, len(marked.words))):
        if after in days:
            return True
        if not marked.words[after].form.isalpha():
            return False
    return False


def correcting(said: Noticed) -> bool:
    """Whether a writer corrects himself or herself at all, as `corrections` cuts a text."""
    return not _CORRECTING.isdisjoint([match.says for match in said.matches])


_CORRECTING = frozenset({"takes a day back", "will tell", "corrects itself"})
