"""The demo plays sample conversations on the real service, whose codes nobody can know: those that are really shown take their place."""

from clubbot.demo import coded
from clubbot.people.codes import as_code
from clubbot.serving import new_code


def test_a_code_as_the_service_makes_it_is_found_in_what_is_shown_and_takes_the_place_of_the_written_one() -> None:
    code = new_code()
    assert code == as_code(int(code))
    assert coded(f"Reopen the course. To do it, reply YES {code} within 10 minutes.", "oui 61803399") == f"yes {code}"


def test_a_code_that_is_wrong_on_purpose_stays_and_so_does_what_is_no_code() -> None:
    shown = "To do it, reply YES 48217730 within 10 minutes."
    assert [coded(shown, text) for text in ("yes 9999", "yes please")] == ["yes 9999", "yes please"]
    assert coded("It's open.", "yes 61803399") == "yes 61803399"
