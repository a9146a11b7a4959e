"""Corrections and picks: what was refused is not served again, what was meant is, and an open question never traps."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta

import pytest

from clubbot.conversation.digest import doubted, summed_up
from clubbot.conversation.mending import others_of
from clubbot.conversation.phrasing import FRIENDLY_PARTS, Voice
from clubbot.conversation.replying import Turn
from clubbot.handbook.book import Handbook
from clubbot.model.choices import Choice, any_of
from clubbot.model.dialogue import DialogueState
from clubbot.model.digest import Digest, Doubt
from clubbot.model.effects import CloseChoice, HandOver, KeepExchange, NoteDoubt, OpenChoice, Subscribe
from clubbot.model.exchange import LEANS_FOR, Exchange, Spoken
from clubbot.model.messages import Language
from clubbot.model.rsvps import DayId
from clubbot.texting.parts import count
from tests.conftest import NOON
from tests.conversation.test_turn import a_sender, effects_of, told

BUY = Spoken(intent="buy")
LEAGUE = Spoken(intent="league", event="dusk-league")


def after(
    handbook: Handbook,
    text: str,
    *intents: Spoken,
    others: tuple[str, ...] = (),
    before: str = "where can i get discs",
    language: Language = "en",
    minutes: float = 1,
) -> Turn:
    """The turn of a text that comes so long after another was served."""
    at = NOON - timedelta(minutes=minutes)
    exchange = Exchange(text=before, language=language, intents=intents, others=others, at=at)
    return told(handbook, text, dialogue=DialogueState(exchanges=(exchange,)), sender=a_sender(language=language))


LISTS = (Choice("notify-on", list_id="course-news"), Choice("notify-on", list_id="event-news"))


def picked(
    handbook: Handbook, text: str, *choices: str | Choice, again: bool = False, language: Language = "en"
) -> Turn:
    """The turn of a text while our question is open."""
    until = NOON + timedelta(minutes=5)
    offered = tuple(Choice(one) if isinstance(one, str) else one for one in choices or ("borrow", "buy"))
    asked = OpenChoice(choices=offered, about="discs", language=language, until=until, again=again)
    return told(handbook, text, dialogue=DialogueState(asked=asked), sender=a_sender(language=language))


def doubts(turned: Turn) -> Sequence[NoteDoubt]:
    return effects_of(turned, NoteDoubt)


# Corrections


@pytest.mark.parametrize(
    "text",
    ["no i meant borrow", "thanks but i meant borrow", "not that, borrow", "not buy but borrow", "i meant borrowing"],
)
def test_what_was_meant_is_served_and_the_pair_is_noted(text: str, handbook: Handbook) -> None:
    turned = after(handbook, text, BUY)

    assert ("borrow",) == turned.served
    assert [NoteDoubt(text="where can i get discs", read_as="buy", meant="borrow")] == doubts(turned)


def test_the_other_one_is_the_runner_up_where_there_is_one(handbook: Handbook) -> None:
    turned = after(handbook, "no the other one", BUY, others=("borrow",))

    assert ("borrow",) == turned.served
    assert "borrow" == doubts(turned)[0].meant


def test_the_other_one_of_two_is_asked_back(handbook: Handbook) -> None:
    turned = after(handbook, "the other one", BUY, others=("borrow", "which-disc"))

    assert ("borrow", "which-disc") == turned.offered
    assert any_of(("borrow", "which-disc")) == effects_of(turned, OpenChoice)[0].choices


def test_the_other_one_where_nothing_else_is_likely_is_asked_for_in_other_words(handbook: Handbook) -> None:
    turned = after(handbook, "no the other one", BUY)

    assert "other words" in (turned.reply or "")
    assert not turned.handed_over


@pytest.mark.parametrize("text", ["no that's not what i asked", "not that", "pas ça"])
def test_a_bare_refusal_goes_to_a_person_with_both_texts(text: str, handbook: Handbook) -> None:
    turned = after(handbook, text, BUY, others=("borrow",))
    note = effects_of(turned, HandOver)[0].note

    assert "where can i get discs" in note
    assert text in note
    assert [None] == [doubt.meant for doubt in doubts(turned)]


def test_what_is_meant_may_be_another_event_of_the_same_question(handbook: Handbook) -> None:
    turned = after(handbook, "no, the clinic", Spoken(intent="events", event="dusk-league"), before="when is it")

    assert ("events",) == turned.served
    assert "tarter clinic" in (turned.reply or "")
    assert [] == doubts(turned)  # the question was understood


@pytest.mark.parametrize("text", ["i mean for the league", "no i meant the league", "non je voulais dire la ligue"])
def test_what_is_asked_in_general_may_be_meant_of_an_event(text: str, handbook: Handbook) -> None:
    turned = after(handbook, text, Spoken(intent="cost"), before="how much is it")

    assert ("league",) == turned.served
    assert "$" in (turned.reply or "")


def test_a_number_in_a_text_that_was_misread_is_not_kept(handbook: Handbook) -> None:
    turned = after(handbook, "no i meant borrow", BUY, before="call me at 902 555 0142 about discs")

    assert "0142" not in doubts(turned)[0].text


def test_after_half_an_hour_nothing_is_corrected_and_nothing_leans(handbook: Handbook) -> None:
    late = LEANS_FOR / timedelta(minutes=1) + 1

    assert [] == doubts(after(handbook, "no the other one", BUY, others=("borrow",), minutes=late))
    assert ("cost",) == after(handbook, "how much?", LEAGUE, minutes=late).served
    assert ("league",) == after(handbook, "how much?", LEAGUE).served


@pytest.mark.parametrize("text", ["stop", "someone is hurt, call an ambulance", "is it open"])
def test_a_whole_text_is_read_afresh_whatever_was_said(text: str, handbook: Handbook) -> None:
    assert told(handbook, text).reply == after(handbook, text, LEAGUE).reply


def test_a_why_that_nobody_answers_goes_to_a_person_with_what_it_is_about(handbook: Handbook) -> None:
    turned = after(handbook, "why", Spoken(intent="dogs"), before="can i bring my dog")

    assert "can i bring my dog" in effects_of(turned, HandOver)[0].note


def test_nothing_leans_on_what_went_to_a_person(handbook: Handbook) -> None:
    handed = after(handbook, "why", Spoken(intent="dogs"), before="can i bring my dog")

    assert [()] == [kept.intents for kept in effects_of(handed, KeepExchange)]


def test_thanks_does_not_end_what_was_spoken_of(handbook: Handbook) -> None:
    assert [] == effects_of(after(handbook, "thanks", LEAGUE), KeepExchange)


def test_a_bare_yes_or_no_to_nothing_is_no_answer_to_an_event(handbook: Handbook) -> None:
    assert "would you like to know" in (after(handbook, "yes", BUY).reply or "")
    assert "other words" in (after(handbook, "no", BUY).reply or "")


def test_the_runner_up_stands_out_or_there_are_two() -> None:
    assert ("borrow",) == others_of([("buy", 0.5), ("borrow", 0.3), ("cost", 0.06)], ["buy"])
    assert ("borrow", "cost") == others_of([("buy", 0.5), ("borrow", 0.2), ("cost", 0.15), ("start", 0.1)], ["buy"])
    assert () == others_of([("buy", 0.9), ("borrow", 0.01)], ["buy"])
    assert ("borrow",) == others_of([("buy", 0.5), ("outside", 0.4), ("borrow", 0.1)], ["buy"])


# Picks


@pytest.mark.parametrize(
    "text", ["2", "the second", "second one", "the last one", "la deuxième", "le 2", "number 2 please", "2nd", "buying", "the other one", "i meant buying"]
)  # fmt: skip
def test_a_choice_is_picked(text: str, handbook: Handbook) -> None:
    turned = picked(handbook, text)

    assert ("buy",) == turned.served
    assert effects_of(turned, CloseChoice)


def test_what_was_not_picked_is_the_other_one(handbook: Handbook) -> None:
    assert [("borrow",)] == [kept.others for kept in effects_of(picked(handbook, "2"), KeepExchange)]


@pytest.mark.parametrize("text", ["both", "both please", "les deux", "all of them"])
def test_both_are_served(text: str, handbook: Handbook) -> None:
    assert ("borrow", "buy") == picked(handbook, text).served
    lists = picked(handbook, text, *LISTS)
    assert ["course-news", "event-news"] == [effect.list_id for effect in effects_of(lists, Subscribe)]


@pytest.mark.parametrize(
    "text", ["neither", "none of those", "no", "nope", "aucun", "ni l'un ni l'autre", "none thanks"]
)
def test_none_of_them_is_asked_for_in_other_words(text: str, handbook: Handbook) -> None:
    turned = picked(handbook, text)

    assert "other words" in (turned.reply or "")
    assert effects_of(turned, CloseChoice)
    assert not effects_of(turned, OpenChoice)


def test_an_answer_to_an_event_is_left_as_it_is_where_no_day_is_picked(handbook: Handbook) -> None:
    league, clinic = DayId("dusk-league", date(2027, 6, 9)), DayId("starter-clinic", date(2027, 6, 12))
    turned = picked(handbook, "neither", Choice("rsvp-yes", league), Choice("rsvp-yes", clinic))

    assert "left it as it was" in (turned.reply or "")


def test_either_of_two_that_are_only_answered_is_both(handbook: Handbook) -> None:
    assert ("borrow", "buy") == picked(handbook, "either").served
    assert effects_of(picked(handbook, "either", *LISTS), OpenChoice)


@pytest.mark.parametrize("text", ["yes", "oui", "7"])
def test_no_answer_to_which_is_asked_once_more_and_then_let_go(text: str, handbook: Handbook) -> None:
    once, twice = picked(handbook, text), picked(handbook, text, again=True)

    assert [True] == [effect.again for effect in effects_of(once, OpenChoice)]
    assert [] == effects_of(twice, OpenChoice)
    assert "Never mind" in (twice.reply or "")


@pytest.mark.parametrize("text", ["can i bring my dog", "is it open tomorrow", "stop"])
def test_anything_else_is_read_afresh_and_the_question_closes(text: str, handbook: Handbook) -> None:
    turned = picked(handbook, text)

    assert told(handbook, text).reply == turned.reply
    assert effects_of(turned, CloseChoice)
    assert not effects_of(turned, OpenChoice)


# The digest


def test_the_misreadings_of_one_kind_are_told_together_the_commonest_first() -> None:
    found = doubted(
        [Doubt("a", "cost", None), Doubt("getting discs", "buy", "borrow"), Doubt("discs?", "buy", "borrow")]
    )

    assert [(Doubt("getting discs", "buy", "borrow"), 2), (Doubt("a", "cost", None), 1)] == found


A_DAY = Digest(texts=3, people=2, new=1, passed=0, open=(), rsvps=0, sent=(), unclear=())


def test_the_organiser_is_told_what_was_misread(handbook: Handbook) -> None:
    found = replace(A_DAY, doubts=(Doubt("where can i get discs", "buy", "borrow"),))

    assert '"where can i get discs": read as buy, meant borrow' in summed_up(found, Voice(handbook.knowledge, "en"))
    assert '"where can i get discs": lu comme buy' in summed_up(found, Voice(handbook.knowledge, "fr"))


def test_however_much_was_misread_the_digest_is_two_parts(handbook: Handbook) -> None:
    many = tuple(Doubt(f"{'a long question about ' * 4}{one}", f"topic {one}", None) for one in range(50))
    unclear = tuple(f"{one} words that nobody understands at all" * 3 for one in range(50))

    assert (
        count(summed_up(replace(A_DAY, doubts=many, unclear=unclear), Voice(handbook.knowledge, "fr")))
        <= FRIENDLY_PARTS
    )
