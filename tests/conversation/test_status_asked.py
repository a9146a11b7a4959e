"""Asked whether a part is closed, clubbot says how it stands, and no yes or no: those would be said of the wrong thing."""

from datetime import timedelta

import pytest

from clubbot.conversation.live import status
from clubbot.conversation.phrasing import Voice
from clubbot.handbook.book import Handbook
from clubbot.model.club import Closure
from clubbot.model.intents import AskStatus, When
from clubbot.model.messages import LANGUAGES, Language, Said
from tests.conftest import NOON

TOMORROW = (NOON + timedelta(days=1)).date()
THEN = When(TOMORROW, TOMORROW)
MARSH = Closure(what="marsh", since=NOON - timedelta(hours=1), reason=Said(en="flooded", fr="inondation"))
YES_OR_NO = ("yes", "no,", "oui", "non")


def asked(
    handbook: Handbook, language: Language, what: str, *closures: Closure, when: When | None = None, if_closed: bool
) -> str:
    voice = Voice(handbook.knowledge, language)
    return status(AskStatus(what, when), closures, voice, NOON, if_closed=if_closed)


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize(
    ("what", "closures", "when"),
    [("marsh", (), None), ("marsh", (), THEN), ("course", (MARSH,), None), ("marsh", (MARSH,), None)],
    ids=["open now", "open then", "partly", "closed"],
)
def test_no_yes_or_no_is_said_to_who_asks_whether_it_is_closed(
    language: Language, what: str, closures: tuple[Closure, ...], when: When | None, handbook: Handbook
) -> None:
    plain = asked(handbook, language, what, *closures, when=when, if_closed=False)
    told = asked(handbook, language, what, *closures, when=when, if_closed=True)

    assert plain.casefold().startswith(YES_OR_NO)
    assert not told.casefold().startswith(YES_OR_NO)
    # It is the same that is told: nothing else of the sentence is left out.
    assert plain.casefold().endswith(told.casefold())
