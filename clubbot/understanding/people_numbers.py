"""Numbers in a text: of all who come, a change to it, or of something else (years, hours, holes, the 12th)."""

from dataclasses import replace

from clubbot.understanding.people_row import BECOMES, COLON, FIGURES, STOP, Mention, Row, follows_name, kin

_A_ROUND = 18  # "playing all 18": of holes


def age(row: Row, at: int) -> int:
    """How many words from `at` on are an age: "9 year old", "3 and 6 yr old"."""
    if row.number(at) is None:
        return 0
    if row.after("ages", at + 1):
        return 2 + row.after("age_tails", at + 2)
    if row.after("years_and", at + 1) and row.number(at + 2) is not None and row.after("ages", at + 3):
        return 4 + row.after("age_tails", at + 4)
    return 0


def counts_else(row: Row, at: int) -> bool:
    """Whether the number counts something else than people, by the words around it."""
    if _heads_after(row, at + 1) == 0 and (row.before("months", at) or row.after("months", at + 1)):
        return True
    if row.before("counts_before", at) and not _heads_after(row, at + 1):
        return True
    if row.after("counts_after", at + 1) or row.form(at + 1) == FIGURES or row.after("clocks", at + 1):
        return True
    if row.number(at + 1) is not None and row.form(at).isdigit():
        return True
    if row.form(at + 1) == COLON and _counts_out(row):
        return True
    return row.before("the", at) > 0 and not _heads_after(row, at + 1) and kin(row, at + 1) is None


def _counts_out(row: Row) -> bool:
    """ "ONE: cancel today. TWO: put me down": what is said is numbered, and nobody is counted."""
    return sum(row.number(at - 1) is not None and row.form(at) == COLON for at in range(1, len(row.forms))) > 1


def _heads_after(row: Row, at: int) -> int:
    return row.after("heads", at) or row.after("total_after", at)


def counted(row: Row, at: int) -> Mention | None:
    """A number by itself: the number of all, a change to it, or none of people."""
    number = row.number(at)
    if number is None:
        return None
    none = Mention("number", "none", number, at, at + 1)
    if age(row, at) or counts_else(row, at):
        return replace(none, end=at + max(1, age(row, at)))
    if _with_the_sender(row, at):
        return Mention("heads", "comes", number, at, at + 1, beside=True)
    return _change(row, at, number) or _refused(row, at, number) or _total(row, at, number) or none


def _with_the_sender(row: Row, at: int) -> bool:
    """ "me and five from the office": so many beside the sender."""
    joins = row.before("joins", at)
    return joins > 0 and row.before("me", at - joins) > 0 and not _heads_after(row, at + 1)


def _change(row: Row, at: int, number: int) -> Mention | None:
    """ "2 more", "add 2", "one less", "minus 1", "one of us can't"."""
    heads = row.after("heads", at + 1)
    end = at + 1 + heads
    out = row.after("out", end) or (row.after("out", end + 1) if row.after("out_lead", end) else 0)
    unsure = row.after("unsure", end) or row.after("unsure", end + 1)
    if unsure and heads and row.after("one_of", at + 1):
        return Mention("some", "comes", number, at, end)  # "one of us isn't sure"
    if out and not row.after("not_out", end) and (number == 1 or heads or not row.before("total_before", at)):
        return Mention("some", "less", number, at, end)
    less = row.after("fewer", end)
    if less or (not heads and row.before("leaves_out", at) and not row.before("not_fewer", at)):
        return Mention("some", "less", number, at, end + less)
    more = row.after("more", end) or row.after("more", at + 1)
    if more or row.before("adds", row.past_fillers(at)):
        return Mention("heads", "more", number, at, max(end, at + 1 + more))
    if row.before("plus", at) and not row.before("not_plus", at - 1):
        follows = row.ends(end) or heads or follows_name(row, end)
        if not follows or row.number(at - 2) is not None:
            return None
        return Mention("heads", "was" if _said_before(row, at - 1) else "comes", number, at, end, beside=True)
    return None


def _said_before(row: Row, at: int) -> bool:
    return row.before("was", row.past_fillers(at)) > 0


def _refused(row: Row, at: int, number: int) -> Mention | None:
    if row.form(at + 1) == BECOMES or row.before("refuses", at) or row.before("refuses", row.past_fillers(at)):
        return Mention("number", "refused", number, at, at + 1)
    if row.before("from", at):
        later = range(at + 1, min(len(row.forms), at + 8))
        if any(row.after("to", one) and row.number(one + 1) is not None for one in later):
            return Mention("number", "refused", number, at, at + 1)
    if _said_before(row, at):
        return Mention("number", "was", number, at, at + 1)
    return None


