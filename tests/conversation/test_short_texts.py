"""What a few words do after something was said: me too, maybe, never mind, the one after, in the other language, what a disc looks like."""

from datetime import date, timedelta

import pytest

from clubbot.conversation.replying import Turn
from clubbot.handbook.book import Handbook
from clubbot.model.choices import any_of
from clubbot.model.dialogue import DialogueState
from clubbot.model.effects import KeepLanguage, KeepReport, KeepRsvp, OpenChoice, SpeakOf
from clubbot.model.exchange import Exchange, Spoken
from clubbot.model.intents import When
from clubbot.model.messages import Language
from clubbot.model.rsvps import Awaits, DayId, Rsvp, Talk
from tests.conftest import NOON
from tests.conversation.test_turn import a_sender, effects_of, told

LEAGUE = DayId("dusk-league", date(2027, 6, 9))
KIM = "+19025550142"
AT = NOON - timedelta(minutes=2)


def after_event(
    handbook: Handbook,
    text: str,
    intent: str = "events",
    *,
    awaits: Awaits = "",
    mine: Rsvp | None = None,
    before: Rsvp | None = None,
    minutes: int = 2,
) -> Turn:
    """The turn of a text that comes soon after the league of Wednesday was spoken of."""
    at = NOON - timedelta(minutes=minutes)
    exchange = Exchange(
        text="league", language="en", intents=(Spoken(intent=intent, event="dusk-league"),), others=(), at=at
    )
    talk = Talk(on=LEAGUE, intent=intent, at=at, awaits=awaits, before=before)
    rsvps = {LEAGUE: mine} if mine is not None else {}
    return told(
        handbook, text, dialogue=DialogueState(exchanges=(exchange,), talk=talk), rsvps=rsvps, sender=a_sender()
    )


def coming(people: int) -> Rsvp:
    return Rsvp(number=KIM, state="coming", people=people)


def kept(turned: Turn) -> list[tuple[DayId, str, int]]:
    return [(one.on, one.rsvp.state, one.rsvp.people) for one in effects_of(turned, KeepRsvp)]


@pytest.mark.parametrize(
    "text", ["me too", "ok cool, count me in too", "i'll do that one", "moi aussi", "j'y vais aussi"]
)
def test_me_too_after_an_event_is_an_answer_to_it(text: str, handbook: Handbook) -> None:
    assert kept(after_event(handbook, text)) == [(LEAGUE, "coming", 1)]


def test_me_too_after_somebody_else_was_signed_up_is_one_more(handbook: Handbook) -> None:
    turned = after_event(handbook, "oh and me too", "rsvp-yes", mine=coming(1))

    assert kept(turned) == [(LEAGUE, "coming", 2)]


@pytest.mark.parametrize("text", ["me too", "maybe", "moi aussi", "peut-être"])
def test_long_after_an_event_a_few_words_are_no_answer_to_it(text: str, handbook: Handbook) -> None:
    assert kept(after_event(handbook, text, minutes=24 * 60)) == []


@pytest.mark.parametrize("text", ["maybe", "not sure yet", "peut-être", "on verra"])
def test_maybe_after_an_event_is_a_maybe(text: str, handbook: Handbook) -> None:
    assert kept(after_event(handbook, text)) == [(LEAGUE, "maybe", 1)]


@pytest.mark.parametrize("text", ["never mind", "nvm thx", "laisse tomber", "oublie ça"])
def test_never_mind_takes_a_sign_up_of_just_now_off(text: str, handbook: Handbook) -> None:
    assert kept(after_event(handbook, text, "rsvp-yes", mine=coming(2))) == [(LEAGUE, "off", 0)]


def test_never_mind_after_a_change_puts_the_number_back(handbook: Handbook) -> None:
    turned = after_event(handbook, "never mind", "rsvp-change", mine=coming(4), before=coming(2))

    assert kept(turned) == [(LEAGUE, "coming", 2)]


def test_never_mind_to_a_question_of_ours_leaves_all_as_it_is(handbook: Handbook) -> None:
    turned = after_event(handbook, "never mind", "rsvp-yes", awaits="number")

    assert kept(turned) == []
    assert not turned.handed_over


def after(handbook: Handbook, text: str, *intents: Spoken, before: str = "hi", language: Language = "en") -> Turn:
    exchange = Exchange(text=before, language=language, intents=intents, others=(), at=AT)
    return told(handbook, text, dialogue=DialogueState(exchanges=(exchange,)), sender=a_sender(language=language))


