"""How phrases are written and what they find."""

import pytest

from clubbot.understanding.phrases import GAP, ByWord, Groups, PhraseFault, named, phrase
from clubbot.understanding.text import Spelling, Text, put_into_form

GROUPS: Groups = {"texting": ("texting", "sending texts"), "deep": ("{texting} now",), "round": ("{round} again",)}
PLAIN = Spelling({"dont": ("do", "not"), "2nite": ("tonight",)}, {"ll": ("will",)}, lambda word: word)


def said(text: str) -> Text:
    return put_into_form(text, {"en": PLAIN})


@pytest.mark.parametrize(
    ("written", "text", "found"),
    [
        ("stop texting", "please stop texting me", True),
        ("stop texting", "stop the texting", False),
        ("(stop|quit it) {texting}", "quit it sending texts", True),
        ("stop [all|the] {texting}", "stop the texting", True),
        ("stop [all|the] {texting}", "stop texting", True),
        ("bleed* [a lot]", "he's bleeding", True),
        ("bleed*", "the blue disc", False),
        ("take ... off", "take me and my son off", True),
        ("take ... off", "take me. i fell off", False),
        ("< stop >", "ok stop", False),
        ("< stop >", "stop.", True),
        ("stop >", "ok stop. thanks", True),
        ("# of us", "there are 4 of us", True),
        ("{deep}", "sending texts now", True),
        ("do not stop", "Don't stop", True),
        ("i will", "I'll", True),
        ("tonight", "2nite?", True),
    ],
)
def test_a_phrase_stands_in_a_text_or_not(written: str, text: str, found: bool) -> None:
    assert found == (phrase(written, GROUPS).found(said(text).words("en")) is not None)


def test_a_gap_ends_after_so_many_words() -> None:
    near, far = " ".join(["take", *["so"] * GAP, "off"]), " ".join(["take", *["so"] * (GAP + 1), "off"])
    take_off = phrase("take ... off", GROUPS)
    assert (take_off.found(said(near).words("en")), take_off.found(said(far).words("en"))) == ((0, GAP + 2), None)


@pytest.mark.parametrize(
    ("written", "told"),
    [
        ("(stop", ") is missing"),
        ("stop)", "closes nothing"),
        ("{nothing}", "no group is called nothing"),
        ("{round}", "holds itself"),
        ("b*", "two letters"),
        ("", "without words"),
    ],
)
def test_a_phrase_that_cannot_be_read_says_why(written: str, told: str) -> None:
    with pytest.raises(PhraseFault, match=told.replace(")", r"\)")):
        phrase(written, GROUPS)


def test_words_know_where_they_stand_in_what_was_written() -> None:
    text = said("Ok, I'll be there @ 6:30pm - don't wait")
    assert text.said(text.words("en")[1:4]) == "I'll be"
    assert text.forms("en") == ("ok", "i", "will", "be", "there", "@", "6:30", "pm", "do", "not", "wait")


def test_a_pause_goes_with_the_word_before_it() -> None:
    pauses = [word.pause for word in said("in, for two. yes? no").words("en")]
    assert pauses == [",", "", ".", "?", ""]


def test_what_is_kept_under_a_word_is_found_by_it_by_what_it_begins_with_and_by_figures() -> None:
    kept = ByWord({"bleed": ["whole"], "ble*": ["short"], "bleedi*": ["long"], "#": ["figures"]})

    assert (kept.near("bleed"), kept.near("bleeding"), kept.near("12"), kept.near("bl")) == (
        ("whole", "short"),
        ("short", "long"),
        ("figures",),
        (),
    )


def test_a_phrase_needs_a_word_of_each_of_its_lists_and_none_of_those_it_may_leave_out() -> None:
    groups = named({"way": ("path", "board*")})
    one = phrase("(tree|limb) [fell] ... {way}", groups)

    def present(text: str) -> bool:
        return one.needs <= groups.lists.present(said(text).words("en"))

    assert present("a limb, it lies on the boardwalk")
    assert not present("a limb fell")
    assert not present("on the path")
