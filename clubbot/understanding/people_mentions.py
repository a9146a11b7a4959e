"""Mentions of people in a text, found word by word: the sender, kin, names, numbers of people."""

from collections.abc import Iterator

from clubbot.understanding.people_numbers import age, counted, counts_else
from clubbot.understanding.people_row import COMMA, STOP, Mention, Row, follows_name, kin

_MOST_WORDS = 8  # of one mention, "my two lovely 9 and 11 year old kids"
_MOST_NAME_WORDS = 2
_FIXED = frozenset({"pair", "both", "everybody", "was_alone", "alone", "one_more", "unsaid", "weak_verbs", "many"})


def listed(row: Row) -> Iterator[Mention]:
    """One mention after the other, not yet with what becomes of them."""
    at = 0
    while at < len(row.forms):
        begins = row.begins[at]
        if "not_alone" in begins:
            at += begins["not_alone"]
            continue
        if row.capital(at) and _introduced(row, at):
            at += 1  # the sender's own name
            continue
        one = _fixed(row, at) or _person(row, at) or _named(row, at) or counted(row, at)
        if one is not None:
            yield one
        at = one.end if one is not None else at + 1


def _fixed(row: Row, at: int) -> Mention | None:
    """What is said in fixed words: "just me", "both of us", "all of us", "the family", "another person"."""
    if _FIXED.isdisjoint(row.begins[at]):
        return None
    size = row.after("pair", at) or _both(row, at)
    if size:
        return Mention("us", "total", 2, at, at + size)
    size = row.after("everybody", at)
    if size:
        return Mention("everybody", "comes", None, at, at + size)
    size = row.after("was_alone", at)
    if size:
        return Mention("number", "was", 1, at, at + size)
    size = row.after("alone", at)
    if size:
        return Mention("sender", "comes", 1, at, at + size, alone=True)
    size = row.after("one_more", at)
    if size:
        return Mention("heads", "more", 1, at, at + size)
    unsaid = _unsaid_sender(row, at)
    if unsaid is not None:
        return unsaid
    size = row.after("many", at)
    if size:
        return Mention("many", "comes", None, at, at + size)
    return None


def _unsaid_sender(row: Row, at: int) -> Mention | None:
    """ "can't make it": of the sender, where a sentence begins so."""
    begins = at == 0 or row.form(at - 1) in {COMMA, STOP} or row.before("bare_before", at) > 0
    plainly, size = row.after("unsaid", at), row.after("weak_verbs", at)
    said_of_coming = plainly or (size and not row.after("not_unsaid", at) and row.after("come_verbs", at + size))
    if not begins or not said_of_coming:
        return None
    size = plainly or size
    return Mention("sender", "out", 1, at, at + size)


def _both(row: Row, at: int) -> int:
    """ "both" of the sender and somebody else, and not of two days or lists."""
    if not row.after("both", at):
        return 0
    if row.before("both_before", at):
        return 1
    begins = row.ends(at - 1) or at == 0
    return int(begins and (row.form(at + 1) == STOP or row.after("both_after", at + 1) > 0))


def _person(row: Row, at: int) -> Mention | None:
    """The sender, or somebody told by kin: "my two young kids", "hubby", "une amie", "2 adults"."""
    if row.after("us", at):
        return Mention("us", "comes", None, at, at + 1)
    size = row.after("sender", at)
    if size:
        return Mention("sender", "comes", 1, at, at + size)
    if row.after("pronouns", at) and row.after("out", at + 1):
        return Mention("some", "comes", 1, at, at + 1)
    many, owned, place = _described(row, at)
    found = kin(row, place)
    if found is None:
        return _other_heads(row, at, place, many, owned)
    end, (label, _), plural = found
    unowned = row.after("unowned", place) > 0
    if many is None and not owned and not unowned and not (_joins_before(row, at) and not plural):
        return None
    past, name = _past(row, end)
    if plural and many is None:
        twos = row.after("twos", place) or row.after("twos", at)
        return Mention("kin" if twos else "many", "comes", 2 if twos else None, at, past, label=label)
    return Mention("kin", "comes", 1 if many is None else many, at, past, label=label, name=name)


def _described(row: Row, at: int) -> tuple[int | None, bool, int]:
    """How many, whether they are somebody's, and where the word for them stands: past "my two 9 year old"."""
    many, owned, place = None, False, at
    while place < len(row.forms) and place - at < _MOST_WORDS:
        number = row.number(place)
        years = age(row, place)
        if years:
            many = 2 if years > 1 and row.after("and", place + 1) and many is None else many
            place += years
            continue
        if number is not None and many is None and not counts_else(row, place):
            if row.after("one", place) and kin(row, place + 1) is None and not owned:
                owned = True
            many, place = number, place + 1
            place += row.after("one_of", place)
            continue
        if kin(row, place) is not None and (owned or many is not None or not row.after("own", place)):
            break
        size = row.after("own", place)
        if size:
            owned, place = True, place + size
            continue
        size = row.after("kind_of", place) if owned or many is not None else 0
        if not size:
            break
        place += size
    return many, owned, place


