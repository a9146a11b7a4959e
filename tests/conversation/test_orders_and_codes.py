"""Who may order what by text, and the code in between: texted from the phones of the demo club, looked at in the tables."""

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

import pytest
from sqlalchemy import select

from clubbot.handbook.book import Handbook
from clubbot.model.club import Person, Role
from clubbot.rehearsal import Heard, Rehearsal
from clubbot.store.tables import broadcasts, closures, deeds, drafts, event_changes, inbox, outbox
from tests.builders import KIM
from tests.conftest import NOON
from tests.store.builders import JONAS, LEE, PRIYA, Row, rows

ODILE, FEMI, CALLUM, HELEN, ANA = "+19025550101", "+19025550102", "+19025550105", "+19025550106", "+19025550145"
STRANGER = LEE
# Helen is a helper whom the demo club does not have.
PHONES = {
    "odile": ODILE,
    "femi": FEMI,
    "jonas": JONAS,
    "priya": PRIYA,
    "callum": CALLUM,
    "helen": HELEN,
}
EVERYBODY = tuple(PHONES)
ALL_NUMBERS = (*PHONES.values(), KIM, ANA, STRANGER)

SECOND, MINUTE = timedelta(seconds=1), timedelta(minutes=1)
CLOSE_MARSH = "close the marsh loop, flooded"


class Club:
    """The demo club with a helper. Whatever anybody hears is looked through for other people's numbers."""

    def __init__(self, handbook: Handbook) -> None:
        helper = Person(id="helen", name="Helen Test", number=HELEN, roles=("helper",))
        people = (*handbook.knowledge.people, helper)
        self.rehearsal = Rehearsal(replace(handbook, knowledge=replace(handbook.knowledge, people=people)))

    def text(self, sender: str, text: str, at: datetime = NOON) -> list[Heard]:
        """Somebody texts; what everybody hears because of it."""
        heard = self.rehearsal.text(sender, text, at)
        for one in heard:
            no_number_of_others(one)
        return heard

    def code(self, sender: str, text: str, at: datetime = NOON) -> str:
        """Somebody gives an order; the code that is shown."""
        return code_in(to(sender, self.text(sender, text, at)))

    def obeyed(self, sender: str, text: str, at: datetime = NOON) -> list[Heard]:
        """An order and its code."""
        return self.text(sender, f"yes {self.code(sender, text, at)}", at)

    def with_roles(self, person: str, *roles: Role) -> None:
        """The files say from now on that a person has these roles."""
        knowledge = self.rehearsal.handbook.knowledge
        people = tuple(replace(one, roles=roles) if one.id == person else one for one in knowledge.people)
        self.rehearsal.handbook = replace(self.rehearsal.handbook, knowledge=replace(knowledge, people=people))

    def rows(self, table: Any) -> list[Row]:
        return list(rows(self.rehearsal.engine, table))

    def done(self) -> Mapping[str, object]:
        """All that an order can change: closures, days, texts to many, and the record."""
        with self.rehearsal.engine.connect() as connection:
            many = select(outbox.c.recipient, outbox.c.text).where(outbox.c.broadcast.is_not(None))
            out = sorted(tuple(row) for row in connection.execute(many))
        kept = {table.name: self.rows(table) for table in (closures, event_changes, deeds)}
        # A text to many ends by itself once all of it is out; whether it is held is what an order changes.
        many_told = [{**row, "state": row["state"] == "held"} for row in self.rows(broadcasts)]
        return {**kept, "broadcasts": many_told, "texts to many": out}


@pytest.fixture
def club(handbook: Handbook) -> Club:
    return Club(handbook)


def to(recipient: str, heard: list[Heard]) -> str:
    """All that one phone hears."""
    return " | ".join(one.text for one in heard if one.recipient == recipient)


def code_in(said: str) -> str:
    (code,) = re.findall(r"(?:YES|OUI) (\d{8})", said)
    return str(code)


def no_number_of_others(heard: Heard) -> None:
    """Not in E.164, nor as people write it, nor without the area code."""
    digits = re.sub(r"[^\d]", "", heard.text)
    assert not [one for one in ALL_NUMBERS if one != heard.recipient and one[-7:] in digits], heard


# Who may


def nothing_more(club: Club) -> None:
    """The order finds the club as it is."""


