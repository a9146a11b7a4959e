"""Which part the people of a text have in it: who comes together, who does not come, who takes whose place. Counting comes afterwards."""

from collections.abc import Sequence
from dataclasses import replace

from clubbot.understanding.people_mentions import listed
from clubbot.understanding.people_row import COMMA, STOP, Mention, Row, follows_name

_PREDICATE_WITHIN = 5


def mentions(row: Row) -> tuple[Mention, ...]:
    """All mentions of people in a text, in their order, each with its part."""
    return tuple(_with_words(row, one) for one in _parted(row, _joined(row, list(listed(row)))))


def _joined(row: Row, found: list[Mention]) -> list[Mention]:
    """People with only joining words between them are one run; a sender's "I" after somebody is how it is told of him ("my friend I added")."""
    kept: list[Mention] = []
    run = 0
    for one in found:
        last = kept[-1] if kept else None
        between = _between(row, last.end, one.first) if last is not None else None
        if between == "joined" and _speaks_for_itself(row, one):
            between = "apart"  # French says "Aïcha et moi" of two people
        if between == "nothing" and last is not None and {one.kind, last.kind} <= {"kin", "heads"}:
            between = "joined"  # "two adults three kids"
        if between == "nothing" and last is not None and last.kind == "sender" and one.kind in {"kin", "name"}:
            between = "joined" if row.after("me", last.first) else between  # "moi ma blonde pis son frère"
        if last is not None and between == "nothing" and one.kind in {"sender", "us"} and last.kind in {"kin", "name"}:
            continue
        run = run if last is not None and between == "joined" else run + 1
        signed = row.before("signs_up", one.first) > 0
        grown = one.grown or (one.kind in {"kin", "heads"} and row.before("whole_list", one.first) > 0)
        one = replace(one, grown=grown)
        kept.append(replace(one, run=run, beside=one.beside or _has_beside(row, one), signed=signed))
    return kept


def _speaks_for_itself(row: Row, one: Mention) -> bool:
    """ "Aïcha et je ...", "Hiya, I ...": a new sentence, where "et moi" and "and I" would be one of two people."""
    after_comma = row.form(one.first - 1) == COMMA
    return bool(row.after("subject", one.first) or (after_comma and row.after("subject_after_comma", one.first)))


def _between(row: Row, start: int, end: int) -> str:
    if start == end:
        return "nothing"
    at, joins = start, False
    while at < end:
        size = row.after("joins", at)
        if row.form(at) == COMMA:
            size, joins = 1, True
        elif size:
            joins = True
        elif joins and row.after("join_on", at):
            size = 1
        if not size:
            return "apart"
        at += size
    return "joined"


def _has_beside(row: Row, one: Mention) -> bool:
    if row.before("beside", one.first):
        with_whom = one.kind != "name" or not row.before("with", one.first)
        return with_whom or any(
            row.after("goes_there", place) for place in range(row.clause_start(one.first), one.first)
        )
    size = row.after("beside_after", one.end)
    past = one.end + size
    return size > 0 and (not row.before("too", past) or follows_name(row, past))


def _parted(row: Row, found: list[Mention]) -> list[Mention]:
    parted: list[Mention] = []
    for place, one in enumerate(found):
        last = next((other for other in reversed(found) if other.run == one.run), one)
        next_first = min((other.first for other in found[place + 1 :] if other.run != one.run), default=len(row.forms))
        if one.kind not in {"sender", "us", "everybody", "number", "many"} and _is_unsure(row, one, found, next_first):
            parted.append(replace(one, part="perhaps"))
            continue
        if one.kind == "number" or one.part in {"more", "less", "refused", "was", "out"}:
            parted.append(one)
            continue
        parted.append(_with_part(row, one, last.end, next_first))
    return parted


def _is_unsure(row: Row, one: Mention, found: Sequence[Mention], until: int) -> bool:
    """Whether it is not known of somebody else than the sender, who is not told of in one breath with them: "maybe Al", "one of us isn't sure"."""
    if row.before("perhaps", one.first):
        return True
    with_sender = any(other.kind in {"sender", "us"} and other.run == one.run for other in found)
    return not with_sender and unsure_after(row, one.end, until)


def unsure_after(row: Row, at: int, until: int) -> bool:
    """Whether the words from there on, within one clause, tell that somebody may come or not."""
    for place in range(at, min(until, at + _PREDICATE_WITHIN, len(row.forms))):
        if row.ends(place):
            return False
        if row.after("unsure", place):
            return True
    return False


def _with_part(row: Row, one: Mention, end: int, until: int) -> Mention:
    said = _predicate(row, end, until, of_sender=one.kind in {"sender", "us"})
    if one.kind == "everybody" and row.after("nobody", one.first):
        comes = any(
            row.after("takes", place) or row.after("nobody_verbs", place) for place in range(one.end, one.end + 2)
        )
        return replace(one, part="out") if comes or row.ends(one.end) else one
    if one.kind == "everybody" and said != "out" and row.after("many", one.first):
        return replace(one, kind="many")  # "the whole family": nobody knows how many
    if said == "comes":
        one = replace(one, coming=True)
    if said == "instead":
        return replace(one, part="instead")
    if said == "out":
        return replace(one, part="out") if one.part != "total" or one.kind == "us" else replace(one, part="none")
    if _left_out(row, one, one.first):
        return replace(one, part="out")
    if said == "comes_too" and one.kind in {"kin", "name"}:
        return replace(one, part="more")
    if one.kind in {"kin", "name"} and row.before("adds", one.first):
        return replace(one, part="more")
    return one


def _left_out(row: Row, one: Mention, first: int) -> bool:
    """ "without Bob", "remove my son", "not me"; and "Ana instead of Bob"."""
    if one.kind not in {"kin", "name", "sender"} or one.alone:
        return False
    if row.before("refuses", first) and not row.before("not", first):
        return True
    if not row.before("leaves_out", first):
        return False
    return not (row.before("not", first) > 0 and row.before("out", first) > 1)


def _predicate(row: Row, at: int, until: int, *, of_sender: bool) -> str | None:
    """What is said of those who end at `at`: that they do not come, come too, take somebody's place; None where nothing of it."""
    place, told_of = at, row.after("relative", at)
    limit = min(until, at + _PREDICATE_WITHIN + (4 if told_of else 0), len(row.forms))
    while place < limit:
        if row.form(place) == STOP or (row.form(place) == COMMA and not told_of):
            return None
        if place > at and row.after("ends_clause", place) and not told_of:
            return None
        if row.after("not_out", place):
            return None
        if row.after("short_yes", place) and row.ends(place + 1):
            return "comes"
        for name in ("instead", "comes_too", "out", "comes"):
            size = row.after(name, place)
            if size and (name != "out" or _stays_away(row, place, size)):
                unsaid = name == "out" and any(row.after("not_out", one) for one in range(place, place + size))
                return None if unsaid else name  # "we are not sure"
        if of_sender and not row.after("aux", place):
            return None
        place += 1
    return None


def _stays_away(row: Row, at: int, size: int) -> bool:
    """Whether "can not" is said of coming: "can't wait" and "don't remember" are not."""
    if size != row.after("weak_verbs", at):
        return True
    past = at + size
    while row.after("aux", past) or row.after("fillers", past):
        past += 1
    if row.after("not_come_verbs", past):
        return False
    return row.ends(past) or past >= len(row.forms) or row.after("come_verbs", past) > 0 or row.after("days", past) > 0


def _with_words(row: Row, one: Mention) -> Mention:
    return replace(one, words=" ".join(row.written[one.first : one.end]))
