"""From scores to what is served, asked back, or left to a person. The bounds are ours, measured on labelled texts; no outside source."""

import pytest

from clubbot.understanding.deciding import (
    CHOICES_TOGETHER,
    CLEAR,
    CLEAR_SIDES,
    MOST_CHOICES,
    OUTSIDE_DOUBT,
    Decision,
    decide,
    decide_heard,
    together,
    with_statement,
)

WANTS = ("status", "dogs", "cost", "parking", "greeting", "thanks", "outside", "danger", "human", "stop")


def scores(**likely: float) -> dict[str, float]:
    """Probabilities of all wants; what is not named shares the rest."""
    rest = (1 - sum(likely.values())) / (len(WANTS) - len(likely))
    return {want: likely.get(want, rest) for want in WANTS}


def test_a_clear_text_is_served() -> None:
    assert decide(scores(dogs=0.9), [], []) == Decision(served=("dogs",))


@pytest.mark.parametrize(("likely", "served"), [(CLEAR + 0.01, True), (CLEAR - 0.01, False)])
def test_a_text_is_served_from_the_bound_of_clearness_up(likely: float, served: bool) -> None:
    assert bool(decide(scores(dogs=likely, outside=0.0), [], []).served) is served


def test_two_clear_questions_are_both_served_in_the_order_they_were_asked() -> None:
    whole = scores(dogs=0.5, status=0.4)
    cut = (scores(status=0.9, dogs=0.0), scores(dogs=0.9, status=0.0))

    assert decide(whole, list(cut), [cut]).served == ("status", "dogs")
    assert decide(whole, list(cut[::-1]), [cut[::-1]]).served == ("dogs", "status")


@pytest.mark.parametrize("bare", ["greeting", "thanks"])
def test_a_hello_or_thanks_beside_a_question_is_not_answered_by_itself(bare: str) -> None:
    whole = scores(**{"dogs": 0.6, bare: 0.3})
    cut = (scores(**{bare: 0.95, "dogs": 0.0}), scores(**{"dogs": 0.95, bare: 0.0}))

    assert decide(whole, list(cut), [cut]).served == ("dogs",)


@pytest.mark.parametrize("bare", ["greeting", "thanks"])
def test_a_bare_hello_or_thanks_is_answered(bare: str) -> None:
    assert decide(scores(**{bare: 0.9}), [], []).served == (bare,)


def test_a_side_that_is_not_clear_is_not_served() -> None:
    whole = scores(dogs=0.6, status=0.3)
    cut = (scores(status=CLEAR_SIDES - 0.05, dogs=0.0), scores(dogs=0.95, status=0.0))

    assert decide(whole, [], [cut]).served == ("dogs",)


def test_the_same_want_on_both_sides_is_served_once() -> None:
    cut = (scores(dogs=0.95), scores(dogs=0.95))

    assert decide(scores(dogs=0.9), list(cut), [cut]).served == ("dogs",)


def test_a_side_question_that_the_whole_text_does_not_speak_of_is_not_served() -> None:
    whole = scores(dogs=0.7, cost=0.1, parking=0.08, human=0.05, status=0.0)
    cut = (scores(status=0.95, dogs=0.0), scores(dogs=0.95, status=0.0))

    assert "status" not in decide(whole, list(cut), [cut]).served


def test_a_question_inside_a_long_story_is_found() -> None:
    whole = scores(dogs=CLEAR - 0.1, status=0.1)

    assert decide(whole, [scores(dogs=0.95)], []).served == ("dogs",)


def test_a_text_that_is_not_for_us_is_left_to_a_person() -> None:
    assert decide(scores(outside=0.9), [], []) == Decision(outside=True)


@pytest.mark.parametrize(
    ("dogs", "outside", "expected"),
    [
        (0.6, OUTSIDE_DOUBT + 0.01, Decision(outside=True)),
        (0.6, OUTSIDE_DOUBT - 0.2, Decision(served=("dogs",))),
    ],
)
def test_with_much_doubt_that_it_is_for_us_nothing_is_guessed(dogs: float, outside: float, expected: Decision) -> None:
    assert decide(scores(dogs=dogs, outside=outside), [], []) == expected


def test_between_a_few_likely_wants_the_sender_is_asked() -> None:
    found = decide(scores(dogs=0.3, cost=0.28, status=0.2, outside=0.0), [], [])

    assert found == Decision(choices=("dogs", "cost", "status"))


def test_no_more_than_three_choices_are_offered() -> None:
    found = decide(scores(dogs=0.25, cost=0.24, status=0.23, parking=0.22, outside=0.0), [], [])

    assert len(found.choices) == MOST_CHOICES == 3


@pytest.mark.parametrize("want", ["greeting", "thanks", "outside", "danger", "human", "stop"])
def test_what_nobody_would_pick_from_a_list_is_not_offered(want: str) -> None:
    whole = scores(**{"dogs": 0.25, "cost": 0.24, want: 0.23})

    assert want not in decide(whole, [], []).choices


