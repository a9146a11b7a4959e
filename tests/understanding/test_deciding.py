"""From chances to what is served, asked back, or left to a person. The bounds are ours, fitted on labelled texts; no outside source."""

import pytest

from clubbot.understanding import thresholds
from clubbot.understanding.deciding import Decision, decide
from clubbot.understanding.encoder import Heard
from clubbot.understanding.hearing import Chances, Evidence, weighed

INTENTS = (
    "status",
    "dogs",
    "cost",
    "parking",
    "rsvp-no",
    "greeting",
    "thanks",
    "danger",
    "human",
    "stop",
    "lost-disc",
    "found-disc",
)
CLEAR = max(thresholds.ANSWERED, thresholds.DONE, thresholds.TAKEN_AWAY) + 0.05


def chances(for_us: float = 1.0, **likely: float) -> Chances:
    """What is named is as likely as told, nothing else at all."""
    named = {intent.replace("_", "-"): share for intent, share in likely.items()}
    return Chances({intent: named.get(intent, 0.001) for intent in INTENTS}, for_us)


def test_a_clear_text_is_served() -> None:
    assert decide(chances(dogs=CLEAR)) == Decision(served=("dogs",))


def test_all_that_is_clear_is_served_whatever_else_is() -> None:
    assert decide(chances(dogs=CLEAR, rsvp_no=CLEAR + 0.02)).served == ("rsvp-no", "dogs")


def test_nobody_asks_for_more_than_three_things() -> None:
    found = decide(chances(dogs=CLEAR, cost=CLEAR, parking=CLEAR, status=CLEAR))

    assert len(found.served) == thresholds.MOST_SERVED == 3


@pytest.mark.parametrize("bare", ["greeting", "thanks"])
def test_a_hello_or_thanks_beside_a_question_is_not_answered_by_itself(bare: str) -> None:
    assert decide(chances(**{"dogs": CLEAR, bare: 0.99})).served == ("dogs",)
    assert decide(chances(**{bare: CLEAR})).served == (bare,)


def test_what_takes_something_away_needs_more_than_an_answer() -> None:
    between = (thresholds.ANSWERED + thresholds.TAKEN_AWAY) / 2

    assert thresholds.TAKEN_AWAY > thresholds.ANSWERED
    assert decide(chances(dogs=between, cost=between - 0.01)).served == ("dogs", "cost")
    assert decide(chances(dogs=CLEAR, rsvp_no=between)).served == ("dogs",)


def test_an_act_that_is_not_sure_enough_is_asked_about_beside_what_is_served() -> None:
    assert decide(chances(dogs=CLEAR, lost_disc=thresholds.ASKED_BESIDE)).choices == ("lost-disc",)
    assert decide(chances(dogs=CLEAR, rsvp_no=thresholds.ASKED_BESIDE)).choices == ()
    assert decide(chances(dogs=CLEAR, rsvp_no=thresholds.ASKED_BESIDE_TO_TAKE)).choices == ("rsvp-no",)
    assert decide(chances(dogs=CLEAR, stop=thresholds.ASKED_BESIDE)).choices == ()
    assert decide(chances(lost_disc=CLEAR, found_disc=thresholds.ASKED_BESIDE)).choices == ()


def test_an_opt_out_needs_more_where_something_else_is_sure_beside_it() -> None:
    assert decide(chances(stop=thresholds.STOPPED, rsvp_no=CLEAR)).served == ("stop", "rsvp-no")
    assert "stop" not in decide(chances(stop=thresholds.STOPPED, parking=CLEAR)).served[:1]
    assert decide(chances(stop=thresholds.STOPPED_BESIDE, parking=CLEAR)).served == ("stop",)


def test_danger_goes_before_whatever_else_a_text_sounds_like() -> None:
    assert decide(chances(danger=thresholds.DANGER, parking=CLEAR)).served == ("danger",)


def test_a_lost_disc_that_somebody_may_have_found_is_one_report() -> None:
    assert decide(chances(lost_disc=CLEAR + 0.02, found_disc=CLEAR)).served == ("lost-disc",)


def test_a_text_that_is_not_for_us_is_left_to_a_person_whatever_it_sounds_like() -> None:
    assert decide(chances(for_us=0.0, dogs=0.99)) == Decision(outside=True)
    assert decide(chances(for_us=thresholds.OURS - 0.01, dogs=thresholds.NEARLY_CERTAIN - 0.01)).outside


def test_words_of_danger_that_are_not_sure_go_to_a_person() -> None:
    assert decide(chances(danger=CLEAR)).served == ("danger",)
    assert decide(chances(danger=thresholds.MAYBE_DANGER, dogs=thresholds.NEARLY_CERTAIN - 0.01)).outside


def test_the_likeliest_is_served_from_less_where_nothing_else_comes_near() -> None:
    alone = (thresholds.ALONE + thresholds.ANSWERED) / 2

    assert decide(chances(dogs=alone)).served == ("dogs",)
    assert decide(chances(dogs=alone, cost=alone - 0.01)).served == ()
    assert decide(chances(rsvp_no=alone)).served == ()


def test_between_a_few_likely_things_the_sender_is_asked() -> None:
    near = thresholds.ALONE - 0.01

    assert decide(chances(dogs=near, cost=near - 0.01)).choices == ("dogs", "cost")


@pytest.mark.parametrize("never", ["greeting", "thanks", "human", "stop"])
def test_what_nobody_would_pick_from_a_list_is_not_offered(never: str) -> None:
    near = thresholds.ALONE - 0.01

    assert never not in decide(chances(**{"dogs": near, "cost": near, never: near})).choices


def test_one_choice_alone_is_no_question_and_where_nothing_is_likely_a_person_reads_it() -> None:
    assert decide(chances(dogs=thresholds.CHOICE + 0.01)) == Decision()
    assert decide(chances()) == Decision()


def an_evidence(heard: Heard | None, **words: float) -> Evidence:
    return Evidence(words={"outside": 0.05, **words}, pieces=(), named=False, heard=heard)


def test_both_kinds_of_evidence_count() -> None:
    heard = Heard({"dogs": 1.0, "cost": 1.0}, 2.0)
    found = weighed(an_evidence(heard, dogs=0.8, cost=0.1)).intents

    assert found["dogs"] > found["cost"]
    assert (
        weighed(an_evidence(Heard({"dogs": 3.0, "cost": 1.0}, 2.0), dogs=0.8, cost=0.1)).intents["dogs"] > found["dogs"]
    )


def test_a_topic_that_the_sentence_model_never_heard_of_is_weighed_by_its_words() -> None:
    found = weighed(an_evidence(Heard({"cost": -6.0}, 2.0), sauna=0.9, cost=0.05)).intents

    assert max(found, key=lambda intent: found[intent]) == "sauna"


def test_its_words_and_its_sound_add_to_the_doubt_whether_it_is_for_us() -> None:
    plain = weighed(an_evidence(Heard({}, 2.0))).for_us

    assert weighed(an_evidence(Heard({}, 2.0), outside=0.9)).for_us < plain
    assert weighed(an_evidence(Heard({}, -2.0))).for_us < plain
