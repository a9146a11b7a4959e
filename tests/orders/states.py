"""The club as it is before an order: what is closed, on hold, asked or shown. Each is made by texts from the phones of the demo club."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from clubbot.handbook.book import Handbook
from tests.builders import KIM
from tests.conftest import NOON
from tests.conversation.test_orders_and_codes import CALLUM, MINUTE, ODILE, PHONES, Club, code_in, to
from tests.store.builders import JONAS, PRIYA

MIA = "+19025550150"


@dataclass
class Before:
    """The club, who will text, and the last code that was shown to them."""

    club: Club
    who: str
    now: datetime = NOON
    code: str = "00000000"
    others: list[str] = field(default_factory=list)


def a_club(handbook: Handbook, before: str, who: str) -> Before:
    """The club in these states, one after the other."""
    made = Before(Club(handbook), PHONES[who])
    for name in filter(None, (one.strip() for one in before.split("+"))):
        STATES[name](made)
    return made


def _shown(made: Before, phone: str, text: str, at: datetime) -> str:
    return code_in(to(phone, made.club.text(phone, text, at)))


def _closed(made: Before, what: str) -> None:
    made.club.obeyed(JONAS, f"close the {what} until fri 9am, flooded", made.now - 90 * MINUTE)


def _opted_out(made: Before) -> None:
    code = code_in(to(made.who, made.club.text(made.who, "stop", made.now - MINUTE)))
    made.club.text(made.who, f"stop {code}", made.now - MINUTE)


def _hold(made: Before, ago: int) -> None:
    made.club.text(JONAS, "hold play", made.now - ago * MINUTE)


def _question(made: Before) -> None:
    """Jonas is on duty; the question is put to Odile too where she is the one to text."""
    made.club.text(MIA, "im Mia", made.now - 3 * MINUTE)
    made.club.text(MIA, "can you recommend a campground", made.now - 3 * MINUTE)
    if made.who == ODILE:
        made.club.text(JONAS, "pass Q1 to Odile", made.now - 2 * MINUTE)


def _draft(made: Before) -> None:
    made.code = _shown(
        made,
        made.who,
        "close the hill loop, ice" if made.who == JONAS else "ferme la colline, glace",
        made.now - MINUTE,
    )


def _dropped(made: Before) -> None:
    _draft(made)
    made.club.text(made.who, "no", made.now)


def _in_for_league(made: Before) -> None:
    made.club.text(KIM, "in for league wednesday", made.now - 5 * MINUTE)


def _off(made: Before) -> None:
    _in_for_league(made)
    made.club.obeyed(PRIYA, "call off league wednesday, wind", made.now - 3 * MINUTE)


def _sending(made: Before) -> None:
    """One of two has gone, at one a second."""
    for one in (KIM, MIA):
        made.club.text(one, "put me on event news", made.now - 5 * MINUTE)
    made.club.obeyed(CALLUM, "tell everyone: the tap is on", made.now - timedelta(seconds=0))


STATES: Mapping[str, Callable[[Before], None]] = {
    "marsh closed": lambda made: _closed(made, "marsh loop"),
    "course closed": lambda made: _closed(made, "course"),
    "opted out": _opted_out,
    "hold": lambda made: _hold(made, 45),
    "fresh hold": lambda made: _hold(made, 10),
    "question": _question,
    "draft": _draft,
    "dropped draft": _dropped,
    "list": _in_for_league,
    "off": _off,
    "sending": _sending,
}