def marsh_is_closed(club: Club) -> None:
    club.obeyed(JONAS, CLOSE_MARSH, NOON - MINUTE)


def two_are_on_a_list(club: Club) -> None:
    for one in (KIM, ANA):
        club.text(one, "put me on event news", NOON - MINUTE)


def kim_is_in_for_league(club: Club) -> None:
    club.text(KIM, "in for league wednesday", NOON - MINUTE)


def a_text_is_on_its_way(club: Club) -> None:
    """One of two has gone, at one a second."""
    two_are_on_a_list(club)
    club.obeyed(ODILE, "tell everyone: the tap is on")


def a_text_is_held_half_way(club: Club) -> None:
    a_text_is_on_its_way(club)
    club.text(ODILE, "hold sending")


def a_closure(what: str, kind: str) -> Callable[[Club], bool]:
    def is_there(club: Club) -> bool:
        return (what, kind, None) in [(row["what"], row["kind"], row["ended_at"]) for row in club.rows(closures)]

    return is_there


def nothing_is_closed(club: Club) -> bool:
    return all(row["ended_at"] is not None for row in club.rows(closures))


def league_is_off(club: Club) -> bool:
    return [("dusk-league", 1)] == [(row["event"], row["called_off"]) for row in club.rows(event_changes)]


def told(audience: str) -> Callable[[Club], bool]:
    def is_told(club: Club) -> bool:
        return [(audience, "Bring water")] == [
            (" ".join(row["audience"].split()), row["words_en"].removeprefix("Tern Harbour DGC: "))
            for row in club.rows(broadcasts)
        ]

    return is_told


def sending_is(state: str) -> Callable[[Club], bool]:
    def is_so(club: Club) -> bool:
        return [state] == [row["state"] for row in club.rows(broadcasts)]

    return is_so


class Order:
    """What is texted, who may, what is there before, how one sees that it is done, and whether it takes a code."""

    def __init__(
        self,
        text: str,
        who: tuple[str, ...],
        before: Callable[[Club], None],
        is_done: Callable[[Club], bool],
        *,
        takes_code: bool = True,
        refused_plainly: bool = True,
    ) -> None:
        self.text, self.who, self.before, self.is_done = text, who, before, is_done
        self.takes_code, self.refused_plainly = takes_code, refused_plainly


KEEPERS, DIRECTORS = ("odile", "jonas"), ("odile", "priya")
TELLERS = ("odile", "priya", "callum")
# A stranger is refused plainly only where the text cannot be a wish or a question of one's own.
ORDERS = [
    Order(CLOSE_MARSH, KEEPERS, nothing_more, a_closure("marsh", "danger")),
    Order("reopen the marsh loop", KEEPERS, marsh_is_closed, nothing_is_closed),
    Order("hole 11 has a temporary basket", KEEPERS, nothing_more, a_closure("11", "note"), refused_plainly=False),
    Order("hold play", EVERYBODY, nothing_more, a_closure("course", "held"), takes_code=False, refused_plainly=False),
    Order("call off league wednesday, ice", DIRECTORS, kim_is_in_for_league, league_is_off, refused_plainly=False),
    Order("tell everyone: bring water", TELLERS, two_are_on_a_list, told("everyone")),
    Order("event news: bring water", TELLERS, two_are_on_a_list, told("list event-news"), refused_plainly=False),
    Order(
        "tell the league on wednesday: bring water",
        TELLERS,
        kim_is_in_for_league,
        told("event dusk-league 2027-06-09"),
        refused_plainly=False,
    ),
    Order("hold sending", TELLERS, a_text_is_on_its_way, sending_is("held"), takes_code=False, refused_plainly=False),
    Order(
        "go on sending",
        TELLERS,
        a_text_is_held_half_way,
        sending_is("sending"),
        refused_plainly=False,
    ),
]
WITH_CODE = [(one, who) for one in ORDERS if one.takes_code for who in one.who]
WITHOUT_CODE = [(one, who) for one in ORDERS if not one.takes_code for who in one.who]


def called(value: object) -> str:
    return value.text if isinstance(value, Order) else str(value)


