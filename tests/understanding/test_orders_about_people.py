"""Orders about the club's own people in many wordings: who joins, retires, gets or loses a role, is on duty. It is Monday 7 June 2027, noon."""

from datetime import date, timedelta

import pytest

from clubbot.handbook.book import Handbook
from clubbot.model.orders import Order
from clubbot.model.orders_of_people import GiveRole, NewNumber, PutOnDuty, Retire, TakeRole
from clubbot.understanding.orders.reading import Orders
from tests.conftest import NOON


@pytest.fixture(scope="module")
def orders(handbook: Handbook) -> Orders:
    return handbook.reader.orders


JOINS = [
    ("add helper Sam Cole +1 902 555 0150", ("helper",)),
    ("add helper Sam Cole +1 902 555 0150, league director", ("league director",)),
    ("add Sam Cole as a helper 902-555-0150", ("helper",)),
    ("new helper: sam cole 9025550150", ("helper",)),
    ("please add Sam Cole as our new treasurer, her number is 902 555 0150", ("treasurer",)),
    ("Sam Cole is our new helper, 902 555 0150", ("helper",)),
    ("enrol Sam Cole as a volunteer, cell 902 555 0150", ("helper",)),
    ("add volunteer sam cole, 902 555 0150, course keeper and treasurer", ("course keeper", "treasurer")),
    ("Sam Cole joins as a helper: (902) 555-0150", ("helper",)),
    ("ajoute Sam Cole comme bénévole +1 902 555 0150", ("helper",)),
    ("ajoute Sam Cole comme bénévole au 902 555-0150, direction de la ligue", ("league director",)),
    ("nouvelle bénévole: sam cole 9025550150", ("helper",)),
    ("ajoutez Sam Cole comme trésorière, son numéro est le 902 555 0150", ("treasurer",)),
    ("Sam Cole est notre nouvelle bénévole, 902 555 0150", ("helper",)),
    ("inscris la bénévole Sam Cole 902-555-0150", ("helper",)),
    ("Sam Cole se joint à nous comme bénévole: 902 555 0150", ("helper",)),
    ("nouveau responsable du parcours: Sam Cole 902 555 0150", ("course keeper",)),
]  # fmt: skip


@pytest.mark.parametrize(("text", "roles"), JOINS, ids=[text for text, _ in JOINS])
def test_somebody_joins_with_name_number_and_roles(orders: Orders, text: str, roles: tuple[str, ...]) -> None:
    order = orders.read(text, NOON)

    assert isinstance(order, NewNumber)
    assert (order.name, order.roles, order.unused) == ("Sam Cole", roles, "")
    assert "".join(one for one in order.number if one.isdigit()).endswith("9025550150")


RETIRES = [
    "retire callum", "please retire callum", "callum is no longer a helper", "callum isn't a helper anymore", "take callum off the roster",
    "remove callum from the team", "callum has left the club", "callum stepped down", "callum resigned from the committee", "revoke callum's access",
    "retire callum de l'équipe", "callum n'est plus bénévole", "callum ne fait plus partie du comité", "enlève callum du tableau",
    "callum a quitté le club", "callum a démissionné", "retire l'accès à callum", "raye callum de la liste des bénévoles",
]  # fmt: skip


@pytest.mark.parametrize("text", RETIRES)
def test_somebody_retires(orders: Orders, text: str) -> None:
    order = orders.read(text, NOON)

    assert isinstance(order, Retire)
    assert [one.removesuffix("'s") for one in order.said] == ["callum"]


GIVES = [
    ("make jonas league director", "league director", True),
    ("appoint jonas as our league director", "league director", True),
    ("jonas takes over as treasurer", "treasurer", True),
    ("jonas is now our league director", "league director", True),
    ("new treasurer: jonas", "treasurer", True),
    ("give jonas the keeper role", "course keeper", True),
    ("jonas becomes course keeper", "course keeper", True),
    ("the treasurer job goes to jonas", "treasurer", True),
    ("make jonas league director as well", "league director", False),
    ("make jonas organiser", "organiser", False),
    ("jonas takes over as organiser", "organiser", True),
    ("nomme jonas directeur de la ligue", "league director", True),
    ("jonas prend la relève à la trésorerie", "treasurer", True),
    ("fais de jonas notre trésorier", "treasurer", True),
    ("jonas est maintenant responsable du parcours", "course keeper", True),
    ("nouveau trésorier: jonas", "treasurer", True),
    ("la trésorerie revient à jonas", "treasurer", True),
    ("confie la trésorerie à jonas", "treasurer", True),
    ("jonas devient directeur de la ligue aussi", "league director", False),
    ("nomme jonas bénévole", "helper", True),
]


