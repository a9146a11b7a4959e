"""The course: what is closed, on hold or open again, and who was asked about it. None of it needs a message."""

from dataclasses import dataclass

from clubbot.model.club import Closure


@dataclass(frozen=True, slots=True, kw_only=True)
class CloseCourse:
    """The course, a loop or a hole is closed, on hold, or has a note. One that is on hold already is held from now."""

    closure: Closure
    person: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReopenCourse:
    """These closures are over."""

    closures: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class AskAboutClosure:
    """Somebody has been asked whether a closure is over; `key` is there once."""

    closure: int
    number: str
    text: str
    key: str


CourseEffect = CloseCourse | ReopenCourse | AskAboutClosure
