"""Who takes the sender's own place: "Bjorn is going instead of me", "give my spot to Léa"."""

from clubbot.understanding.people_row import STOP, Row

_NEAR = 8  # words between a name and the place that it takes


def stand_in(row: Row) -> str | None:
    """The name of whoever comes in the sender's place; None where nobody does."""
    for at in range(len(row.forms)):
        size = _my_place(row, at)
        if size:
            found = _given_to(row, at, size)
            if found is not None:
                return found
    return _plain_instead(row)


def _my_place(row: Row, at: int) -> int:
    """How many words from `at` on are the sender's place: "instead of me", "my autumn open place"."""
    size = row.after("my_place", at)
    if size or not row.after("my", at):
        return size
    return next((gap + 1 for gap in range(2, 5) if row.after("places_of_mine", at + gap)), 0)


def _given_to(row: Row, at: int, size: int) -> str | None:
    """The name after the place where it is given away, else the name before it of whoever takes it."""
    begin = max((one + 1 for one in range(at) if row.form(one) == STOP), default=0)
    end = next((one for one in range(at + size, len(row.forms)) if row.form(one) == STOP), len(row.forms))
    gives = row.before("me", at + size) or any(row.after("gives", one) for one in range(begin, at + size))
    after = [one for one in range(at + size, min(end, at + size + _NEAR)) if _is_name(row, one)]
    to = [one for one in after if any(row.after("gives_to", back) for back in range(at + size, one))]
    if gives and to:
        return row.written[to[0]]
    before = [one for one in range(begin, at) if _is_name(row, one)]
    if before:
        last = before[-1]
        if gives or any(row.after("takes", one) for one in range(last + 1, at + size)):
            return row.written[last]
    given = gives or row.after("to_me", at) or row.before("to_place", at)
    return row.written[after[0]] if after and given else None


def _plain_instead(row: Row) -> str | None:
    """ "Sam is playing for me", "Bob instead" with nobody else spoken of."""
    for at in range(1, len(row.forms)):
        for_me = row.after("for_me", at) > 0
        if not for_me and not (row.after("instead_alone", at) and row.form(at + 1) == STOP):
            continue
        name = next((one for one in range(max(0, at - 4), at) if _is_name(row, one)), None)
        if name is None:
            continue
        takes = all(row.after("takes", one) or row.after("own_s", one) for one in range(name + 1, at))
        if takes and (not for_me or at > name + 1):
            others = any(_is_name(row, one) or (row.form(one),) in row.lists.kin for one in range(name - 1))
            return None if others else row.written[name]
    return None


def _is_name(row: Row, at: int) -> bool:
    form = row.form(at)
    if not row.capital(at) or not form.isalpha() or len(form) < 2 or (form,) in row.lists.kin:
        return False
    return not any(row.after(role, at) for role in ("no_names", "days", "months", "gives"))
