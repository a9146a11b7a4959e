"""What the club's people say of reports, ask to see, and would have otherwise of a draft. It is Monday 7 June 2027, noon."""

from datetime import datetime, time

import pytest

from clubbot.handbook.book import Handbook
from clubbot.model.amending import Amend
from clubbot.model.orders import Audience, ShowReach, ShowStatus
from clubbot.model.seen import DoneReport, ListReports, Matter, ShowOrders, ShowSent, Span, UndoneReport
from clubbot.understanding.orders.reading import Orders
from tests.conftest import HALIFAX, NOON


@pytest.fixture
def orders(handbook: Handbook) -> Orders:
    return handbook.reader.orders


def june(day: int, hour: int, minute: int = 0) -> datetime:
    return datetime(2027, 6, day, hour, minute, tzinfo=HALIFAX)


@pytest.mark.parametrize(
    "text",
    [
        "done D7", "D7 is fixed", "d7 done", "D7 mended thanks", "report 7 is sorted", "we fixed D7", "hey, D7 has been repaired", "close D7", "mark D7 as done", "D7 all good now", "cleared D7", "D 7 is taken care of",
        "réglé D7", "D7 réglé", "D7 est réparé", "c'est réglé D7", "signalement 7 réglé", "on a réparé D7", "D7 c'est fait", "ferme D7", "marque D7 comme réglé", "bonjour, D7 est fini", "le signalement D7 est corrigé",
    ],
)  # fmt: skip
def test_a_report_is_dealt_with(orders: Orders, text: str) -> None:
    assert orders.read(text, NOON) == DoneReport((7,))


@pytest.mark.parametrize(
    "text",
    [
        "D7 isn't done", "D7 is not fixed", "d7 not done yet", "undo D7", "reopen D7", "D7 is still broken", "not done D7", "D7 isnt fixed", "report 7 is not mended",
        "D7 n'est pas réglé", "D7 pas réglé", "rouvre D7", "D7 est encore brisé", "c'est pas réglé D7", "signalement 7 pas réglé", "D7 n'est pas encore réparé", "annule D7",
    ],
)  # fmt: skip
def test_a_report_is_not_dealt_with_after_all(orders: Orders, text: str) -> None:
    assert orders.read(text, NOON) == UndoneReport((7,))


@pytest.mark.parametrize(
    ("text", "order"),
    [
        ("D7 and D8 are fixed", DoneReport((7, 8))),
        ("done D7, D9", DoneReport((7, 9))),
        ("D7 et D8 sont réglés", DoneReport((7, 8))),
        ("D7 is fixed, but hole 8 still has glass", DoneReport((7,), "but hole 8 still has glass")),
        ("D7 réglé, tell everyone", DoneReport((7,), "tell everyone")),
    ],
)
def test_of_several_and_what_is_said_besides(orders: Orders, text: str, order: DoneReport) -> None:
    assert orders.read(text, NOON) == order


@pytest.mark.parametrize(
    "text", ["is D7 fixed?", "D7 will be fixed friday", "hole 7 is fixed", "done", "what about D7", "D7 est réparé?"]
)
def test_these_close_no_report(orders: Orders, text: str) -> None:
    assert not isinstance(orders.read(text, NOON), DoneReport | UndoneReport)


@pytest.mark.parametrize(
    "text",
    [
        "reports", "open reports", "show me the reports", "which reports are open", "any open reports?", "what's broken?", "what needs fixing?", "damage list", "all reports please", "list the reports",
        "signalements", "signalements ouverts", "montre-moi les signalements", "liste des signalements", "qu'est-ce qui est brisé?", "quels signalements sont ouverts?", "bris signalés", "y a-t-il des signalements?", "les signalements svp",
    ],
)  # fmt: skip
def test_the_reports_are_listed(orders: Orders, text: str) -> None:
    assert orders.read(text, NOON) == ListReports()


@pytest.mark.parametrize("text", ["reports 2", "signalements page 2"])
def test_a_page_of_them(orders: Orders, text: str) -> None:
    assert orders.read(text, NOON) == ListReports(2)


