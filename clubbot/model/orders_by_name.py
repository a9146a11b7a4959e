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
    """People are taken off the list of a day of an event, by their names; where neither event nor day is told, of whatever coming list they are
    on.
    """

    names: tuple[str, ...]
    event: str | None
    when: When | None
    unused: str = ""

    @property
    def anywhere(self) -> bool:
        """Whether it is to be found out of which list."""
        return self.event is None and self.when is None


@dataclass(frozen=True, slots=True)
class SignInOthers:
    """People are here, says somebody of the club by their names: signed in at what is on. `sure` where it is ordered ("sign in bob") and not told
    ("bob is here").
    """

    names: tuple[str, ...]
    sure: bool