def test_one_choice_alone_is_no_question() -> None:
    found = decide(scores(dogs=0.4, outside=0.1), [], [])

    assert found.choices == ()


def test_when_nothing_is_likely_a_person_has_to_read_it() -> None:
    flat = {want: 1 / len(WANTS) for want in WANTS} | {"outside": 0.05}

    assert sum(sorted((p for w, p in flat.items() if w != "outside"), reverse=True)[:3]) < CHOICES_TOGETHER
    assert decide(flat, [], []) == Decision()


def heard(**shares: float) -> dict[str, float]:
    """Probabilities of a whole text; what is left over is spread over wants that nobody named."""
    named = {want.replace("_", "-"): share for want, share in shares.items()}
    rest = 1 - sum(named.values())
    return {"outside": 0.0, "greeting": rest / 4, "thanks": rest / 4, "land": rest / 4, "pay": rest / 4} | named


ONE, TWO, THREE = (0.95, 0.04, 0.01), (0.04, 0.95, 0.01), (0.02, 0.08, 0.9)


def test_one_clear_want_of_a_sentence_is_served() -> None:
    assert decide_heard(heard(dogs=0.9), ONE) == Decision(served=("dogs",))


def test_two_wants_of_a_sentence_are_served_where_it_asks_for_several() -> None:
    assert decide_heard(heard(dogs=0.5, cost=0.4), TWO).served == ("dogs", "cost")


def test_a_second_want_that_hardly_sounds_is_not_served_however_many_clauses_there_are() -> None:
    assert decide_heard(heard(dogs=0.95, cost=0.01), TWO).served == ("dogs",)


def test_three_wants_are_served_where_three_are_heard() -> None:
    assert decide_heard(heard(dogs=0.4, cost=0.3, parking=0.2), THREE).served == ("dogs", "cost", "parking")


def test_a_lost_disc_that_somebody_may_have_found_is_one_report() -> None:
    assert decide_heard(heard(lost_disc=0.6, found_disc=0.3), TWO).served == ("lost-disc",)


def test_doubt_whether_it_is_for_us_goes_to_a_person_unless_one_want_is_nearly_certain() -> None:
    assert decide_heard(heard(dogs=0.7, outside=0.15), ONE).outside
    assert decide_heard(heard(dogs=0.88, outside=0.11), ONE).served == ("dogs",)


def test_a_word_of_somebody_elses_business_adds_to_the_doubt() -> None:
    assert decide_heard(heard(dogs=0.7, outside=0.05), ONE).served == ("dogs",)
    assert decide_heard(heard(dogs=0.7, outside=0.05), ONE, elsewhere=True).outside


def test_what_is_not_clear_is_asked_back() -> None:
    assert decide_heard(heard(hours=0.45, events=0.4, status=0.02), ONE).choices == ("hours", "events")


def test_both_kinds_of_evidence_count_and_the_shares_sum_to_one() -> None:
    both = together({"dogs": 0.6, "cost": 0.3, "outside": 0.1}, {"dogs": 0.2, "cost": 0.7, "outside": 0.1})
    assert sum(both.values()) == pytest.approx(1)
    assert both["cost"] > both["dogs"] > both["outside"]


def test_a_want_that_the_sentence_model_never_heard_of_is_weighed_by_its_words() -> None:
    both = together({"sauna": 0.9, "cost": 0.05, "outside": 0.05}, {"cost": 0.9, "outside": 0.1})
    assert max(both, key=lambda want: both[want]) == "sauna"


RSVP = frozenset({"rsvp-yes", "rsvp-no"})


def test_a_plain_statement_beside_an_event_settles_what_the_sentence_leaves_open() -> None:
    whole = heard(rsvp_yes=0.3, rsvp_no=0.0, league=0.3)
    unclear = Decision(choices=("rsvp-yes", "league"))
    assert with_statement(unclear, "rsvp-yes", whole, RSVP, weak=False, named=True).served == ("rsvp-yes",)
    assert with_statement(unclear, "rsvp-yes", whole, RSVP, weak=True, named=True) == unclear
    assert with_statement(unclear, "rsvp-yes", whole, RSVP, weak=False, named=False) == unclear


def test_a_plain_statement_takes_the_place_of_another_answer_but_of_nothing_else() -> None:
    whole = heard(rsvp_yes=0.6, rsvp_no=0.2, parking=0.1)
    served = Decision(served=("rsvp-yes", "parking"))
    assert with_statement(served, "rsvp-no", whole, RSVP, weak=False, named=True).served == ("rsvp-no", "parking")
    other = Decision(served=("parking",))
    assert with_statement(other, "rsvp-no", whole, RSVP, weak=False, named=True) == other
