"""Where a text is cut: the published lengths, worked counts, and what holds of every text."""

from itertools import accumulate, pairwise

import gsm0338
import pytest
import regex
from hypothesis import given, settings
from hypothesis import strategies as st

from clubbot.texting.alphabet import PLAIN_MARKS, Coding, coding, units
from clubbot.texting.parts import as_sent, count, split

DISC = "\U0001f94f"  # one letter, two 16-bit units

# 3GPP TS 23.040 v18, 9.2.3.24.1, READ (standards.md 1.2): a single part, and each part of several.
SINGLE: dict[Coding, int] = {"7-bit": 160, "UCS-2": 70}
JOINED: dict[Coding, int] = {"7-bit": 153, "UCS-2": 67}

# What texts are made of, with all that is awkward: escapes, surrogate pairs, marks on letters, joined emoji, long heaps.
GRAPHEMES = {"accent": "e\u0301", "skin tone": "👍🏽", "flag": "🇨🇦", "family": "👨‍👩‍👧‍👦"}
PLAIN_PIECES = st.sampled_from(["a", "Hole 7 ", "é", "€", "[", "]", "\r\n", "\f", "b" * 50])
ODD_PIECES = st.sampled_from(["ê", DISC, "a" + "\u0301" * 80, "…", "«", "œ", "° ", *GRAPHEMES.values()])
texts = (
    st.lists(PLAIN_PIECES, max_size=300).map("".join)
    | st.lists(PLAIN_PIECES | ODD_PIECES | st.characters(), max_size=150).map("".join)
    | st.lists(ODD_PIECES, min_size=20, max_size=60).map("".join)
)
unhurried = settings(deadline=None)  # a slow machine is no fault


# standards.md 1.3, CALC: smsutil 1.1.3, split-sms 0.1.7 and a reckoning by hand agree on every row.
@pytest.mark.parametrize(
    ("text", "alphabet", "expected"),
    [
        pytest.param("a" * 160, "7-bit", [160], id="1"),
        pytest.param("a" * 161, "7-bit", [153, 8], id="2"),
        pytest.param("a" * 306, "7-bit", [153, 153], id="3, two full"),
        pytest.param("a" * 307, "7-bit", [153, 153, 1], id="3, one more"),
        pytest.param("€" * 80, "7-bit", [160], id="4, single"),
        pytest.param("€" * 81, "7-bit", [152, 10], id="4, one more"),
        pytest.param("a" * 158 + "€", "7-bit", [160], id="5, single"),
        pytest.param("a" * 159 + "€", "7-bit", [153, 8], id="5, one more"),
        pytest.param("a" * 152 + "€" + "a" * 152, "7-bit", [152, 153, 1], id="6, an escape on the cut"),
        pytest.param("Ç" * 160, "7-bit", [160], id="7, capital"),
        pytest.param("ç" * 70, "UCS-2", [70], id="7, small"),
        pytest.param("ç" * 71, "UCS-2", [67, 4], id="7, one more"),
        pytest.param("ê" * 134, "UCS-2", [67, 67], id="8, two full"),
        pytest.param("ê" * 135, "UCS-2", [67, 67, 1], id="8, one more"),
        pytest.param("ê" * 66 + DISC + "ê" * 66, "UCS-2", [66, 67, 1], id="9, a surrogate pair on the cut"),
        pytest.param(DISC * 35, "UCS-2", [70], id="10, single"),
        pytest.param(DISC * 36, "UCS-2", [66, 6], id="10, one more"),
        pytest.param("Le parcours est fermé jusqu'à dimanche, désolé. Répondez AIDE.", "7-bit", [62], id="11"),
        pytest.param("Parcours fermé. Répondez ARRÊT pour arrêter les messages.", "UCS-2", [57], id="12"),
        pytest.param("Hole 7 is closed – don’t use tee 8.", "UCS-2", [35], id="13"),
        pytest.param(
            "Club: Course CLOSED today (lightning). Reopens no sooner than 30 min after last thunder. "
            "Reply HELP for help, STOP to opt out.",
            "7-bit", [126], id="14",
        ),
        pytest.param('{"status":"open","tees":[1,2,3]}', "7-bit", [36], id="15"),
    ],
)  # fmt: skip
def test_a_text_is_cut_as_worked_out_beforehand(text: str, alphabet: Coding, expected: list[int]) -> None:
    actual = [units(part, alphabet) for part in split(text)]

    assert expected == actual
    assert alphabet == coding(text)
    assert len(expected) == count(text)


def test_an_empty_text_has_one_empty_part() -> None:
    assert split("") == ("",)


@unhurried
@given(texts)
def test_joined_parts_give_the_text_again(text: str) -> None:
    actual = "".join(split(text))

    assert text == actual


