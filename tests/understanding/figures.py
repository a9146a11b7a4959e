"""How well labelled texts are understood, in four figures a file, and which of them have fallen below those written down.

`python -m tests.understanding.figures [FILE ...]` measures, and prints what `figures.toml` should say; without files, all that it names.
"""

import argparse
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, fields
from datetime import date
from pathlib import Path

from clubbot.handbook.book import Handbook, open_handbook
from clubbot.handbook.learning import usual_folder
from clubbot.serving import wall_clock
from tests.benchmarks.understanding import Answered, labelled, ours
from tests.conftest import NOON, ROOT

# A text more or less is no fall; this many points are.
LEEWAY = 0.5
_TABLE = Path(__file__).with_name("figures.toml")
_SIGN_UPS = {"rsvp-yes", "rsvp-no", "rsvp-maybe", "rsvp-change"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """In a hundred, of the texts of one file; None where no text of it tells. Of those about the club: exact, wrong. Of those that are not: answered.
    Of the sign-ups served whose event or number is labelled: those with both right.
    """

    exact: float | None
    wrong: float | None
    outside_answered: float | None
    sign_ups: float | None


# What should be few; of the others there should be many.
_FEW = {"wrong", "outside_answered"}


@dataclass(frozen=True, slots=True)
class Written:
    """The figures of one file as written down, and when they were measured. The file is named from the folder that holds the checkout's."""

    file: str
    figures: Figures
    measured: date

    @property
    def path(self) -> Path:
        return ROOT / self.file


def written() -> list[Written]:
    """What `figures.toml` says."""
    found = []
    for row in tomllib.loads(_TABLE.read_text("utf-8"))["figures"]:
        told = {one.name: row.get(one.name) for one in fields(Figures)}
        found.append(Written(row["file"], Figures(**told), row["measured"]))
    return found


def figures_of(rows: Sequence[Answered]) -> Figures:
    """The figures of the texts of a file."""
    club = [row.outcome for row in rows if row.label.intent != {"outside"}]
    outside = [row.outcome for row in rows if row.label.intent == {"outside"}]
    told = any(row.label.event or row.label.party for row in rows)
    signed_up = [row for row in rows if told and row.label.intent & row.served & _SIGN_UPS]
    return Figures(
        exact=_share(club.count("exact"), len(club)),
        wrong=_share(club.count("wrong"), len(club)),
        outside_answered=_share(outside.count("wrong"), len(outside)),
        sign_ups=_share(sum(map(_event_and_number_right, signed_up)), len(signed_up)),
    )


def _event_and_number_right(row: Answered) -> bool:
    return row.event == row.label.event and row.label.party in {None, row.party}


def _share(some: int, of: int) -> float | None:
    return round(100 * some / of, 1) if of else None


def fallen(measured: Figures, kept: Figures) -> list[str]:
    """Which figures are worse by more than the leeway than those that were written down, in words."""
    found = []
    for one in fields(Figures):
        now, then = getattr(measured, one.name), getattr(kept, one.name)
        if (now is None) != (then is None):
            found.append(f"{one.name} is {now}, written down as {then}")
        elif now is not None and (now - then if one.name in _FEW else then - now) > LEEWAY + 1e-9:
            found.append(f"{one.name} is {now} %, written down as {then} %")
    return found


def measured_now(file: Path, handbook: Handbook) -> Figures:
    """The figures of a file of labelled texts, each read as a new sender's first."""
    return figures_of(ours(labelled(file), handbook, NOON))


def main() -> None:
    """Print the rows of the table as measured today."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("files", nargs="*", help="labelled texts, named from the root of the checkout")
    asked = parser.parse_args()
    handbook = open_handbook(ROOT / "knowledge", usual_folder())
    today = wall_clock().date()
    for file in asked.files or [row.file for row in written() if row.path.exists()]:
        figures = measured_now(ROOT / file, handbook)
        print(f'[[figures]]\nfile = "{file}"')
        for one in fields(Figures):
            if getattr(figures, one.name) is not None:
                print(f"{one.name} = {getattr(figures, one.name)}")
        print(f"measured = {today}\n", flush=True)


if __name__ == "__main__":
    main()
