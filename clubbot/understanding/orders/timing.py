"""An hour as an order names it: "7", "7pm", "615", "18h30". Without morning or evening it is not sure which of the two it is."""

from datetime import time

from clubbot.understanding.orders.heard import Heard, Span

_HOURS, _MINUTES, _NOON = 24, 60, 12
_LONGEST_TOGETHER, _SHORTEST_TOGETHER = 4, 3
_MORNING, _EVENING = frozenset({"am", "a", "matin"}), frozenset({"pm", "p", "soir"})
_MARKS = frozenset({"h", "heures", "heure"})


def hour_said(at: int, heard: Heard) -> tuple[time, bool, Span] | None:
    """The hour whose figures stand at that word, whether it is sure, and where its words stand; None where it is none."""
    forms = heard.forms()
    while at < len(forms) and not forms[at][:1].isdigit():
        at += 1
    if at >= len(forms):
        return None
    found = _figures(forms[at])
    if found is None:
        return None
    hour, minute = found
    end = at + 1
    marked = end < len(forms) and forms[end] in _MARKS
    if marked:
        end += 1
        if end < len(forms) and forms[end].isdigit() and int(forms[end]) < _MINUTES:
            minute, end = int(forms[end]), end + 1
    said = forms[end] if end < len(forms) else ""
    if said in _EVENING:
        hour, end = (hour + _NOON if hour < _NOON else hour), end + 1
    elif said in _MORNING:
        end += 1
    sure = marked or said in _EVENING | _MORNING or hour > _NOON
    return (time(hour, minute), sure, (at, end)) if hour < _HOURS else None


def _figures(form: str) -> tuple[int, int] | None:
    """ "7", "7:30", "730", "1915" as hour and minute."""
    hours, mark, minutes = form.partition(":" if ":" in form else ".")
    if not mark and _SHORTEST_TOGETHER <= len(form) <= _LONGEST_TOGETHER:
        hours, minutes = form[:-2], form[-2:]
    if not hours.isdigit() or (minutes and not minutes.isdigit()):
        return None
    hour, minute = int(hours), int(minutes or 0)
    return (hour, minute) if hour < _HOURS and minute < _MINUTES else None


def nearer(hour: time, usual: time) -> time:
    """The hour in the morning or in the evening, whichever is nearer to the usual one."""
    both = [one for one in (hour.hour, hour.hour + _NOON) if one < _HOURS]
    best = min(both, key=lambda one: abs(one * _MINUTES + hour.minute - usual.hour * _MINUTES - usual.minute))
    return time(best, hour.minute)