@pytest.mark.parametrize(("order", "who"), WITH_CODE, ids=called)
def test_what_is_allowed_is_shown_with_a_code_and_done_on_it_once_and_kept_on_record(
    club: Club, order: Order, who: str
) -> None:
    phone = PHONES[who]
    order.before(club)
    before = club.done()
    code = club.code(phone, order.text)

    assert before == club.done()
    assert not order.is_done(club)

    club.text(phone, f"yes {code}", NOON + MINUTE)
    after = club.done()

    assert order.is_done(club)
    newest = club.rows(inbox)[-1]
    *earlier, record = club.rows(deeds)
    assert before["deeds"] == earlier
    assert (who, NOON + MINUTE, newest["id"]) == (record["person"], record["at"], record["inbox_id"])
    assert (phone, f"yes {code}") == (newest["sender"], newest["text"])
    assert record["what"]

    again = club.text(phone, f"yes {code}", NOON + MINUTE)

    assert "othing is waiting" in to(phone, again) or "Rien n'attend" in to(phone, again)
    assert after == club.done()


@pytest.mark.parametrize(("order", "who"), WITHOUT_CODE, ids=called)
def test_what_can_only_stop_something_or_goes_on_with_it_needs_no_code_and_is_kept_on_record(
    club: Club, order: Order, who: str
) -> None:
    phone = PHONES[who]
    order.before(club)
    assert not order.is_done(club)
    heard = club.text(phone, order.text)

    assert order.is_done(club)
    assert "YES" not in to(phone, heard)
    record, newest = club.rows(deeds)[-1], club.rows(inbox)[-1]
    assert (who, NOON, newest["id"]) == (record["person"], record["at"], record["inbox_id"])


@pytest.mark.parametrize("order", [one for one in ORDERS if set(one.who) != set(EVERYBODY)], ids=called)
def test_what_a_role_does_not_allow_is_not_done_and_the_organiser_is_told_who_tried_what(
    club: Club, order: Order
) -> None:
    order.before(club)
    before = club.done()
    for who in EVERYBODY:
        if who in order.who:
            continue
        heard = club.text(PHONES[who], order.text)

        assert "I've told Odile" in to(PHONES[who], heard), who
        assert f'{who.capitalize()} a écrit: "{order.text}"' in to(ODILE, heard)
        assert not re.search(r"YES \d", to(PHONES[who], heard))
        assert before == club.done()
        assert not [row for row in club.rows(drafts) if row["number"] == PHONES[who]]


@pytest.mark.parametrize("order", ORDERS, ids=called)
def test_a_stranger_brings_nothing_about(club: Club, order: Order) -> None:
    order.before(club)
    before = club.done()
    heard = club.text(STRANGER, order.text)

    assert before == club.done()
    assert not [row for row in club.rows(drafts) if row["number"] == STRANGER]
    assert not re.search(r"YES \d", to(STRANGER, heard))
    assert (f'inconnu du club: "{order.text}"' in to(ODILE, heard)) == order.refused_plainly
    assert ("Only the club's own people" in to(STRANGER, heard)) == order.refused_plainly


@pytest.mark.parametrize(
    "text",
    [
        "fermez le parcours, inondation",
        "rouvrez le parcours",
        "dites à tout le monde: le club est dissous",
        "shut hole 8",
        "open the marsh loop",
    ],
)
def test_a_stranger_is_refused_in_either_language(club: Club, text: str) -> None:
    before = club.done()
    heard = club.text(STRANGER, text)

    assert before == club.done()
    assert f'"{text}"' in to(ODILE, heard)


def test_a_person_without_a_role_may_not_even_hold_play(club: Club) -> None:
    club.with_roles("helen")
    heard = club.text(HELEN, "thunder")

    assert club.rows(closures) == []
    assert "Helen a écrit" in to(ODILE, heard)


def test_who_is_given_a_role_may_at_once(club: Club) -> None:
    club.with_roles("femi", "treasurer", "course keeper")
    club.obeyed(FEMI, CLOSE_MARSH)

    assert a_closure("marsh", "danger")(club)


# The code


def test_codes_are_shown_with_how_long_they_are_good(club: Club) -> None:
    heard = club.text(JONAS, CLOSE_MARSH)

    assert [JONAS] == [one.recipient for one in heard]
    assert heard[0].text.endswith("To do it, reply YES 61803399 within 10 minutes.")


