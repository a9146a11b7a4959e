from collections import Counter
from typing import get_args

from clubbot.model.effects import (
    BroadcastEffect,
    ClubEffect,
    CourseEffect,
    DayEffect,
    DiscEffect,
    Effect,
    LimitEffect,
    QuestionEffect,
    SenderEffect,
    SpokenEffect,
    TaughtEffect,
    TextEffect,
)

FAMILIES = (
    TextEffect,
    SenderEffect,
    SpokenEffect,
    QuestionEffect,
    DayEffect,
    CourseEffect,
    BroadcastEffect,
    DiscEffect,
    TaughtEffect,
    ClubEffect,
    LimitEffect,
)


def test_every_effect_has_one_family_so_that_one_writer_writes_it() -> None:
    members = Counter(effect for family in FAMILIES for effect in get_args(family))

    assert members == Counter(get_args(Effect))
