"""Where one text says several things. The texts are our own; there is no outside source for them."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from clubbot.handbook.book import Handbook
from clubbot.trying import try_one
from clubbot.understanding.splitting import clauses, cuts, more_than_anybody_types, sentences, without_rows
from tests.builders import KIM
from tests.conftest import NOON

unhurried = settings(deadline=None)  # a slow machine is no fault


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("is it open", ["is it open"]),
        ("Is it open? Can I bring my dog?", ["Is it open?", "Can I bring my dog?"]),
        ("Is it open?can i bring my dog", ["Is it open?", "can i bring my dog"]),
        ("We are new. Where do we park", ["We are new", "Where do we park"]),
        ("cool... where do i park", ["cool", "where do i park"]),
        ("where do i park\nis it free", ["where do i park", "is it free"]),
        ("open today - and is it busy", ["open today", "and is it busy"]),
        ("open today — is it busy", ["open today", "is it busy"]),
        ("great! see you", ["great!", "see you"]),
        ("it's at 10.30 right", ["it's at 10.30 right"]),
        ("a par-3 hole", ["a par-3 hole"]),
        ("C'est ouvert? Merci!", ["C'est ouvert?", "Merci!"]),
        ("???", []),
        ("", []),
        ("🥏", []),
    ],
)
def test_a_text_is_cut_at_the_ends_of_its_sentences(text: str, expected: list[str]) -> None:
    assert sentences(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("is it open and can i bring my dog", ["is it open", "can i bring my dog"]),
        ("is it open, can i bring my dog", ["is it open", "can i bring my dog"]),
        ("is it open and also is it free", ["is it open", "is it free"]),
        ("is it free or do we pay", ["is it free", "do we pay"]),
        ("it's far but is it worth it", ["it's far", "is it worth it"]),
        ("c'est ouvert et on peut venir avec un chien", ["c'est ouvert", "on peut venir avec un chien"]),
        ("c'est ouvert mais est-ce gratuit", ["c'est ouvert", "est-ce gratuit"]),
        ("is it open & is it free", ["is it open", "is it free"]),
        ("my dog and i", ["my dog i"]),
        ("bring water, snacks, shoes", ["bring water snacks shoes"]),
        ("Is it open? We're new and have no discs", ["Is it open?", "We're new", "have no discs"]),
        ("the sandbox is open", ["the sandbox is open"]),
        ("", []),
    ],
)
def test_a_sentence_is_cut_at_its_joining_words_but_never_down_to_one_word(text: str, expected: list[str]) -> None:
    assert clauses(text) == expected


def test_a_text_is_cut_in_two_at_every_place_where_it_may_say_two_things() -> None:
    found = cuts("is it open? can i bring my dog and is it free")

    assert ("is it open", "can i bring my dog and is it free") in found
    assert ("is it open? can i bring my dog", "is it free") in found


@pytest.mark.parametrize("text", ["is it open", "yes and no", "dogs, cats", "", "open?", "and is it open"])
def test_nothing_is_cut_off_that_is_a_single_word(text: str) -> None:
    assert cuts(text) == []


def test_a_long_list_is_not_cut_without_end() -> None:
    assert len(cuts(", ".join(["is it open"] * 40))) <= 8


@given(st.text(max_size=300))
@unhurried
def test_any_text_at_all_can_be_cut_and_no_letter_is_made_up(text: str) -> None:
    pieces = [*sentences(text), *clauses(text)]
    sides = [side for cut in cuts(text) for side in cut]

    assert all(piece == piece.strip() for piece in pieces)
    assert set("".join((*pieces, *sides))) <= set(text) | {" "}


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("the 4th " * 200, "the 4th " * 24),
        ("in for wed " + "? " * 150 + "thanks", "in for wed " + "? " * 48 + "thanks"),
        ("a b " * 100 + "stop", "a b " * 24 + "stop"),
        ("yes yes yes yes yes yes", "yes yes yes yes yes yes"),  # as people write
    ],
)
def test_what_stands_there_over_and_over_is_read_a_few_times(text: str, read: str) -> None:
    assert without_rows(text) == read


def test_a_row_is_still_seen_to_be_one(handbook: Handbook) -> None:
    turned = try_one("from " + "the 4th the 5th " * 90 + "x9", handbook, KIM, NOON).turned
    assert not {"rsvp-yes", "rsvp-no", "rsvp-change"} & set(turned.served)


@pytest.mark.parametrize(
    ("text", "more"),
    [
        ("we came by the course on sunday and had a lovely time with the kids. " * 20, False),
        ("x7 ? # k! " * 40, True),  # hardly a word among them
        ("a b c d e f g h " * 60, True),
        ("👍" * 60, False),
        ("word " * 330, True),  # 1,650 letters
    ],
)
def test_more_than_anybody_types_is_told_by_letters_and_by_words(text: str, more: bool) -> None:
    assert more_than_anybody_types(text) == more