def _other_heads(row: Row, at: int, place: int, many: int | None, owned: bool) -> Mention | None:
    """ "3 others", "two adults", "2 people": a number of them; or an age whose child is not named, "my 9 year old"."""
    if many is None:
        if owned and age(row, place - 2 if row.after("ages", place - 1) else place - 3):
            return Mention("kin", "comes", 1, at, place, label="kid")
        return None
    if owned and place - at > 1 and (row.after("age_tails", place - 1) or row.after("ages", place - 1)):
        return Mention("kin", "comes", many, at, place, label="kid")
    for name in ("others", "grown"):
        size = row.after(name, place)
        if size:
            return Mention("heads", "comes", many, at, place + size, grown=name == "grown")
    heads = row.after("heads", place)
    if heads and _listing_to(row, at) and not row.after("total_after", place):
        return Mention("heads", "comes", many, at, place + heads)  # "two adults two small people"
    return None


def _listing_to(row: Row, at: int) -> bool:
    """Whether a number of people stands just before: then this is the next of a list."""
    size = row.before("joins", at)
    return row.before("grown", at - size) > 0 and row.number(at - size - 2) is not None


def _past(row: Row, at: int) -> tuple[int, str | None]:
    """Past what belongs to somebody: "in law", "Ella", "(13)", "aged 9", "de 8 ans"."""
    at += row.after("in_law", at)
    name = None
    if at < len(row.forms) and row.capital(at) and _may_be_name(row, at):
        name, at = row.written[at], at + 1
    after = at + 1 if row.form(at) == COMMA else at + row.after("age_lead", at)
    after += row.after("age_is", after)
    years = age(row, after)
    if years:
        return after + years, name
    if after > at and row.number(after) is not None and (row.ends(after + 1) or row.after("aged", at)):
        return after + 1, name
    return at, name


def _may_be_name(row: Row, at: int) -> bool:
    form = row.form(at)
    known = row.after("no_names", at) or row.after("days", at) or row.after("months", at)
    return form.isalpha() and len(form) > 1 and not known and row.number(at) is None and kin(row, at) is None


def _introduced(row: Row, at: int) -> bool:
    """Whether it is the sender's own name: "this is Dana Roy"."""
    steps = 0
    while at > 0 and steps < _MOST_NAME_WORDS and row.capital(at - 1) and not row.before("introduces", at):
        at, steps = at - 1, steps + 1
    return row.before("introduces", at) > 0


def _named(row: Row, at: int) -> Mention | None:
    """A name: written like one, or any unknown word where only a name can stand ("me and dave", "bob's out", "ana instead")."""
    form = row.form(at)
    if row.ends(at) or not _may_be_name(row, at):
        return None
    end = at + 1
    if row.capital(at):
        while end - at < _MOST_NAME_WORDS and end < len(row.forms) and row.capital(end) and _may_be_name(row, end):
            end += 1
        written = " ".join(row.written[at:end])
        return Mention("name", "comes", 1, at, end, name=written) if _stands_as_name(row, at, end) else None
    if form in row.lists.known or len(form) < 3:
        return None
    begins = row.ends(at - 1)
    says_out = begins and (row.after("out", end) or row.after("instead", end))
    with_self = _joins_before(row, at) and follows_name(row, end)
    before_self = begins and row.after("joins", end) and row.after("sender", end + row.after("joins", end))
    if says_out or with_self or before_self:
        return Mention("name", "comes", 1, at, end, name=row.written[at])
    return None


def _stands_as_name(row: Row, at: int, end: int) -> bool:
    listed_before = row.form(at - 1) == COMMA and not _signs(row, at, end)
    joined = _joins_before(row, at) or _joins_after(row, end) or row.form(end) == COMMA or listed_before
    says = any(row.after(name, end + gap) for name in ("out", "comes", "instead", "takes") for gap in (0, 1))
    asked = any(
        row.before(name, at)
        for name in ("leaves_out", "adds", "gives_to", "beside", "gives", "refuses", "signs_up", "perhaps")
    )
    return bool(joined or says or asked)


def _signs(row: Row, at: int, end: int) -> bool:
    """ "In for tonight, Ben": a name by itself at the end is the sender's own, where no person stands before the comma."""
    last = end >= len(row.forms) or (row.form(end) == STOP and end + 1 >= len(row.forms))
    person = row.before("sender", at - 1) or kin(row, at - 2) is not None or (at > 1 and row.capital(at - 2))
    return last and not person


def _joins_before(row: Row, at: int) -> bool:
    """Whether somebody else stands before, and a joining word between: "me and"."""
    size = row.before("joins", at)
    if not size:
        return False
    return (
        row.before("sender", at - size) > 0
        or row.form(at - size - 1) in row.lists.kins
        or kin(row, at - size - 1) is not None
    )


def _joins_after(row: Row, end: int) -> bool:
    """Whether somebody else is named after it: "Dave and me"."""
    after = end + row.after("joins", end)
    if after == end or after >= len(row.forms):
        return False
    return (
        row.after("sender", after) > 0 or (row.capital(after) and _may_be_name(row, after)) or _described(row, after)[1]
    )
