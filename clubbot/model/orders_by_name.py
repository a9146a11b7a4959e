"""Orders about single people, who are known by their names alone: told something, put down for an event day, taken off its list."""

from dataclasses import dataclass

from clubbot.model.intents import When


@dataclass(frozen=True, slots=True)
class TellOne:
    """One person is told something. `readings` are the name and the words by where the name may end, the longest name first."""

    readings: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class SignUpOthers:
    """People are put down for a day of an event by their names, a place each; `unused` is what the text says besides."""

    names: tuple[str, ...]
    event: str | None
    when: When | None
    unused: str = ""


@dataclass(frozen=True, slots=True)
class TakeOff:
    """People are taken off the list of a day of an event, by their names."""

    names: tuple[str, ...]
    event: str | None
    when: When | None
    unused: str = ""
