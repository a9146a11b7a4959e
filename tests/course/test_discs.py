"""Lost and found discs: what a report says of one, and which reports fit each other."""

from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clubbot.course.disc_words import DiscWords, disc_words
from clubbot.course.discs import ENOUGH, KEPT, DiscReport, fitting, likeness

MONDAY = datetime(2027, 6, 7, 12, tzinfo=UTC)


def lost(text: str, hole: int | None = None, at: datetime = MONDAY, number: int = 1) -> DiscReport:
    return DiscReport(number, hole, disc_words(text), at)


def found(text: str, hole: int | None = None, at: datetime = MONDAY + timedelta(days=2)) -> DiscReport:
    return DiscReport(100, hole, disc_words(text), at)


def fits(one: DiscReport, other: DiscReport) -> bool:
    return fitting(other, [one]) == [one]


# What is read


@pytest.mark.parametrize(
    ("text", "colours"),
    [
        ("lost a red disc", {"red"}),
        ("perdu un disque rouge", {"red"}),
        ("found a dark blue putter", {"dark blue"}),
        ("trouvé un putter bleu foncé", {"dark blue"}),
        ("light blue driver", {"light blue"}),
        ("c'est un bleu pâle", {"light blue"}),
        ("navy putter", {"dark blue"}),
        ("glow in the dark putter", {"glow"}),
        ("driver orange fluo", {"neon orange"}),
        ("neon orange driver", {"neon orange"}),
        ("a swirly mid", {"swirled"}),
        ("my tie-dye driver", {"swirled"}),
        ("blue or green, not sure", {"blue", "green"}),
        ("un disque noir et blanc", {"black", "white"}),
        ("bleu-vert putter", {"blue", "green"}),
        ("vert foncé / dark green", {"dark green"}),
        ("Red, maybe orange", {"red", "orange"}),
        ("is there any red disc in the box?", {"red"}),
        ("lost my disc", set()),
    ],
)
def test_colours_are_one_set_for_both_languages(text: str, colours: set[str]) -> None:
    assert disc_words(text).colours == colours


@pytest.mark.parametrize(
    ("text", "colours"),
    [
        ("found a purpel disc", {"purple"}),
        ("its ornage", {"orange"}),
        ("i left a yelow one", {"yellow"}),
        ("blanck putter", {"black"}),
        ("un driver rogue", set()),
        # one letter beside a colour, and none: rough, while, back, golf, pine, range
        ("lost in the rough a while back at the golf range", set()),
        ("perdu hier soir sur la route", set()),
    ],
)
def test_a_slip_in_a_colour_is_mended_but_a_real_word_is_none(text: str, colours: set[str]) -> None:
    assert disc_words(text).colours == colours


@pytest.mark.parametrize(
    ("text", "colours"),
    [
        ("red driver by the white pine on 14", {"red"}),
        ("white disc lost near the white pine", {"white"}),
        ("putter jaune près du pin blanc", {"yellow"}),
        ("perdu derrière la maison jaune un disque mauve", {"purple"}),
        ("landed past the yellow canoe", set()),
        ("my red disc went in the water by the blue tees", {"red"}),
        ("green disc lost on the green behind basket 4", {"green"}),
        ("red driver, name in black sharpie: KIM", {"red"}),
        ("driver rouge, KIM écrit au feutre noir", {"red"}),
        ("driver rose, son nom Maya est écrit en noir", {"pink"}),
        ("il fait noir, perdu mon putter blanc", {"white"}),
        ("it's white, not yellow", {"white"}),
        ("found one that says GREEN on it, its red", {"red"}),
        ("is hole 4 clear? lost a red disc", {"red"}),
    ],
)
def test_the_colour_of_something_else_is_not_the_discs(text: str, colours: set[str]) -> None:
    assert disc_words(text).colours == colours


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("a red driver", "driver"),
        ("fairway driver", "driver"),
        ("a distance driver", "driver"),
        ("blue mid", "mid-range"),
        ("mid range", "mid-range"),
        ("Mid-Range", "mid-range"),
        ("disque mi-distance", "mid-range"),
        ("putter", "putter"),
        ("mon disque d'approche", "putter"),
        ("une approche verte", "putter"),
        ("lost on my approach on 7", None),
        ("lost it mid july", None),
        ("the bus driver found a disc", None),
        ("driver or putter, no idea", None),
        ("pas un driver, c'est un putter", "putter"),
        ("a disc on the fairway", None),
    ],
)
def test_the_kind(text: str, kind: str | None) -> None:
    assert disc_words(text).kind == kind


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("says KIM on the back", {"kim"}),
        ("says kim", {"kim"}),
        ("disque rouge marqué JP", {"jp"}),
        ("red putter with my name Dana on it", {"dana"}),
        ("initials J.B.", {"jb"}),
        ("initials J B", {"jb"}),
        ("no name just initials JB", {"jb"}),
        ("nom Éloïse Gagné dessus", {"éloïse", "gagné"}),
        ("perdu disque vert avec mon nom (Luc Roy) écrit dessus", {"luc", "roy"}),
        ("avec KIM écrit au feutre noir", {"kim"}),
        ("blue driver. Dana on the rim", {"dana"}),
        ("pink driver, dana on the back", {"dana"}),
        ("FOUND RED DRIVER SAYS KIM ON BACK", {"kim"}),
        ('white putter with "Ace" on the back', {"ace"}),
        ("belongs to Dana Reyes", {"dana", "reyes"}),
        ("with the number 31 on it", {"31"}),
        ("says K9 on it", {"k9"}),
        ("says K on it", set()),  # one letter proves nothing
        ("found a disc, no name", set()),
        ("pas de nom dessus", set()),
        ("says nothing on it", set()),
        ("my name is on it", set()),
        ("with scratches on it", set()),
        ("175g written on it", set()),
        ("lost it on hole 7", set()),
        ("hi my name is Dana, I lost a red putter", set()),
        ("someone named Bob found a red disc", set()),
    ],
)
def test_names_and_initials_written_on_it(text: str, names: set[str]) -> None:
    assert disc_words(text).names == names


