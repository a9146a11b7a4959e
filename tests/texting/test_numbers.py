"""Phone numbers are read to E.164 and shown to nobody else. Every number here is kept for fiction."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from clubbot.texting.numbers import mask_all, masked, to_e164

unhurried = settings(deadline=None)  # a slow machine is no fault
SEVEN_DIGITS = re.compile(r"\d{7}")
DIGITS_AND_BETWEEN = st.text(st.sampled_from("0123456789 .-()+/\n–x") | st.characters(), max_size=60)


@pytest.mark.parametrize(
    "written",
    [
        "9025550142",
        "902-555-0142",
        "(902) 555-0142",
        "902.555.0142",
        "1 902 555 0142",
        "19025550142",
        "+1 902 555 0142",
        "+19025550142",
        "tel:+1-902-555-0142",  # RFC 3966, 3: the tel URI. MEMORY
    ],
)
def test_a_national_number_is_read_however_it_is_written(written: str) -> None:
    expected = "+19025550142"
    actual = to_e164(written, "CA")

    assert expected == actual


# ATIS, 555 NXX Line Numbers: 555-0100 to 555-0199 are kept for fiction in every area code. MEMORY
@pytest.mark.parametrize("line", range(100, 200))
def test_the_numbers_kept_for_fiction_are_read(line: int) -> None:
    expected = f"+190255501{line % 100:02}"
    actual = to_e164(f"902-555-0{line}", "CA")

    assert expected == actual


# 011 is the way out of North America, 00 that of France (ITU-T E.164 supplement on dialling procedures). MEMORY
# The numbers: Ofcom, Telephone numbers for drama use; Arcep, Plan national de numérotation, 01 99 00. MEMORY
@pytest.mark.parametrize(
    ("written", "country", "expected"),
    [
        ("+44 20 7946 0958", "CA", "+442079460958"),
        ("011 44 20 7946 0958", "CA", "+442079460958"),
        ("020 7946 0958", "GB", "+442079460958"),
        ("+33 1 99 00 12 34", "CA", "+33199001234"),
        ("01 99 00 12 34", "FR", "+33199001234"),
        ("00 1 902 555 0142", "FR", "+19025550142"),
    ],
)
def test_a_number_of_another_country_is_read(written: str, country: str, expected: str) -> None:
    actual = to_e164(written, country)

    assert expected == actual


@pytest.mark.parametrize(
    "written",
    [
        "",
        " ",
        "hello",
        "+",
        "🥏",
        "911",
        "72345",  # short codes of carriers have five or six digits: common practice, no source
        "123456",
        "555-0142",  # no area code
        "902-555-014",
        "902-555-01423",
        "000-000-0000",
        "902-155-0142",  # North American Numbering Plan, NXX-NXX-XXXX: no exchange begins with 1. MEMORY
        "+1",
        "+999 123 456 789",
        "9" * 300,
        "Club Events",
    ],
)
def test_what_is_no_number_is_not_read(written: str) -> None:
    assert to_e164(written, "CA") is None


def test_a_national_number_of_nowhere_is_not_read() -> None:
    assert to_e164("902-555-0142", "ZZ") is None


# ITU-T E.164, 6: at most 15 digits, and no country code begins with 0. MEMORY
@unhurried
@given(DIGITS_AND_BETWEEN | st.from_regex(r"\+?1?[2-9]\d{2}[ -]?555[ -]?01\d{2}", fullmatch=True))
def test_what_is_read_is_e164_and_reads_as_itself(written: str) -> None:
    number = to_e164(written, "CA")

    assert number is None or (re.fullmatch(r"\+[1-9]\d{1,14}", number, re.ASCII) and number == to_e164(number, "CA"))


@pytest.mark.parametrize(
    ("number", "expected"),
    [("+19025550142", "…42"), ("902-555-0142", "…42"), ("72345", "…45"), ("911", "…"), ("", "…"), ("web chat", "…")],
)
def test_a_masked_number_shows_its_end_where_it_is_long_enough(number: str, expected: str) -> None:
    actual = masked(number)

    assert expected == actual


@unhurried
@given(DIGITS_AND_BETWEEN)
def test_a_masked_number_shows_at_most_two_digits(number: str) -> None:
    assert sum(letter.isdigit() for letter in masked(number)) <= 2


def test_masked_numbers_do_not_show_how_long_they_were() -> None:
    assert masked("+19025550142") == masked("+442079460942")


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("call 902-555-0142 please", "call …42 please"),
        ("found: (902) 555-0142.", "found: (…42."),
        ("+19025550142 or +44 20 7946 0958", "…42 or …58"),
        ("902.555.0142", "…42"),
        ("902–555–0142", "…42"),
        ("902\u2011555\u20110142", "…42"),
        ("9025550142x3", "…42x3"),
        ("my number is 5550142", "my number is …42"),
    ],
)
def test_every_number_in_a_text_is_masked(text: str, expected: str) -> None:
    actual = mask_all(text)

    assert expected == actual


@pytest.mark.parametrize(
    "text",
    [
        "",
        "Hole 12, 250 ft, par 3",
        "open 6:30 - 21:00",
        "rounds of 54 58 61",
        "hole 3 ... 4",
        "$10 a month",
        "text 72345",
    ],
)
def test_a_text_without_a_number_stays_as_it_is(text: str) -> None:
    actual = mask_all(text)

    assert text == actual


@unhurried
@given(DIGITS_AND_BETWEEN)
def test_no_run_of_seven_digits_is_left(text: str) -> None:
    assert SEVEN_DIGITS.search(mask_all(text)) is None