@pytest.mark.parametrize("text", ["never mind", "ok forget it", "pas grave"])
def test_never_mind_after_an_answer_goes_to_nobody(text: str, handbook: Handbook) -> None:
    turned = after(handbook, text, Spoken(intent="borrow"))

    assert turned.reply
    assert not turned.handed_over


@pytest.mark.parametrize(("text", "language"), [("in french please", "fr"), ("en français svp", "fr")])
def test_an_answer_is_given_again_in_the_language_asked_for(text: str, language: Language, handbook: Handbook) -> None:
    turned = after(handbook, text, Spoken(intent="borrow"), before="can i borrow discs")

    assert turned.served == ("borrow",)
    assert turned.language == language
    assert KeepLanguage(language=language) in turned.effects


def test_what_was_done_is_not_done_again_in_another_language(handbook: Handbook) -> None:
    turned = after(handbook, "in french please", Spoken(intent="lost-disc"))

    assert effects_of(turned, KeepReport) == []
    assert turned.language == "fr"


@pytest.mark.parametrize("text", ["orange with a fish on it", "it's a blue putter", "rouge avec un requin"])
def test_what_a_disc_looks_like_goes_with_the_report_before(text: str, handbook: Handbook) -> None:
    turned = after(handbook, text, Spoken(intent="lost-disc", place="4"), before="lost my disc on 4")

    (report,) = effects_of(turned, KeepReport)
    assert (report.kind, report.hole) == ("lost-disc", 4)
    assert text in report.words


@pytest.mark.parametrize("text", ["is the blue loop open?", "thanks"])
def test_a_question_after_a_report_is_none_of_it(text: str, handbook: Handbook) -> None:
    assert effects_of(after(handbook, text, Spoken(intent="lost-disc")), KeepReport) == []


@pytest.mark.parametrize("text", ["and the one after", "and after that?", "pis celle d'après"])
def test_the_one_after_a_named_event_is_its_next_day(text: str, handbook: Handbook) -> None:
    turned = after(handbook, text, Spoken(intent="events", event="dusk-league"), before="when is league")

    assert turned.served == ("events",)
    assert "16" in (turned.reply or "")


def test_the_one_after_a_day_is_whatever_is_on_next(handbook: Handbook) -> None:
    day = date(2027, 6, 9)
    turned = after(handbook, "and after that?", Spoken(intent="events", event="dusk-league", when=When(day, day)))

    assert "10" in (turned.reply or "")


def test_after_what_is_on_a_day_a_number_is_for_that_day(handbook: Handbook) -> None:
    turned = told(handbook, "what's on wednesday", sender=a_sender())

    assert [one.on for one in effects_of(turned, SpeakOf)] == [LEAGUE]


PICKS = [
    ("yes please both", ("borrow", "buy")),
    ("oui les deux", ("borrow", "buy")),
    ("the second", ("buy",)),
    ("le premier svp", ("borrow",)),
    ("na the other", ("buy",)),
    ("non l'autre", ("buy",)),
    ("neither lol", ()),
    ("ni l'un ni l'autre", ()),
    ("never mind", ()),
    ("laisse faire", ()),
]


@pytest.mark.parametrize(("text", "served"), PICKS)
def test_which_of_two_is_told_in_many_ways(text: str, served: tuple[str, ...], handbook: Handbook) -> None:
    asked = OpenChoice(
        choices=any_of(("borrow", "buy")), about="discs", language="en", until=NOON + timedelta(minutes=5), again=False
    )
    turned = told(handbook, text, dialogue=DialogueState(asked=asked), sender=a_sender())

    assert turned.served == served
    assert not turned.handed_over


@pytest.mark.parametrize("text", ["mrc", "ok cool thanks", "tysm"])
def test_thanks_are_thanks_however_they_are_spelled(text: str, handbook: Handbook) -> None:
    turned = after(handbook, text, Spoken(intent="borrow"))

    assert turned.served == ("thanks",)
    assert not turned.handed_over


@pytest.mark.parametrize("text", ["we're coming, 2 of us", "on vient, on est 2"])
def test_an_answer_after_our_question_is_for_the_event_that_the_text_before_named(
    text: str, handbook: Handbook
) -> None:
    until = NOON + timedelta(minutes=29)
    asked = OpenChoice(
        choices=any_of(("events", "places")), about="dusk league wed", language="en", until=until, again=False
    )
    turned = told(handbook, text, dialogue=DialogueState(asked=asked), sender=a_sender())

    assert kept(turned) == [(LEAGUE, "coming", 2)]
