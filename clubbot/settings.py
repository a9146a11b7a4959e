"""Settings from the environment and a file, as one frozen value; every fault is named at once and no secret is shown."""

import base64
import os
import re
import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any, Literal

from pydantic import Field, SecretStr, ValidationError, ValidationInfo, field_validator
from pydantic_settings import BaseSettings, PydanticBaseSettingsSource, SettingsConfigDict
from rapidfuzz import process

from clubbot.files import read_written, why
from clubbot.model.errors import SettingsFault

PREFIX = "CLUBBOT_"
# Standard Webhooks specification, "Symmetric signatures": 24 to 64 random bytes.
_LEAST_SECRET, _MOST_SECRET = 24, 64
_BASE64 = re.compile(r"[A-Za-z0-9+/]*={0,2}")
_CLOCK = re.compile(r"^(?P<start>[^@]+)(?:@(?P<speed>\d+(?:\.\d+)?))?$")


@dataclass(frozen=True, slots=True)
class DemoClock:
    """A clock for a demo or a test: begins at `start` and runs `speed` times as fast as the real one."""

    start: datetime
    speed: float


class Settings(BaseSettings):
    """All settings. Names in the environment begin with CLUBBOT_; in a file they are lower case without it."""

    model_config = SettingsConfigDict(env_prefix=PREFIX, frozen=True, hide_input_in_errors=True, extra="forbid")

    knowledge: Path = Field(default=Path("knowledge"), description="the folder with the club's files")
    database_url: str = Field(default="sqlite:///clubbot.db", description="where everything is kept; a SQLite address")
    sentence_model: bool = Field(
        default=True, description="no: read by words alone, on a machine short of memory; understands less"
    )
    host: str = Field(default="127.0.0.1", description="the address to listen on")
    port: int = Field(default=8080, ge=0, le=65535, description="the port to listen on; 0 takes a free one")
    inbound_secret: SecretStr = Field(
        description="signs texts that come in (whsec_...); two with a space between while one is replaced"
    )
    gateway_url: str = Field(pattern=r"^https?://[^\s/]+\S*$", description="where texts to be sent are posted")
    gateway_secret: SecretStr = Field(description="signs what we post there (whsec_...)")
    log_file: Path | None = Field(
        default=None, description="log to this file, kept to 25 MB with its older ones, instead of standard error"
    )
    clock: str = Field(
        default="",
        description="begin at this time, as 2027-06-07T12:00:00-03:00, with @60 sixty times as fast; for demo and tests",
    )
    writer: Literal["thread", "loop"] = Field(
        default="thread", description="where the database writer works; loop is faster on a fast disk"
    )

    @field_validator("database_url")
    @classmethod
    def _known_database(cls, value: str) -> str:
        if not value.startswith("sqlite:///"):
            raise ValueError("only SQLite is known so far: write sqlite:///club.db")
        if value.removeprefix("sqlite:///").strip() in {"", ":memory:"}:
            raise ValueError("name a file, or everything is lost at a restart: write sqlite:///club.db")
        return value

    @field_validator("inbound_secret", "gateway_secret")
    @classmethod
    def _usable_secret(cls, value: SecretStr, about: ValidationInfo) -> SecretStr:
        secrets = value.get_secret_value().split()
        most = 2 if about.field_name == "inbound_secret" else 1
        if not 1 <= len(secrets) <= most:
            raise ValueError("give one secret" + (", or two with a space between" if most == 2 else ""))
        wrong = [fault for secret in secrets if (fault := secret_fault(secret))]
        if wrong:
            raise ValueError("; ".join(wrong))
        return SecretStr(" ".join(secrets))  # a line's end left at the end would change the key

    @field_validator("clock")
    @classmethod
    def _readable_clock(cls, value: str) -> str:
        _clock_of(value)
        return value

    @property
    def demo_clock(self) -> DemoClock | None:
        """The clock to run by; None for the real one."""
        return _clock_of(self.clock)

    @property
    def inbound_secrets(self) -> tuple[str, ...]:
        """One or two secrets, any of which may sign."""
        return tuple(self.inbound_secret.get_secret_value().split())

    @classmethod
    def settings_customise_sources(
        cls,
        settings_cls: type[BaseSettings],
        init_settings: PydanticBaseSettingsSource,
        env_settings: PydanticBaseSettingsSource,
        dotenv_settings: PydanticBaseSettingsSource,
        file_secret_settings: PydanticBaseSettingsSource,
    ) -> tuple[PydanticBaseSettingsSource, ...]:
        """Values handed in only: `read_settings` gathers them, so that a test needs no environment."""
        return (init_settings,)