@pytest.mark.parametrize(("text", "role", "moves"), GIVES, ids=[text for text, _, _ in GIVES])
def test_a_role_changes_hands(orders: Orders, text: str, role: str, moves: bool) -> None:
    order = orders.read(text, NOON)

    assert isinstance(order, GiveRole)
    assert (order.said, order.role, order.moves) == (("jonas",), role, moves)


LOSES = ["callum is no longer outreach lead", "callum isn't the outreach lead anymore", "remove callum as outreach lead", "callum stepped down as outreach lead", "callum n'est plus responsable des relations publiques", "retire callum comme responsable des relations publiques"]  # fmt: skip


@pytest.mark.parametrize("text", LOSES)
def test_a_role_is_taken_and_nothing_else(orders: Orders, text: str) -> None:
    order = orders.read(text, NOON)

    assert isinstance(order, TakeRole)
    assert (order.said, order.role) == (("callum",), "outreach lead")


SAT, SUN = date(2027, 6, 12), date(2027, 6, 13)
THIS_WEEK = (date(2027, 6, 7), SUN)
NEXT_WEEK = (date(2027, 6, 14), date(2027, 6, 20))
DUTY = [
    ("priya is on duty this week", THIS_WEEK),
    ("priya has duty sat and sun", (SAT, SUN)),
    ("put priya on duty saturday", (SAT, SAT)),
    ("duty this weekend goes to priya", (SAT, SUN)),
    ("saturday duty: priya", (SAT, SAT)),
    ("priya is on duty next week", NEXT_WEEK),
    ("priya is on duty thu to sun", (date(2027, 6, 10), SUN)),
    ("priya will do duty tomorrow", (date(2027, 6, 8), date(2027, 6, 8))),
    ("priya is on duty on the 12th", (SAT, SAT)),
    ("priya est de garde cette semaine", THIS_WEEK),
    ("priya a la garde samedi et dimanche", (SAT, SUN)),
    ("mets priya de garde samedi", (SAT, SAT)),
    ("la garde de samedi revient à priya", (SAT, SAT)),
    ("garde de samedi: priya", (SAT, SAT)),
    ("priya est de garde la semaine prochaine", NEXT_WEEK),
    ("priya est de garde de jeudi à dimanche", (date(2027, 6, 10), SUN)),
    ("priya sera de garde demain", (date(2027, 6, 8), date(2027, 6, 8))),
]


@pytest.mark.parametrize(("text", "days"), DUTY, ids=[text for text, _ in DUTY])
def test_somebody_is_on_duty_on_these_days(orders: Orders, text: str, days: tuple[date, date]) -> None:
    order = orders.read(text, NOON)

    assert isinstance(order, PutOnDuty)
    assert order.said == ("priya",)
    assert order.days is not None
    found = {
        one.first + timedelta(days=ahead) for one in order.days for ahead in range((one.last - one.first).days + 1)
    }
    assert (min(found), max(found), len(found)) == (*days, (days[1] - days[0]).days + 1)


NONE = [
    "who is on duty saturday?", "is jonas on duty", "should we retire callum", "don't retire callum", "priya is the treasurer", "jonas is off duty",
    "jonas is not on duty saturday", "retire the old basket", "i am a helper", "who takes over as treasurer", "make it 4", "callum has left the league",
    "qui est de garde samedi?", "je suis bénévole", "léa est trésorière", "jonas n'est pas de garde samedi", "enlève l'arbre du parcours", "garde la monnaie",
    "how do i become a volunteer", "comment devenir bénévole?",
]  # fmt: skip


@pytest.mark.parametrize("text", NONE)
def test_what_is_none_of_these_orders(orders: Orders, text: str) -> None:
    order: Order | None = orders.read(text, NOON)

    assert not isinstance(order, Retire | GiveRole | TakeRole | PutOnDuty | NewNumber)


@pytest.mark.parametrize(
    ("text", "left"),
    [
        ("retire callum, he moved away", ("callum", "he moved away")),
        ("callum n'est plus bénévole, il déménage", ("callum", "il déménage")),
        ("jonas is on duty saturday, call him if the gate is locked", ("jonas", "call him if the gate is locked")),
    ],
)
def test_what_is_not_taken_up_is_kept_word_for_word(orders: Orders, text: str, left: tuple[str, ...]) -> None:
    order = orders.read(text, NOON)

    assert isinstance(order, Retire | PutOnDuty)
    assert order.said == left