@pytest.mark.parametrize(
    "text",
    [
        "lost a red zorbex driver",
        "lost my Zorbex on 7",
        "I found Zorbex driver",
        "Zorbex driver, red",
        "j'ai perdu mon driver Zorbex rouge",
        "mon putter zorbex vert",
        "it's called a Zorbex",
    ],
)
def test_a_make_nobody_knows_is_read_from_where_it_stands(text: str) -> None:
    assert disc_words(text).names == {"zorbex"}


@pytest.mark.parametrize(
    "text",
    [
        "red, 902-555-0142 on it",
        "phone number 902 555 0142 written on the back",
        "says 555-0142",
        "marqué (902) 555.0142",
        "with +1 902 555 0142 on it",
        "number 9 0 2 5 5 5 0 1 4 2 on it",
        "numéro 902\u00a0555\u20110142 dessus",
        "says 902\u200b5550142",
        "with ９０２５５５０１４２ on it",
        "the number on it ends in 0142",
        "with 0142 on it",
        "says o142 on it",
        "says 9o2 555 o142",
        "with 902 then 555 then 0142 on it",
        "says 902 five five five 0142",
        "902 on the front, rest of the phone number is 5550142",
        "my number is 0142",
        'it says "902 555 0142"',
    ],
)
def test_a_phone_number_is_never_kept(text: str) -> None:
    assert not any(letter.isdigit() for name in disc_words(text).names for letter in name)


def test_beside_a_phone_number_the_name_is_kept() -> None:
    assert disc_words("putter rouge, marqué Dan 902-555-0142").names == {"dan"}


@given(
    digits=st.text("0123456789", min_size=7, max_size=11),
    marks=st.lists(st.sampled_from(("", " ", "-", ".", ") ", " - ", "/")), min_size=11, max_size=11),
    frame=st.sampled_from(
        ("says {} on it", "red driver, marqué {}", 'with "{}" on the back', "initials {}", "a {} driver")
    ),
)
def test_however_it_is_spaced(digits: str, marks: list[str], frame: str) -> None:
    written = "".join(digit + mark for digit, mark in zip(digits, marks, strict=False))

    assert disc_words(frame.format(written)).names == frozenset()


@given(st.text(max_size=200))
def test_any_text_is_read(text: str) -> None:
    assert isinstance(disc_words(text), DiscWords)


# What fits


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("red driver", "found a red driver"),
        ("driver rouge", "red driver"),
        ("purpel putter", "purple putter"),
        ("disc, says KIM on it", "KIM on the back of a blue putter"),
        ("driver, Éloïse on the rim", "driver, name eloise on it"),
        ("blue or green putter", "green putter"),
        ("initials JB, red", "red, says Jean Boucher"),
        ("red putter, says KIM", "red driver, says KIM"),  # finders mistake the kind, not the name
        ("dark blue driver", "blue driver"),
    ],
)
def test_these_fit(one: str, other: str) -> None:
    assert fits(lost(one), found(other))


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("red disc", "red disc"),  # a colour alone is not enough
        ("red driver", "red putter"),
        ("red driver", "blue driver"),
        ("red driver, says KIM", "blue driver, says KIM"),
        ("blue or green putter", "red putter"),
        ("red driver, says KIM", "red driver, says DANA"),
        ("red zorbex driver, says KIM", "red zorbex driver, says DANA"),
        ("says 902 555 0142 on it", "says 902 555 0142 on it"),
    ],
)
def test_these_do_not_fit(one: str, other: str) -> None:
    assert not fits(lost(one), found(other))


