"""Who takes the sender's own place: "Bjorn is going instead of me", "give my spot to Léa"."""

from collections.abc import Sequence

from clubbot.understanding.people_text import STOP, Spoken, spoken_words
from clubbot.understanding.people_words import PeopleWords, people_words

_NEAR = 8  # words between a name and the place that it takes


def stand_in(text: str) -> str | None:
    """The name of whoever comes in the sender's place; None where nobody does."""
    spoken, lists = spoken_words(text), people_words()
    forms = [one.form for one in spoken]
    for at in range(len(forms)):
        size = _my_place(forms, at, lists)
        if size:
            found = _given_to(spoken, forms, at, size, lists)
            if found is not None:
                return found
    return _plain_instead(spoken, forms, lists)


def _my_place(forms: Sequence[str], at: int, lists: PeopleWords) -> int:
    """How many words from `at` on are the sender's place: "instead of me", "my autumn open place"."""
    size = lists.group("my_place").after(forms, at)
    if size or forms[at] not in {"my", "ma"}:
        return size
    return next(
        (
            gap + 1
            for gap in range(2, 5)
            if at + gap < len(forms) and lists.group("places_of_mine").after(forms, at + gap)
        ),
        0,
    )


def _given_to(spoken: Sequence[Spoken], forms: Sequence[str], at: int, size: int, lists: PeopleWords) -> str | None:
    """The name after the place where it is given away, else the name before it of whoever takes it."""
    begin = max((one + 1 for one in range(at) if forms[one] == STOP), default=0)
    end = next((one for one in range(at + size, len(forms)) if forms[one] == STOP), len(forms))
    of_me = forms[at : at + size][-1] in {"me", "moi"}
    gives = of_me or any(lists.group("gives").after(forms, one) for one in range(begin, at + size))
    after = [one for one in range(at + size, min(end, at + size + _NEAR)) if _is_name(spoken, forms, one, lists)]
    to = [one for one in after if any(lists.group("gives_to").after(forms, back) for back in range(at + size, one))]
    if gives and to:
        return spoken[to[0]].written
    before = [one for one in range(begin, at) if _is_name(spoken, forms, one, lists)]
    if before:
        last = before[-1]
        takes = any(lists.group("takes").after(forms, one) for one in range(last + 1, at + size))
        if takes or gives:
            return spoken[last].written
    return (
        spoken[after[0]].written
        if after and (gives or forms[at : at + size][:2] == ["a", "ma"] or forms[at - 1] == "a")
        else None
    )


def _plain_instead(spoken: Sequence[Spoken], forms: Sequence[str], lists: PeopleWords) -> str | None:
    """ "Sam is playing for me", "Bob instead" with nobody else spoken of."""
    for at in range(1, len(forms)):
        for_me = tuple(forms[at : at + 2]) in {("for", "me"), ("pour", "moi")}
        if not for_me and not (forms[at] == "instead" and forms[at + 1 : at + 2] in ([], [STOP])):
            continue
        name = next((one for one in range(max(0, at - 4), at) if _is_name(spoken, forms, one, lists)), None)
        if name is None:
            continue
        takes = all(lists.group("takes").after(forms, one) or forms[one] == "s" for one in range(name + 1, at))
        if takes and (for_me is False or at > name + 1):
            others = [
                one
                for one in range(name - 1)
                if _is_name(spoken, forms, one, lists) or tuple(forms[one : one + 1]) in lists.kin
            ]
            return None if others else spoken[name].written
    return None


def _is_name(spoken: Sequence[Spoken], forms: Sequence[str], at: int, lists: PeopleWords) -> bool:
    known = any(lists.group(name).after(forms, at) for name in ("no_names", "days", "months", "gives"))
    return (
        spoken[at].capital
        and forms[at].isalpha()
        and len(forms[at]) > 1
        and not known
        and (forms[at],) not in lists.kin
    )