@pytest.mark.parametrize(
    ("text", "span"),
    [
        ("what did we send today", "today"), ("what went out today?", "today"), ("sent today", "today"), ("which texts were sent today", "today"), ("sent texts", "today"), ("what did we send yesterday", "yesterday"), ("what did we send this week?", "week"), ("what have we told people lately", "week"), ("texts we sent this week", "week"),
        ("qu'avons-nous envoyé aujourd'hui?", "today"), ("qu'est-ce qui est parti aujourd'hui", "today"), ("textos envoyés aujourd'hui", "today"), ("montre-moi les envois", "today"), ("quels textos sont partis hier?", "yesterday"), ("qu'est-ce qu'on a envoyé cette semaine", "week"), ("envois de la semaine", "week"), ("on a envoyé quoi cette semaine?", "week"),
    ],
)  # fmt: skip
def test_what_went_to_many(orders: Orders, text: str, span: Span) -> None:
    assert orders.read(text, NOON) == ShowSent(span)


@pytest.mark.parametrize(
    ("text", "list_id"),
    [
        ("how many get course news", "course"), ("how many people get course news?", "course"), ("how many are on course news", "course"), ("size of course news", "course"), ("how many phones get event news", "event"), ("how many on event news?", "event"), ("how many subscribers for event news", "event"), ("who all gets event news", "event"), ("how big is course news", "course"),
        ("combien de gens reçoivent les nouvelles du parcours?", "course"), ("combien d'abonnés aux nouvelles du parcours", "course"), ("combien sont abonnés aux nouvelles du parcours", "course"), ("nombre d'abonnés aux nouvelles du parcours", "course"), ("combien de personnes reçoivent les nouvelles des activités", "event"), ("combien suivent les nouvelles des activités?", "event"), ("qui reçoit les nouvelles du parcours", "course"), ("combien de téléphones sont sur les nouvelles du parcours", "course"),
    ],
)  # fmt: skip
def test_how_many_a_list_has(orders: Orders, handbook: Handbook, text: str, list_id: str) -> None:
    found = orders.read(text, NOON)

    assert isinstance(found, ShowReach)
    assert found.audience.list_id is not None
    assert list_id in found.audience.list_id
    assert found == ShowReach(Audience("list", list_id=found.audience.list_id))


@pytest.mark.parametrize(
    ("text", "about"),
    [
        ("what can i text", None), ("what can I text about events", "events"), ("what can i text about the course?", "course"), ("which commands are there for news", "news"), ("what can i text about questions", "questions"), ("commands for duty", "duty"), ("what can i text about reports", "reports"), ("how do i use this", None), ("what may i text about phones", "phones"),
        ("quoi texter", None), ("quoi texter pour les activités", "events"), ("quoi texter pour le parcours", "course"), ("consignes pour les nouvelles", "news"), ("quelles consignes y a-t-il pour les questions?", "questions"), ("que puis-je demander au sujet de la garde", "duty"), ("quoi texter pour les signalements", "reports"), ("liste des commandes", None),
    ],
)  # fmt: skip
def test_what_may_be_texted(orders: Orders, text: str, about: Matter | None) -> None:
    assert orders.read(text, NOON) == ShowOrders(about)


@pytest.mark.parametrize(
    "text",
    [
        "status", "status?", "how are things", "how are things going?", "give me a status report", "where do we stand", "what's the situation", "sitrep",
        "état", "statut", "où en est-on?", "comment vont les choses", "comment ça va au parcours?", "quelle est la situation", "le topo svp", "bilan du jour",
    ],
)  # fmt: skip
def test_how_things_stand(orders: Orders, text: str) -> None:
    assert orders.read(text, NOON) == ShowStatus()


# What a draft is to be instead

SAT_NOON = june(12, 12)


@pytest.mark.parametrize(
    "text",
    [
        "make it sat noon", "till sat noon", "sat noon instead", "change it to sat noon", "no wait, till saturday noon", "ok but till sat noon", "actually sat noon instead", "it should be sat noon", "i meant sat noon", "extend it to sat noon", "till sat noon, not friday",
        "mets ça à samedi midi", "jusqu'à samedi midi", "samedi midi plutôt", "plutôt samedi midi", "change ça pour samedi midi", "non, jusqu'à samedi midi", "finalement jusqu'à samedi midi", "jusqu'à samedi midi plutôt", "je voulais dire samedi midi",
    ],
)  # fmt: skip
def test_another_end(orders: Orders, text: str) -> None:
    found = orders.amendment(text, NOON, None)

    assert found is not None
    assert (found.until, found.parts, found.unused) == (SAT_NOON, (), "")


