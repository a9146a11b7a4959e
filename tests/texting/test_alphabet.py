"""The 7-bit alphabet of text messages, held against the published table and against an independent package."""

import codecs

import gsm0338
import pytest

from clubbot.texting.alphabet import (
    PLAIN_LETTERS,
    PLAIN_MARKS,
    Coding,
    coding,
    plain_letters,
    plain_marks,
    septets,
    units,
)

# 3GPP TS 23.038, 6.2.1 and 6.2.1.1; READ in the Unicode Consortium's mapping GSM0338.TXT v1.1 (standards.md 1.1).
ONE_SEPTET = (
    "@£$¥èéùìòÇ\nØø\rÅåΔ_ΦΓΛΩΠΨΣΘΞÆæßÉ¤¡ÄÖÑÜ§¿äöñüà"
    " !\"#%&'()*+,-./0123456789:;<=>?"
    "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
    "abcdefghijklmnopqrstuvwxyz"
)
TWO_SEPTETS = "\f^{}\\[~]|€"
ESCAPE = "\x1b"
BASIC_PLANE = [chr(point) for point in range(0x10000)]


def by_gsm0338(letter: str) -> int | None:
    try:
        return len(gsm0338.Codec().encode(letter)[0])
    except UnicodeEncodeError:
        return None


@pytest.mark.parametrize(("size", "letters", "how_many"), [(1, ONE_SEPTET, 127), (2, TWO_SEPTETS, 10)])
def test_the_alphabet_is_the_published_one_and_nothing_else(size: int, letters: str, how_many: int) -> None:
    expected = set(letters)
    actual = {letter for letter in BASIC_PLANE if septets(letter) == size}

    assert how_many == len(letters)
    assert expected == actual


def test_gsm0338_agrees_on_the_whole_basic_plane_but_for_the_escape() -> None:
    # gsm0338 1.1.0 takes the bare escape for a letter; 3GPP TS 23.038, 6.2.1 makes it the step to the extension table.
    expected = [ESCAPE]
    actual = [letter for letter in BASIC_PLANE if septets(letter) != by_gsm0338(letter)]

    assert expected == actual
    assert septets(ESCAPE) is None


# GSM0338.TXT v1.1 names "ç" for 0x09 in a comment only; the letter there is "Ç" (standards.md 1.1, "ç trap", READ).
def test_a_small_c_cedilla_is_never_sent_as_the_capital_one() -> None:
    assert septets("ç") is None
    assert coding("ça") == "UCS-2"
    with pytest.raises(UnicodeEncodeError):
        "ç".encode("gsm23.038")


# 3GPP TS 23.038, 6.2.1 and 6.2.1.1; READ in GSM0338.TXT v1.1 (standards.md 1.1, "codes worth a unit test").
@pytest.mark.parametrize(
    ("letter", "code"),
    [
        ("@", "00"), ("$", "02"), ("Ç", "09"), ("_", "11"), ("¡", "40"), ("¿", "60"), ("ä", "7b"), ("à", "7f"),
        ("\f", "1b0a"), ("^", "1b14"), ("{", "1b28"), ("}", "1b29"), ("\\", "1b2f"),
        ("[", "1b3c"), ("~", "1b3d"), ("]", "1b3e"), ("|", "1b40"), ("€", "1b65"),
    ],
)  # fmt: skip
def test_a_letter_has_its_published_code(letter: str, code: str) -> None:
    expected = bytes.fromhex(code)
    actual = codecs.encode(letter, "gsm23.038")

    assert expected == actual


# 3GPP TS 23.038, 6.2.1; READ in GSM0338.TXT v1.1 (standards.md 1.1, rows "French in", "French out", "not in the alphabet").
@pytest.mark.parametrize(
    ("letters", "expected"),
    [
        ("éèùàÉÇüöäæÆñ", "7-bit"),
        ("êëâçîïôûœŒÀÈÊÎÔÛÙÂ", "UCS-2"),
        ("`\t\u00a0’‘“”–—…«»°²", "UCS-2"),
        ("\u0300\u0301\u0302\u0308\u0327", "UCS-2"),
        ("🥏⛈", "UCS-2"),
    ],
)
def test_one_letter_decides_the_alphabet_of_the_whole_text(letters: str, expected: Coding) -> None:
    assert all(expected == coding(f"Hole 7 {letter} is open") for letter in letters)


# standards.md 1.1, READ: every combining mark is outside the alphabet.
def test_an_e_with_a_combining_accent_is_no_letter_of_the_alphabet() -> None:
    assert coding("ferm\u00e9") == "7-bit"
    assert coding("ferme\u0301") == "UCS-2"


@pytest.mark.parametrize(
    ("text", "alphabet", "expected"),
    [
        ("", "7-bit", 0),
        ("Hole 7", "7-bit", 6),
        ("5 €", "7-bit", 4),
        ("ê", "UCS-2", 1),
        ("🥏", "UCS-2", 2),  # The Unicode Standard, D91 (UTF-16): beyond the basic plane two units. MEMORY
        ("\ud83e", "UCS-2", 1),
    ],
)
def test_a_text_is_as_long_as_its_units(text: str, alphabet: Coding, expected: int) -> None:
    actual = units(text, alphabet)

    assert expected == actual


def test_an_empty_text_needs_no_more_than_the_7_bit_alphabet() -> None:
    assert coding("") == "7-bit"


@pytest.mark.parametrize("twins", [PLAIN_MARKS, PLAIN_LETTERS])
def test_only_what_is_outside_the_alphabet_has_a_plain_twin_and_the_twin_is_inside(twins: dict[str, str]) -> None:
    assert all(coding(letter) == "UCS-2" for letter in twins)
    assert all(coding(twin) == "7-bit" for twin in twins.values())


# How marks and letters are texted plainly: common practice, no source.
@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Hole 7 is closed – don’t use tee 8…", "Hole 7 is closed - don't use tee 8..."),
        ("“open” «ouvert»", '"open" "ouvert"'),
        ("18\u00a0h\t30", "18 h 30"),
        ("nothing to do", "nothing to do"),
        ("cœur, forêt, ça", "cœur, forêt, ça"),
    ],
)
def test_marks_become_their_plain_twins_and_letters_stay(text: str, expected: str) -> None:
    actual = plain_marks(text)

    assert expected == actual


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("forêt, ça, Noël, cœur", "foret, cela, Noel, coeur"),
        ("À BIENTÔT, ŒUVRE", "A BIENTOT, OeUVRE"),
        ("fermé, à, où, É, Ç", "fermé, à, où, É, Ç"),
    ],
)
def test_letters_outside_the_alphabet_lose_their_accents_and_the_others_keep_them(text: str, expected: str) -> None:
    actual = plain_letters(text)

    assert expected == actual


def test_a_word_that_is_none_without_its_cedilla_is_said_otherwise() -> None:
    assert (
        plain_letters("si ça change, ça se dit: reçu, façade. Ça va")
        == "si cela change, cela se dit: recu, facade. Ça va"
    )