@unhurried
@given(texts)
def test_every_part_fits_and_none_of_several_is_empty(text: str) -> None:
    parts, alphabet = split(text), coding(text)
    limit = SINGLE[alphabet] if len(parts) == 1 else JOINED[alphabet]

    assert all(units(part, alphabet) <= limit for part in parts)
    assert text == "" or all(parts)


@unhurried
@given(texts)
def test_every_part_can_be_read_alone(text: str) -> None:
    # 3GPP TS 23.040, 9.2.3.24.1, READ: no cut through an escape sequence; the same for surrogate pairs (MEMORY).
    for part in split(text):
        if coding(text) == "7-bit":
            codec = gsm0338.Codec()
            octets = codec.encode(part)[0]
            assert not octets.endswith(b"\x1b")
            assert part == codec.decode(octets)[0]
        else:
            assert part == part.encode("utf-16-be").decode("utf-16-be")


@unhurried
@given(texts)
def test_no_grapheme_is_cut_unless_it_is_larger_than_a_part(text: str) -> None:
    cuts = set(accumulate(len(part) for part in split(text)[:-1]))
    edges = [0, *(found.end() for found in regex.finditer(r"\X", text))]
    cut_through = [text[start:end] for start, end in pairwise(edges) if any(start < cut < end for cut in cuts)]

    assert all(units(grapheme, coding(text)) > JOINED[coding(text)] for grapheme in cut_through)


@unhurried
@given(texts)
def test_there_are_never_fewer_parts_than_the_units_need(text: str) -> None:
    alphabet = coding(text)
    size = units(text, alphabet)
    least = 1 if size <= SINGLE[alphabet] else -(-size // JOINED[alphabet])

    assert least <= count(text)


@pytest.mark.parametrize("grapheme", GRAPHEMES.values(), ids=GRAPHEMES)
def test_a_grapheme_on_the_cut_goes_into_the_next_part_whole(grapheme: str) -> None:
    one_unit_short = "ê" * (68 - units(grapheme, "UCS-2"))
    expected = (one_unit_short, grapheme + "ê" * 10)
    actual = split(one_unit_short + grapheme + "ê" * 10)

    assert expected == actual


def test_a_grapheme_larger_than_a_part_is_cut_since_it_must_be() -> None:
    expected = [67, 14]
    actual = [len(part) for part in split("a" + "\u0301" * 80)]

    assert expected == actual


@pytest.mark.parametrize("shorten_letters", [True, False])
@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Hole 7 is closed – don’t use tee 8.", "Hole 7 is closed - don't use tee 8."),
        ("Reopens at 5…", "Reopens at 5..."),
        ("18\u00a0h\u202f30 « ouvert »", '18 h 30 " ouvert "'),
    ],
)
def test_typographic_marks_go_out_plain(text: str, expected: str, shorten_letters: bool) -> None:
    actual = as_sent(text, shorten_letters=shorten_letters)

    assert expected == actual


@pytest.mark.parametrize("letter", "êëâçîïôûœŒÀÈÊÎÔÛÙÂ")
def test_letters_keep_their_accents_where_no_part_is_saved(letter: str) -> None:
    expected = f"Parcours ferm{letter}."
    actual = as_sent(expected, shorten_letters=True)

    assert expected == actual


@pytest.mark.parametrize("letter", "êëâçîïôûœŒÀÈÊÎÔÛÙÂ")
def test_letters_go_out_plain_where_a_part_is_saved(letter: str) -> None:
    text = letter + "a" * 100
    actual = as_sent(text, shorten_letters=True)

    assert actual.endswith("a" * 100)
    assert coding(actual) == "7-bit"
    assert (count(text), count(actual)) == (2, 1)


def test_letters_keep_their_accents_where_nobody_asked_to_shorten() -> None:
    expected = "ê" * 100
    actual = as_sent(expected, shorten_letters=False)

    assert expected == actual


@pytest.mark.parametrize("shorten_letters", [True, False])
def test_a_mark_stays_where_its_plain_twin_would_cost_a_part(shorten_letters: bool) -> None:
    expected = DISC + "ê" * 67 + "…"
    actual = as_sent(expected, shorten_letters=shorten_letters)

    assert expected == actual
    assert count(actual) == 1


@unhurried
@given(texts, st.booleans())
def test_a_text_never_takes_more_parts_for_being_made_plain(text: str, shorten_letters: bool) -> None:
    assert count(as_sent(text, shorten_letters=shorten_letters)) <= count(text)


@unhurried
@given(texts.filter(lambda text: not set(text) & set(PLAIN_MARKS)))
def test_a_text_without_marks_is_changed_only_to_save_a_part(text: str) -> None:
    actual = as_sent(text, shorten_letters=True)

    assert text == actual or count(actual) < count(text)


@unhurried
@given(texts, st.booleans())
def test_a_text_made_plain_twice_is_made_plain_once(text: str, shorten_letters: bool) -> None:
    expected = as_sent(text, shorten_letters=shorten_letters)
    actual = as_sent(expected, shorten_letters=shorten_letters)

    assert expected == actual