@pytest.mark.parametrize(
    ("text", "starts"), [("till 3 instead", time(3)), ("make it 7pm", time(19)), ("mets ça à 19h30", time(19, 30))]
)
def test_an_hour_by_itself(orders: Orders, text: str, starts: time) -> None:
    found = orders.amendment(text, NOON, None)

    assert found is not None
    assert (found.starts, found.when) == (starts, None)


@pytest.mark.parametrize(
    ("text", "how", "parts"),
    [
        ("only the marsh loop", "only", ("marsh",)), ("just hole 7", "only", ("7",)), ("make it hole 7", "only", ("7",)), ("hole 7 instead", "only", ("7",)), ("marsh loop only", "only", ("marsh",)), ("not the whole course, only the marsh loop", "only", ("marsh",)),
        ("also hole 8", "also", ("8",)), ("hole 8 too", "also", ("8",)), ("add hole 8", "also", ("8",)), ("not hole 7", "without", ("7",)), ("leave hole 7 open", "without", ("7",)), ("except holes 7 and 8", "without", ("7", "8")),
        ("seulement la boucle du marais", "only", ("marsh",)), ("juste le trou 7", "only", ("7",)), ("plutôt le trou 7", "only", ("7",)), ("le trou 7 seulement", "only", ("7",)), ("le trou 8 aussi", "also", ("8",)), ("ajoute le trou 8", "also", ("8",)), ("sauf le trou 7", "without", ("7",)), ("laisse le trou 7 ouvert", "without", ("7",)),
    ],
)  # fmt: skip
def test_other_parts(orders: Orders, text: str, how: str, parts: tuple[str, ...]) -> None:
    assert orders.amendment(text, NOON, None) == Amend(how=how, parts=parts)  # type: ignore[arg-type]  # as in the table


@pytest.mark.parametrize(
    ("text", "kind", "words"),
    [
        ("add: bring boots", "add", "bring boots"), ("add bring boots", "add", "bring boots"), ("and say: bring boots", "add", "bring boots"), ("also mention that the tap is off", "add", "the tap is off"), ("make it say: bring boots", "instead", "Bring boots"), ("it should say bring boots", "instead", "Bring boots"), ("new text: bring boots", "instead", "Bring boots"), ("reason: ice", "reason", "ice"), ("because of ice", "reason", "ice"),
        ("ajoute: apportez des bottes", "add", "apportez des bottes"), ("rajoute apportez des bottes", "add", "apportez des bottes"), ("dis aussi: apportez des bottes", "add", "apportez des bottes"), ("dis plutôt: apportez des bottes", "instead", "Apportez des bottes"), ("le texto devrait dire: apportez des bottes", "instead", "Apportez des bottes"), ("nouveau texte: apportez des bottes", "instead", "Apportez des bottes"), ("raison: verglas", "reason", "verglas"), ("à cause du verglas", "reason", "verglas"),
    ],
)  # fmt: skip
def test_other_words(orders: Orders, text: str, kind: str, words: str) -> None:
    assert orders.amendment(text, NOON, None) == Amend(words=words, with_words=kind)  # type: ignore[arg-type]  # as in the table


@pytest.mark.parametrize(
    "text",
    [
        "is hole 8 closed too?", "till when?", "i'm on my way", "yes", "only me", "the course is fine", "see you at 7", "what about hole 7", "ok", "le trou 8 est beau", "à demain", "moi aussi", "also hole 8 has a broken basket",
    ],
)  # fmt: skip
def test_these_change_no_draft(orders: Orders, text: str) -> None:
    assert orders.amendment(text, NOON, None) is None


def test_what_is_said_besides_stays(orders: Orders) -> None:
    found = orders.amendment("make it wed 9am, and tell everyone", NOON, None)

    assert found is not None
    assert (found.until, found.unused) == (june(9, 9), "tell everyone")