def test_a_conflict_of_colours_is_nothing_at_all() -> None:
    assert likeness(lost("red putter, says KIM", 7), found("green putter, says KIM", 7)) == 0


def test_of_two_red_discs_the_one_of_the_same_kind_comes_alone() -> None:
    putter, driver = lost("red putter", 7, number=1), lost("red driver", 7, number=2)

    assert fitting(found("red driver", 7), [putter, driver]) == [driver]


def test_another_shade_is_the_same_family_but_less() -> None:
    dark = lost("dark blue driver")
    same, plain, light, green = (
        likeness(dark, found(f"{colour} driver")) for colour in ("dark blue", "blue", "light blue", "green")
    )

    assert same == plain > light > green == 0


def test_a_colour_in_between_is_called_either_way() -> None:
    assert fits(lost("turquoise driver", 7), found("blue driver", 7))
    assert likeness(lost("turquoise driver"), found("blue driver")) < likeness(
        lost("blue driver"), found("blue driver")
    )


def test_a_look_conflicts_with_no_colour() -> None:
    assert likeness(lost("glow putter"), found("white putter")) > 0


def test_the_nearer_the_hole_the_likelier() -> None:
    at_7 = lost("red driver", 7)
    same, next_to, unknown, far = (likeness(at_7, found("red driver", hole)) for hole in (7, 8, None, 15))

    assert same > next_to > unknown > far > 0


def test_a_colour_and_a_hole_are_enough_a_hole_alone_is_not() -> None:
    assert fits(lost("red disc", 7), found("red disc", 8))
    assert not fits(lost("red disc", 7), found("a driver", 7))


def test_a_found_disc_without_any_words_fits_nothing() -> None:
    everything = [lost("red driver, says KIM", 7), lost("a disc", 7)]

    assert fitting(found("found a disc", 7), everything, at_least=0.0) == []


def test_best_first_and_of_equals_the_one_lost_last() -> None:
    older = lost("red driver", at=MONDAY - timedelta(days=3), number=1)
    newer = lost("red driver", at=MONDAY, number=2)
    named = lost("red driver, says KIM", at=MONDAY - timedelta(days=9), number=3)

    assert fitting(found("red driver, KIM on the rim"), [older, newer, named]) == [named, newer, older]


@pytest.mark.parametrize(
    ("waited", "expected"),
    [
        (timedelta(seconds=-1), False),
        (timedelta(0), True),
        (KEPT, True),
        (KEPT + timedelta(seconds=1), False),
    ],
)
def test_a_loss_told_later_or_too_long_ago_is_no_match(waited: timedelta, expected: bool) -> None:
    assert fits(lost("red driver, says KIM"), found("red driver, says KIM", at=MONDAY + waited)) is expected


def test_times_are_compared_as_instants() -> None:
    halifax = timezone(timedelta(hours=-3))
    told = lost("red driver", at=datetime(2027, 6, 7, 10, tzinfo=halifax))  # 13:00 UTC

    assert not fits(told, found("red driver", at=datetime(2027, 6, 7, 12, 59, tzinfo=UTC)))


def test_with_roles_swapped_a_new_loss_finds_what_was_handed_in_before() -> None:
    handed_in = DiscReport(1, 7, disc_words("found a red driver, says KIM"), MONDAY)
    other = DiscReport(2, 7, disc_words("found a red putter"), MONDAY)
    new_loss = DiscReport(3, 7, disc_words("lost my red driver with KIM on it"), MONDAY + timedelta(days=1))

    assert fitting(new_loss, [other, handed_in]) == [handed_in]


SOME = st.sampled_from(
    (
        "red driver",
        "putter",
        "dark blue mid, says KIM",
        "glow",
        "turquoise disc",
        "initials JB",
        "Jean Boucher on it",
        "",
    )
)


@given(one=SOME, other=SOME, hole=st.none() | st.integers(1, 18), second=st.none() | st.integers(1, 18))
def test_likeness_lies_between_0_and_1_and_words_have_no_direction(
    one: str, other: str, hole: int | None, second: int | None
) -> None:
    there = likeness(lost(one, hole), found(other, second, at=MONDAY))
    back = likeness(lost(other, second), found(one, hole, at=MONDAY))

    assert 0 <= there <= 1
    assert there == pytest.approx(back)
    assert fits(lost(one, hole), found(other, second)) == (there >= ENOUGH)
