"""What people do about their sign-ups: late, early, looking for the others, no reminder, another day, several days, a group's visit, their own event."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from clubbot.handbook.book import Handbook
from clubbot.rehearsal import Heard, Rehearsal
from clubbot.store.rsvps import read_mine
from tests.builders import KIM
from tests.conftest import HALIFAX

NOON = datetime(2027, 6, 7, 12, tzinfo=HALIFAX)
WEDNESDAY = datetime(2027, 6, 9, 16, 40, tzinfo=HALIFAX)
AT_SIX = datetime(2027, 6, 9, 18, tzinfo=HALIFAX)
ANA, LUC = "+19025550144", "+19025550145"
PRIYA, CALLUM, ODILE = "+19025550104", "+19025550105", "+19025550101"
IN, INSCRIT = "in for league tonight, 3 of us", "on sera trois à la ligue ce soir"
DOWN, INSCRITS = "in for league wed, 2 of us", "inscris-nous pour mercredi, 2 personnes"


def said(club: Rehearsal, texts: list[str], now: datetime, *, sender: str = KIM) -> list[Heard]:
    """Everything that is sent because of the last of these texts, half a minute apart."""
    heard: list[Heard] = []
    for number, text in enumerate(texts):
        heard = club.text(sender, text, now + timedelta(seconds=30 * number))
    return heard


def to(number: str, heard: list[Heard]) -> str:
    return " ".join(one.text for one in heard if one.recipient == number)


def down(club: Rehearsal, number: str = KIM) -> dict[str, tuple[str, int]]:
    """What somebody has answered: by event and day, how and how many."""
    with club.engine.connect() as connection:
        kept = read_mine(connection, number, NOON.date())
    return {f"{on.event} {on.day:%d}": (one.state, one.people) for on, one in kept.items() if one.state != "off"}


def on_the_day(handbook: Handbook, first: str) -> Rehearsal:
    club = Rehearsal(handbook)
    club.text(KIM, first, WEDNESDAY)
    return club


def small(handbook: Handbook, places: int) -> Handbook:
    """The clinic with so many places."""
    knowledge = handbook.knowledge
    events = tuple(replace(one, places=places) if one.id == "starter-clinic" else one for one in knowledge.events)
    return replace(handbook, knowledge=replace(knowledge, events=events))


@pytest.mark.parametrize(
    ("first", "text", "told"),
    [
        (IN, "running 10 min late keep our place", "your 3 places are kept until 18:30. I've told Priya"),
        (IN, "we'll be a bit late", "kept until 18:30"),
        (IN, "stuck in traffic", "kept until 18:30"),
        (IN, "keep our place please", "kept until 18:30"),
        (IN, "should be there by 6:25", "kept until 18:30"),
        (IN, "half an hour late sorry", "After that, come to the boathouse and ask"),
        (INSCRIT, "on arrive en retard", "vos 3 places sont gardées jusqu'à 18 h 30"),
        (INSCRIT, "je vais avoir 10 minutes de retard", "gardées jusqu'à 18 h 30"),
        (INSCRIT, "gardez notre place", "gardées jusqu'à 18 h 30"),
        (INSCRIT, "une demi-heure de retard", "Après, venez voir sur place"),
    ],
)
def test_who_is_late_hears_until_when_the_place_is_kept(first: str, text: str, told: str, handbook: Handbook) -> None:
    club = on_the_day(handbook, first)
    heard = said(club, [text], AT_SIX)

    assert told in to(KIM, heard)
    assert "3 people" in to(PRIYA, heard)
    assert down(club) == {"dusk-league 09": ("coming", 3)}


def test_the_minutes_are_the_events_own(handbook: Handbook) -> None:
    knowledge = handbook.knowledge
    events = tuple(replace(one, keep_late_minutes=40) for one in knowledge.events)
    club = on_the_day(replace(handbook, knowledge=replace(knowledge, events=events)), IN)

    assert "kept until 18:55" in to(KIM, said(club, ["half an hour late"], AT_SIX))


def test_whoever_runs_it_sees_who_is_late_until_they_are_here(handbook: Handbook) -> None:
    club = on_the_day(handbook, IN)
    said(club, ["I'm Dana", "running 10 min late"], AT_SIX)

    assert "Late: Dana 3 (18:25)." in to(PRIYA, said(club, ["who's here"], AT_SIX, sender=PRIYA))
    said(club, ["we're here"], AT_SIX + timedelta(minutes=20))
    assert "Late" not in to(PRIYA, said(club, ["who's here"], AT_SIX + timedelta(minutes=25), sender=PRIYA))


@pytest.mark.parametrize("text", ["am i too late to sign up", "how late does it go", "sorry for the late reply"])
def test_what_only_sounds_late_keeps_no_place(text: str, handbook: Handbook) -> None:
    assert "kept until" not in to(KIM, said(on_the_day(handbook, IN), [text], AT_SIX))


@pytest.mark.parametrize(("first", "text"), [(IN, "what if we're late"), (INSCRIT, "et si on arrive en retard")])
def test_who_only_asks_is_told_and_nobody_else(first: str, text: str, handbook: Handbook) -> None:
    heard = said(on_the_day(handbook, first), [text], AT_SIX)

    assert "18:30" in to(KIM, heard) or "18 h 30" in to(KIM, heard)
    assert to(PRIYA, heard) == ""


def test_who_is_down_for_nothing_has_no_place_kept(handbook: Handbook) -> None:
    assert "kept until" not in to(KIM, said(Rehearsal(handbook), ["running late"], AT_SIX))


@pytest.mark.parametrize(
    ("first", "text", "told"),
    [
        (IN, "we have to leave early sorry", "You stay on the list"),
        (IN, "i can't stay till the end", "You stay on the list"),
        (INSCRIT, "on doit partir plus tôt", "Vous restez sur la liste"),
    ],
)
def test_who_leaves_early_stays_on_the_list(first: str, text: str, told: str, handbook: Handbook) -> None:
    club = on_the_day(handbook, first)
    heard = said(club, [text], AT_SIX)

    assert told in to(KIM, heard)
    assert "3 people" in to(PRIYA, heard)
    assert down(club) == {"dusk-league 09": ("coming", 3)}


@pytest.mark.parametrize(
    ("first", "text", "told"),
    [
        (IN, "can't find you", "we meet at the boathouse. I've told Priya"),
        (IN, "where are you guys", "we meet at the boathouse. I've told Priya"),
        (IN, "nobody is here", "we meet at the boathouse. I've told Priya"),
        (INSCRIT, "on vous trouve pas", "Priya, responsable, est au courant"),
    ],
)
def test_who_cannot_find_the_others_gets_the_place_and_whoever_runs_it_is_told(
    first: str, text: str, told: str, handbook: Handbook
) -> None:
    heard = said(on_the_day(handbook, first), [text], AT_SIX)

    assert told in to(KIM, heard)
    assert "can't find you" in to(PRIYA, heard)


def test_days_before_nobody_is_looked_for(handbook: Handbook) -> None:
    club = Rehearsal(handbook)
    assert "I've told Priya" not in to(KIM, said(club, [DOWN, "where is everyone"], NOON))


@pytest.mark.parametrize(
    ("first", "text", "again"),
    [
        (DOWN, "dont remind me", "remind me"),
        (DOWN, "no reminder needed thanks", "ok remind me after all"),
        (DOWN, "no more reminders please", "actually a reminder would be good"),
        (INSCRITS, "pas besoin de rappel", "rappelle-moi finalement"),
        (INSCRITS, "me rappelez pas", "rappelez-moi"),
    ],
)
def test_reminders_are_dropped_and_had_again(first: str, text: str, again: str, handbook: Handbook) -> None:
    for texts, reminded in (([first, text], False), ([first, text, again], True)):
        club = Rehearsal(handbook)
        said(club, texts, NOON)
        assert bool(club.pass_time(NOON, WEDNESDAY)) == reminded
        assert len(down(club)) == 1


def test_the_wish_for_no_reminder_goes_along_to_another_day(handbook: Handbook) -> None:
    club = Rehearsal(handbook)
    said(club, [DOWN, "no reminder needed", "move us to the 16th"], NOON)
    assert down(club) == {"dusk-league 16": ("coming", 2)}
    assert club.pass_time(NOON, WEDNESDAY + timedelta(days=7)) == []


@pytest.mark.parametrize(
    ("first", "text", "day"),
    [
        (DOWN, "can I do saturday instead of wednesday", "starter-clinic 12"),
        (DOWN, "can we come saturday instead", "starter-clinic 12"),
        (DOWN, "switch us to the clinic", "starter-clinic 12"),
        (DOWN, "move us to the 16th", "dusk-league 16"),
        (DOWN, "switch me to next week", "dusk-league 16"),
        (DOWN, "not this wed, the one after", "dusk-league 16"),
        (INSCRITS, "est-ce qu'on peut venir samedi au lieu de mercredi", "starter-clinic 12"),
        (INSCRITS, "déplace-nous au 16", "dusk-league 16"),
        (INSCRITS, "change-nous pour la semaine prochaine", "dusk-league 16"),
    ],
)
def test_a_sign_up_goes_to_another_day_with_the_same_people(
    first: str, text: str, day: str, handbook: Handbook
) -> None:
    club = Rehearsal(handbook)
    said(club, [first, text], NOON)

    assert down(club) == {day: ("coming", 2)}


def test_a_move_may_tell_another_number(handbook: Handbook) -> None:
    club = Rehearsal(handbook)
    said(club, [DOWN, "can we do saturday instead of wednesday, 3 of us"], NOON)
    assert down(club) == {"starter-clinic 12": ("coming", 3)}


def test_a_move_that_was_no_good_moves_on(handbook: Handbook) -> None:
    club = Rehearsal(handbook)
    said(club, [DOWN, "can I do saturday instead of wednesday", "no, wednesday"], NOON)
    assert down(club) == {"dusk-league 09": ("coming", 2)}


def test_nothing_is_given_up_where_the_other_day_is_full(handbook: Handbook) -> None:
    club = Rehearsal(small(handbook, 3))
    said(club, ["in for saturday, 3 of us"], NOON, sender=ANA)
    heard = said(club, [DOWN, "can we do saturday instead of wednesday"], NOON)

    assert "is full. Shall I put you on its waiting list, 2 people?" in to(KIM, heard)
    assert down(club) == {"dusk-league 09": ("coming", 2)}
    said(club, ["yes"], NOON + timedelta(minutes=2))
    assert down(club) == {"dusk-league 09": ("coming", 2), "starter-clinic 12": ("waiting", 2)}


def test_a_move_frees_the_places_for_who_waits(handbook: Handbook) -> None:
    club = Rehearsal(small(handbook, 2))
    said(club, ["in for saturday, 2 of us"], NOON)
    said(club, ["in for saturday"], NOON, sender=ANA)
    heard = said(club, ["move us to wednesday"], NOON + timedelta(minutes=5))

    assert down(club) == {"dusk-league 09": ("coming", 2)}
    assert "a place for you at starter clinic" in to(ANA, heard)


def test_a_day_without_an_event_names_the_nearest_and_changes_nothing(handbook: Handbook) -> None:
    club = Rehearsal(handbook)
    heard = said(club, [DOWN, "move us to friday"], NOON)

    assert "Nearest is starter clinic, Sat 12 June 10:30. You're still down for Dusk League" in to(KIM, heard)
    assert down(club) == {"dusk-league 09": ("coming", 2)}


@pytest.mark.parametrize("text", ["change us to 4", "change my name to Ana", "Ana comes instead of me"])
def test_what_changes_people_moves_nothing(text: str, handbook: Handbook) -> None:
    club = Rehearsal(handbook)
    said(club, [DOWN, text], NOON)
    assert list(down(club)) == ["dusk-league 09"]


def test_a_place_that_is_given_away_goes_past_nobody_who_waits(handbook: Handbook) -> None:
    club = Rehearsal(small(handbook, 1))
    said(club, ["in for saturday"], NOON)
    said(club, ["in for saturday"], NOON, sender=LUC)
    heard = said(club, ["give my place to Ana"], NOON + timedelta(minutes=2))
    assert "Ana has your place" in to(KIM, heard)
    assert to(LUC, heard) == ""
    heard = said(club, ["give my place to Bob"], NOON + timedelta(minutes=4), sender=LUC)
    assert "Bob has your turn on the waiting list" in to(LUC, heard)
    assert down(club, LUC) == {"starter-clinic 12": ("waiting", 1)}


@pytest.mark.parametrize(
    ("texts", "days", "people"),
    [
        (["in for every wednesday in june"], ["09", "16", "23", "30"], 1),
        (["put us down for every league in june, 2 of us"], ["09", "16", "23", "30"], 2),
        (["in for the next three wednesdays"], ["09", "16", "23"], 1),
        (["in for league, not this wed, the one after"], ["16"], 1),
        (["je viens tous les mercredis de juin"], ["09", "16", "23", "30"], 1),
        (["inscris-moi pour les trois prochains mercredis"], ["09", "16", "23"], 1),
        (["in for every wednesday in june", "cancel every wednesday in june"], [], 0),
    ],
)
def test_several_days_are_answered_to_in_one_text(
    texts: list[str], days: list[str], people: int, handbook: Handbook
) -> None:
    club = Rehearsal(handbook)
    said(club, texts, NOON)
    assert down(club) == {f"dusk-league {day}": ("coming", people) for day in days}


def test_several_events_in_one_text_are_each_answered_to(handbook: Handbook) -> None:
    club = Rehearsal(handbook)
    said(club, ["in for league wed and the work morning sat"], NOON)
    assert down(club) == {"dusk-league 09": ("coming", 1), "work-morning 26": ("coming", 1)}


def test_not_this_one_but_the_next_tells_of_it_to_who_is_down_for_nothing(handbook: Handbook) -> None:
    club = Rehearsal(handbook)
    assert "Wed 16 June" in to(KIM, said(club, ["not this wed, the one after"], NOON))
    assert down(club) == {}


@pytest.mark.parametrize(
    ("texts", "told", "note"),
    [
        (["28 pupils on 18 July, can we come"], "Please text me their ages too", "28 people, Sun 18 July"),
        (["scout troop of 15 next Tuesday evening"], "Callum", "15 people, Tue 15 June"),
        (["28 pupils on 18 July", "they're 9 to 11"], "aged 9-11", "28 people, Sun 18 July, aged 9-11"),
        (["do you take school groups", "24 kids, 18 july, ages 8-10"], "Callum", "24 people, Sun 18 July, aged 8-10"),
        (["in for league wed", "a class of 28 on 18 july"], "Callum", "28 people, Sun 18 July"),
        (["une classe de 28 élèves le 18 juillet, on peut venir?"], "quel|âge|age", "28 people, Sun 18 July"),
        (["groupe scout de 15 jeunes mardi prochain en soirée"], "Callum", "15 people, Tue 8 June"),
    ],
)
def test_a_groups_visit_goes_to_whoever_arranges_visits(
    texts: list[str], told: str, note: str, handbook: Handbook
) -> None:
    club = Rehearsal(handbook)
    heard = said(club, texts, NOON)

    assert any(one in to(KIM, heard) for one in told.split("|"))
    assert note in to(CALLUM, heard)
    listed = to(ODILE, said(club, ["open questions"], NOON + timedelta(minutes=5), sender=ODILE))
    assert "Q1 VISITE" in listed


@pytest.mark.parametrize(
    "text", ["do you take school groups", "can a group of 12 just show up", "8 of us for the clinic sat"]
)
def test_what_is_no_visit_goes_to_nobody(text: str, handbook: Handbook) -> None:
    assert to(CALLUM, said(Rehearsal(handbook), [text], NOON)) == ""


@pytest.mark.parametrize(
    ("texts", "told"),
    [
        ([DOWN, "where do we meet"], "Dusk League: we meet at the boathouse"),
        ([DOWN, "what time should we be there"], "from 17:45"),
        ([DOWN, "is there parking there"], "40 spaces"),
        ([DOWN, "what's it cost for us three"], "CA$15"),
        ([DOWN, "can my dog come"], "Dusk League, Wed 9 June 18:15: no dogs there"),
        ([DOWN, "who runs it"], "Priya runs Dusk League"),
        (["in for sat", "who's the director"], "Callum runs starter clinic"),
        (["who runs the league"], "Priya runs Dusk League"),
        ([INSCRITS, "mon chien peut-il venir"], "pas de chiens"),
        ([INSCRITS, "c'est qui le responsable"], "Priya s'en occupe"),
    ],
)
def test_after_a_sign_up_questions_are_about_that_event(texts: list[str], told: str, handbook: Handbook) -> None:
    assert told in to(KIM, said(Rehearsal(handbook), texts, NOON))
