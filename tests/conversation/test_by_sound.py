"""How many come by the words of a text and by its sound."""

import pytest

from clubbot.conversation.by_sound import with_sound
from clubbot.model.intents import Party, Rsvp
from clubbot.model.rsvps import Rsvp as Kept
from tests.builders import KIM

NOBODY = Kept(number=KIM, state="off", people=0)
THREE = Kept(number=KIM, state="coming", people=3)


def heard(**counts: float) -> tuple[tuple[str, float], ...]:
    """Counts by their names in Python: n2 is "=2", more1 "+1", fewer1 "-1", unknown "?"."""
    names = {"n": "=", "more": "+", "fewer": "-", "unknown": "?"}
    found = []
    for name, chance in counts.items():
        kind = name.rstrip("0123456789")
        found.append((names[kind] + name[len(kind) :], chance))
    return tuple(found)


@pytest.mark.parametrize(
    ("intent", "mine", "total"),
    [
        (Rsvp("rsvp-yes", heard=heard(n4=0.95)), NOBODY, 4),  # the words told no number
        (Rsvp("rsvp-change", heard=heard(fewer1=0.95)), THREE, 2),
        (Rsvp("rsvp-change", heard=heard(more2=0.95)), THREE, 5),
        (Rsvp("rsvp-yes", party=Party(unclear=True), heard=heard(n2=0.9)), NOBODY, 2),
        (Rsvp("rsvp-no", heard=heard(fewer1=0.95)), THREE, 2),  # "one of the lads bailed" leaves the others in
    ],
)
def test_a_number_that_only_the_sound_tells_is_taken(intent: Rsvp, mine: Kept, total: int) -> None:
    settled, doubted = with_sound(intent, mine)
    assert (settled.party.total, doubted) == (total, None)


@pytest.mark.parametrize(
    "intent",
    [
        Rsvp("rsvp-yes", party=Party(total=2), heard=heard(n2=0.9)),
        Rsvp("rsvp-yes", party=Party(total=2), heard=heard(n3=0.7, n2=0.2)),  # unsure: the words hold
        Rsvp("rsvp-yes", party=Party(total=40), heard=heard(n4=0.99)),  # larger than it can tell
        Rsvp("rsvp-yes", heard=heard(n2=0.4)),
        Rsvp("rsvp-yes", party=Party(total=2), confirmed=True, heard=heard(n5=0.99)),
        Rsvp("rsvp-yes", party=Party(total=2)),  # not listened to
    ],
)
def test_where_both_say_the_same_or_the_sound_is_unsure_the_words_hold(intent: Rsvp) -> None:
    assert with_sound(intent, NOBODY) == (intent, None)


def test_where_they_differ_the_number_is_asked() -> None:
    assert with_sound(Rsvp("rsvp-yes", party=Party(total=2), heard=heard(n3=0.97)), NOBODY)[1] == 3


def test_a_party_of_nobody_knows_how_many_is_asked_for_its_number() -> None:
    settled, _ = with_sound(Rsvp("rsvp-yes", heard=heard(unknown=0.9)), NOBODY)
    assert settled.party.unclear