def test_a_code_may_come_back_in_several_ways(club: Club) -> None:
    ways = ["yes {}", "YES {}", "Yes {}.", "{}", "ok {}", "oui {}", "OUI {} ", "code {}"]
    for hole, said in enumerate(ways, start=1):
        club.text(JONAS, said.format(club.code(JONAS, f"close hole {hole}, fallen tree")))

        assert a_closure(str(hole), "danger")(club), said


def test_what_is_not_the_code_does_nothing(club: Club) -> None:
    for said in ("yes", "yes {}9", "no {}", "yes {} and {}", "1", "Q{}"):
        code = club.code(JONAS, CLOSE_MARSH)
        club.text(JONAS, said.format(code, code))

        assert club.rows(closures) == [], said


def test_a_wrong_code_does_nothing_and_the_right_one_still_does(club: Club) -> None:
    code = club.code(JONAS, CLOSE_MARSH)
    left = [to(JONAS, club.text(JONAS, wrong)) for wrong in ("yes 99999998", "yes 99999999")]

    assert ["Tries left: 2." in left[0], "Tries left: 1." in left[1]] == [True, True]
    assert club.rows(closures) == club.rows(deeds) == []
    club.text(JONAS, f"yes {code}")
    assert a_closure("marsh", "danger")(club)


def test_after_three_wrong_codes_it_is_dropped_and_the_organiser_is_told(club: Club) -> None:
    code = club.code(JONAS, CLOSE_MARSH)
    first, second, third = (club.text(JONAS, wrong) for wrong in ("yes 99999997", "yes 99999998", "yes 99999999"))

    assert to(ODILE, first) == to(ODILE, second) == ""
    assert "Trois mauvais codes sont venus du numéro de Jonas" in to(ODILE, third)
    assert "Nothing was done" in to(JONAS, third)
    assert to(JONAS, club.text(JONAS, f"yes {code}")) == ""
    assert club.rows(closures) == club.rows(deeds) == club.rows(drafts) == []


@pytest.mark.parametrize(
    ("later", "does"),
    [(10 * MINUTE - SECOND, True), (10 * MINUTE, False), (11 * MINUTE, False), (timedelta(days=1), False)],
)
def test_a_code_is_good_for_ten_minutes(club: Club, later: timedelta, does: bool) -> None:
    code = club.code(JONAS, CLOSE_MARSH)
    club.text(JONAS, f"yes {code}", NOON + later)

    assert a_closure("marsh", "danger")(club) == does
    assert club.rows(drafts) == []


def test_the_code_of_a_draft_that_was_replaced_does_nothing(club: Club) -> None:
    old, new = club.code(JONAS, CLOSE_MARSH), club.code(JONAS, "close hole 3, fallen tree")
    heard = club.text(JONAS, f"yes {old}")

    assert "the code from before the change" in to(JONAS, heard)
    assert club.rows(closures) == []
    club.text(JONAS, f"yes {new}")
    assert ["3"] == [row["what"] for row in club.rows(closures)]


def test_wrong_codes_count_on_over_new_drafts(club: Club) -> None:
    """Whoever forges a number can ask for a new draft after every second guess."""
    heard: list[Heard] = []
    for guess in range(0, 8, 2):
        club.text(JONAS, CLOSE_MARSH)
        heard += club.text(JONAS, f"yes {guess:08}") + club.text(JONAS, f"yes {guess + 1:08}")

    assert "Trois mauvais codes" in to(ODILE, heard)


def test_what_somebody_proposes_to_teach_leaves_the_organisers_own_draft_waiting(club: Club) -> None:
    club.text(KIM, "can you recommend a campground near here")
    club.text(JONAS, "Q1 yes, we have one")
    code = club.code(ODILE, CLOSE_MARSH)
    assert "Jonas propose" in to(ODILE, club.text(JONAS, "teach q1"))
    club.text(ODILE, f"yes {code}")

    assert a_closure("marsh", "danger")(club)


def test_somebody_elses_code_does_nothing_for_either(club: Club) -> None:
    theirs = club.code(JONAS, CLOSE_MARSH)
    assert "nothing is waiting" in to(PRIYA, club.text(PRIYA, f"yes {theirs}"))
    mine = club.code(ODILE, "close hole 3, fallen tree")
    assert "not the code" in to(ODILE, club.text(ODILE, f"yes {theirs}"))
    assert club.rows(closures) == []

    club.text(JONAS, f"yes {theirs}")
    club.text(ODILE, f"yes {mine}")
    assert [("marsh", "jonas"), ("3", "odile")] == [(row["what"], row["made_by"]) for row in club.rows(closures)]