def _total(row: Row, at: int, number: int) -> Mention | None:
    if row.form(at - 1) == BECOMES:
        return Mention("number", "total", number, at, at + 1)
    of_them = row.after("of_them", at + 1)
    if of_them:
        return Mention("some", "comes", number, at, at + 1 + of_them)
    heads = _heads_after(row, at + 1)
    whole = Mention("number", "total", number, at, at + 1 + heads)
    if heads:
        beside = not row.after("total_after", at + 1) and _beside_before(row, at)
        if beside:
            return Mention("heads", "comes", number, at, at + 1 + heads, beside=True)
        if number == 1 and row.after("one_of", at + 1) and row.before("fillers", at) == 0:
            return Mention("some", "comes", 1, at, at + 1 + heads)  # "one of us might be late"
        return whole
    seats = row.after("seats", at + 1)
    if seats:
        other = row.after("left_over", at + 1 + seats) or row.before("the_seats", at) or row.after("one", at)
        return None if other else replace(whole, end=at + 1 + seats)
    return whole if _all_by_itself(row, at, number) else None


def _all_by_itself(row: Row, at: int, number: int) -> bool:
    """Whether a number with no word for people behind it tells how many all are."""
    if number == _A_ROUND or (row.after("one", at) and not row.after("bare_one", at)):
        return False
    if row.before("times", at) and row.number(at - 2) is None:
        return True
    begins = row.ends(at - 2) or row.before("for", at - 1) > 0
    follows = row.ends(at + 1) or row.after("days", at + 1)
    if number > 1 and row.before("us_before", at) and begins and follows:
        return True
    says_in = row.before("in_alone", at) > 0 and row.ends(at - 2)
    if (
        number > 1
        and row.before("the_others", at)
        and (row.ends(at + 1) or row.after("bare_after", at + 1) or row.after("comes", at + 1))
    ):
        return True
    if follows and (says_in or row.before("signs_in", at)):
        return True
    return _told_total(row, at) or _corrects(row, at) or _bare(row, at)


def _beside_before(row: Row, at: int) -> bool:
    size = row.before("joins", at) or row.before("beside", at)
    return size > 0 and not row.before("not_beside", at)


def _told_total(row: Row, at: int) -> bool:
    """Whether the words before say that it is the number of all: "we are", "make it", "for"."""
    start = row.past_fillers(at)
    lead = row.before("total_before", at) or row.before("total_before", start)
    if not lead:
        return _changed_here(row, at)
    weak = row.before("weak_before", at) or row.before("weak_before", start)
    follows = row.ends(at + 1) or row.after("bare_after", at + 1) or row.after("days", at + 1)
    if weak >= lead:
        return bool(follows) and (not row.before("weak_lead", at) or _weakly_told(row, at))
    if follows:
        return True
    following = row.form(at + 1)
    return not (following.endswith(row.lists.plural_endings) and following not in row.lists.known)


def _weakly_told(row: Row, at: int) -> bool:
    """After "to", "à", "us": where the clause changes a number, or nothing but people can be meant."""
    if row.after("for", at + 1) or _changing(row, at):
        return True
    if row.before("weak_but_in_words", at):
        return not row.form(at).isdigit()
    return any(row.before("from", one) for one in range(max(1, at - 3), at))


def _changing(row: Row, at: int) -> bool:
    """Whether the clause up to here changes a number: "make", "passe"."""
    return any(row.after("changes", one) for one in range(row.clause_start(at), at))


def _changed_here(row: Row, at: int) -> bool:
    """ "make wed 3": the last word of such a clause."""
    start = row.clause_start(at)
    follows = row.ends(at + 1) or row.after("total_after", at + 1)
    return (
        bool(follows)
        and row.after("changes", start) > 0
        and row.before("days", at) > 0
        and not row.before("no_day_lead", at)
    )


def _corrects(row: Row, at: int) -> bool:
    """Whether a refused number stands beside: "3 not 2", "not 2 but 3"."""
    for one in range(at + 1, min(len(row.forms), at + 5)):
        size = row.after("refuses", one)
        if size and row.number(one + size) is not None:
            return True
        if row.number(one) is not None or row.form(one) == STOP:
            break
    return any(row.number(one) is not None and row.before("refuses", one) for one in range(max(0, at - 5), at))


def _bare(row: Row, at: int) -> bool:
    """Whether it stands by itself at the beginning of what is said: "4 for thursday", "so 2 now"."""
    start = at
    while row.before("bare_before", start):
        start -= row.before("bare_before", start)
    spoken_to = start < at and not (row.before("bare_before", at) and row.before("not_for_all", at))
    if not (row.ends(start - 1) or spoken_to):
        return False
    if row.after("bare_one", at) and not row.after("one_for", at + 1):
        return False
    if row.number(at - 2) is not None or row.before("is", start):
        return False
    if row.ends(at + 1):
        return start < at or len(row.forms) > at + 1 or at > 0
    return row.after("bare_after", at + 1) > 0 or (spoken_to and row.after("days", at + 1) > 0)