def read_settings(environment: Mapping[str, str], file: Path | None = None) -> Settings:
    """Settings from a TOML file and, over it, the environment. SettingsFault with one line a fault."""
    values: dict[str, Any] = _from_file(file) if file else {}
    faults: list[str] = []
    for name, value in environment.items():
        if not name.startswith(PREFIX):
            continue
        key = name.removeprefix(PREFIX).lower()
        if key not in Settings.model_fields:
            faults.append(f"{name}: there is no such setting{_nearest(key, lambda found: PREFIX + found.upper())}")
        else:
            values[key] = value
    for key in sorted(set(values) - set(Settings.model_fields)):
        faults.append(f"{key} in {file}: there is no such setting{_nearest(key.lower(), str)}")
        del values[key]
    try:
        settings = Settings(**values)
    except ValidationError as fault:
        faults += [_line(one["loc"], one["msg"]) for one in fault.errors(include_url=False, include_input=False)]
        raise _fault(faults) from None
    if faults:
        raise _fault(faults)
    return settings


def database_of(environment: Mapping[str, str], file: Path | None = None) -> str:
    """Where everything is kept, for commands that need no other setting."""
    written = environment.get(f"{PREFIX}DATABASE_URL") or (_from_file(file) if file else {}).get("database_url")
    return str(written or Settings.model_fields["database_url"].default)


def environment() -> Mapping[str, str]:
    """The process's environment."""
    return os.environ


def _fault(faults: list[str]) -> SettingsFault:
    return SettingsFault("the settings cannot be used:\n" + "\n".join(f"  {fault}" for fault in faults))


def _from_file(file: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(read_written(file))
    except OSError as fault:
        mend = "name an ordinary file that clubbot may read, with lines such as port = 8080"
        raise SettingsFault(f"{file}: the settings file cannot be read ({why(fault)}); {mend}") from None
    except (UnicodeDecodeError, tomllib.TOMLDecodeError) as fault:
        raise SettingsFault(
            f"{file}: the settings file cannot be read ({fault}); write lines such as port = 8080"
        ) from None


def _line(loc: tuple[int | str, ...], message: str) -> str:
    name = PREFIX + str(loc[0]).upper()
    field = Settings.model_fields.get(str(loc[0]))
    about = f" ({field.description})" if field is not None else ""
    return f"{name}: {'is not set' if message == 'Field required' else message.removeprefix('Value error, ')}{about}"


def _nearest(key: str, written: Callable[[str], str]) -> str:
    found = process.extractOne(key, list(Settings.model_fields), score_cutoff=70)
    return f"; did you mean {written(found[0])}?" if found else ""


def secret_fault(secret: str) -> str | None:
    """Why a signing secret cannot be used, in words that do not show it; None where it can."""
    letters = secret.removeprefix("whsec_")
    try:
        # Missing padding is made up, spare is skipped; so would be letters of no base64, and the far side's key be another.
        key = base64.b64decode(letters + "==") if _BASE64.fullmatch(letters) else None
    except ValueError:
        key = None
    if key is None:
        return "it is not base64 after whsec_"
    if not _LEAST_SECRET <= len(key) <= _MOST_SECRET:
        return f"it stands for {len(key)} bytes; {_LEAST_SECRET} to {_MOST_SECRET} random ones are asked for"
    return None


def _clock_of(value: str) -> DemoClock | None:
    if not value:
        return None
    found = _CLOCK.match(value.strip())
    try:
        start = datetime.fromisoformat(found["start"]) if found else None
    except ValueError:
        start = None
    if found is None or start is None or start.tzinfo is None:
        raise ValueError("write a time with its offset, such as 2027-06-07T12:00:00-03:00 or the same with @60")
    speed = float(found["speed"] or 1)
    if not 0 < speed <= 100_000:
        raise ValueError("the speed after @ must be above 0 and at most 100000")
    return DemoClock(start, speed)