def test_the_code_from_a_phone_that_is_not_the_clubs_does_nothing(club: Club) -> None:
    code = club.code(JONAS, CLOSE_MARSH)
    heard = club.text(STRANGER, f"yes {code}")
    club.text(STRANGER, code)

    assert "nothing is waiting for a code" in to(STRANGER, heard)
    assert club.rows(closures) == club.rows(deeds) == []
    club.text(JONAS, f"yes {code}")
    assert a_closure("marsh", "danger")(club)


def test_wrong_codes_from_another_phone_do_not_use_up_the_tries(club: Club) -> None:
    code = club.code(JONAS, CLOSE_MARSH)
    for phone in (STRANGER, PRIYA, STRANGER, PRIYA):
        club.text(phone, "yes 9999")
    club.text(JONAS, f"yes {code}")

    assert a_closure("marsh", "danger")(club)


@pytest.mark.parametrize(
    ("who", "order"),
    [
        ("jonas", CLOSE_MARSH),
        ("jonas", "hole 11 has a temporary basket"),
        ("priya", "call off league wednesday, ice"),
        ("callum", "tell everyone: bring water"),
    ],
)
def test_a_role_taken_away_between_draft_and_code_is_refused_and_the_organiser_told(
    club: Club, who: str, order: str
) -> None:
    two_are_on_a_list(club)
    code = club.code(PHONES[who], order)
    club.with_roles(who, "helper")
    before = club.done()
    heard = club.text(PHONES[who], f"yes {code}")

    assert before == club.done()
    assert f"{who.capitalize()} a écrit" in to(ODILE, heard)
    club.with_roles(who, "organiser")
    assert "nothing is waiting" in to(PHONES[who], club.text(PHONES[who], f"yes {code}"))
    assert before == club.done()


def test_who_has_left_the_club_between_draft_and_code_is_a_stranger(club: Club) -> None:
    code = club.code(JONAS, CLOSE_MARSH)
    handbook = club.rehearsal.handbook
    knowledge = handbook.knowledge
    people = tuple(one for one in knowledge.people if one.id != "jonas")
    duty = tuple(one for one in knowledge.duty if one.person != "jonas")
    club.rehearsal.handbook = replace(handbook, knowledge=replace(knowledge, people=people, duty=duty))
    club.text(JONAS, f"yes {code}")

    assert club.rows(closures) == club.rows(deeds) == []


def test_a_question_in_between_leaves_the_draft_waiting(club: Club) -> None:
    code = club.code(JONAS, CLOSE_MARSH)
    club.text(JONAS, "is it open")
    club.text(JONAS, f"yes {code}")

    assert a_closure("marsh", "danger")(club)


# Holding play needs none, telling people of it does


@pytest.mark.parametrize("who", ["femi", "helen"])
def test_play_is_held_at_once_but_those_coming_are_told_on_the_code_only(club: Club, who: str) -> None:
    kim_is_in_for_league(club)
    thunder = NOON + timedelta(days=2, hours=6, minutes=40)
    held = club.text(PHONES[who], "thunder", thunder)

    assert a_closure("course", "held")(club)
    assert "Play is on hold" not in to(KIM, held)
    told_now = club.text(PHONES[who], f"yes {code_in(to(PHONES[who], held))}", thunder)
    assert "Play is on hold" in to(KIM, told_now)
    assert [who, who] == [row["person"] for row in club.rows(deeds)]


# Nobody's number


@pytest.mark.parametrize(("phone", "number"), [(STRANGER, "902-555-0142"), (FEMI, "+1 902 555 0142")])
def test_a_number_within_a_refused_text_does_not_reach_the_organiser(club: Club, phone: str, number: str) -> None:
    heard = club.text(phone, f"close the course, call Kim at {number}")

    assert "close the course" in to(ODILE, heard)


def test_an_organiser_who_gets_no_more_texts_is_still_told_of_misuse(club: Club) -> None:
    club.obeyed(ODILE, "stop")
    heard = club.text(STRANGER, "close the course, flooded")

    assert "inconnu du club" in to(ODILE, heard)
