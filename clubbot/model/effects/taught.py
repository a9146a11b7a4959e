"""What is taught by text, and forgotten again."""

from dataclasses import dataclass

from clubbot.model.deeds import TeachDeed


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepTaught:
    """It is known from now on."""

    deed: TeachDeed


@dataclass(frozen=True, slots=True, kw_only=True)
class ForgetTaught:
    """It is not known any more."""

    number: int


TaughtEffect = KeepTaught | ForgetTaught
