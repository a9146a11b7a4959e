"""Settings: what is read from where, and what is said of faults, without a secret."""

from base64 import b64encode
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest
from pydantic import ValidationError

from clubbot.model.errors import SettingsFault
from clubbot.serving import Clock
from clubbot.settings import DemoClock, Settings, read_settings, secret_fault
from tests.conftest import ROOT

# The secret of the published vector of Standard Webhooks. READ
SECRET = "whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw"
NEXT_SECRET = "whsec_" + b64encode(b"the secret of next summer").decode()
GATEWAY_SECRET = "whsec_" + b64encode(b"the secret to the gateway").decode()

NEEDED = {
    "CLUBBOT_INBOUND_SECRET": SECRET,
    "CLUBBOT_GATEWAY_URL": "https://gateway.example/send",
    "CLUBBOT_GATEWAY_SECRET": GATEWAY_SECRET,
}
NOON = datetime(2027, 6, 7, 12, tzinfo=timezone(timedelta(hours=-3)))


def with_needed(**settings: str) -> dict[str, str]:
    """An environment with what has no default, and what is named here without its CLUBBOT_."""
    return NEEDED | {f"CLUBBOT_{name.upper()}": value for name, value in settings.items()}


def said_of(environment: Mapping[str, str], file: Path | None = None) -> str:
    """What is said of settings that cannot be used."""
    with pytest.raises(SettingsFault) as fault:
        read_settings(environment, file)
    return str(fault.value)


def faults_of(environment: Mapping[str, str], file: Path | None = None) -> list[str]:
    """The lines, one a fault, after the first, which says that there are any."""
    return [line.strip() for line in said_of(environment, file).splitlines()[1:]]


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "club.toml"


# What is read


def test_three_settings_are_enough() -> None:
    settings = read_settings(NEEDED)

    assert settings.knowledge == Path("knowledge")
    assert settings.database_url == "sqlite:///clubbot.db"
    assert (settings.host, settings.port) == ("127.0.0.1", 8080)
    assert settings.inbound_secrets == (SECRET,)
    assert settings.gateway_url == "https://gateway.example/send"
    assert settings.gateway_secret.get_secret_value() == GATEWAY_SECRET
    assert settings.demo_clock is None
    assert settings.writer == "thread"


def test_every_setting_is_read_from_the_environment() -> None:
    environment = with_needed(
        knowledge="/srv/club",
        database_url="sqlite:////srv/club.db",
        host="0.0.0.0",
        port="0",
        clock="2027-06-07T12:00:00-03:00",
        sentence_model="no",
        log_file="/srv/club.log",
        writer="loop",
    )
    settings = read_settings(environment)

    assert {f"CLUBBOT_{name.upper()}" for name in Settings.model_fields} == set(environment)
    assert settings.model_fields_set == set(Settings.model_fields)
    assert settings.knowledge == Path("/srv/club")
    assert settings.database_url == "sqlite:////srv/club.db"
    assert (settings.host, settings.port) == ("0.0.0.0", 0)
    assert settings.demo_clock == DemoClock(NOON, 1)
    assert settings.sentence_model is False
    assert settings.log_file == Path("/srv/club.log")
    assert settings.writer == "loop"


def test_a_file_may_hold_everything(file: Path) -> None:
    file.write_text(
        f'port = 9000\nhost = "::1"\ninbound_secret = "{SECRET}"\n'
        f'gateway_url = "https://gateway.example/send"\ngateway_secret = "{GATEWAY_SECRET}"\n'
    )
    settings = read_settings({}, file)

    assert (settings.host, settings.port) == ("::1", 9000)
    assert settings.inbound_secrets == (SECRET,)


def test_file_and_environment_add_up_and_the_environment_wins(file: Path) -> None:
    file.write_text('port = 9000\nhost = "::1"\n')
    settings = read_settings(with_needed(port="9001"), file)

    assert (settings.host, settings.port) == ("::1", 9001)


def test_the_rest_of_the_environment_is_none_of_ours() -> None:
    settings = read_settings(NEEDED | {"PORT": "9000", "HOME": "/srv", "CLUB_PORT": "9000", "XCLUBBOT_PORT": "9000"})

    assert settings.port == 8080


def test_two_secrets_stand_side_by_side_while_one_is_replaced() -> None:
    settings = read_settings(with_needed(inbound_secret=f"  {SECRET}   {NEXT_SECRET} "))

    assert settings.inbound_secrets == (SECRET, NEXT_SECRET)


def test_blanks_around_a_secret_are_no_part_of_it() -> None:
    settings = read_settings(with_needed(gateway_secret=f" {GATEWAY_SECRET}\n"))

    assert settings.gateway_secret.get_secret_value() == GATEWAY_SECRET


def test_settings_do_not_change() -> None:
    settings = read_settings(NEEDED)

    with pytest.raises(ValidationError):
        settings.port = 9000


# What is said of faults


def test_what_must_be_set_is_named_with_what_it_is_for() -> None:
    faults = faults_of({})
    expected = [
        f"CLUBBOT_{name.upper()}: is not set ({field.description})"
        for name, field in Settings.model_fields.items()
        if field.is_required()
    ]

    assert len(expected) == len(NEEDED)
    assert faults == expected


@pytest.mark.parametrize(
    ("name", "wrong"),
    [
        ("port", "none"),
        ("port", "-1"),
        ("port", "65536"),
        ("port", ""),
        ("database_url", "postgresql://club@db/club"),
        ("database_url", "clubbot.db"),
        ("gateway_url", "gateway.example/send"),
        ("gateway_url", "ftp://gateway.example/send"),
        ("gateway_url", "https://"),
        ("gateway_url", "https:// gateway.example"),
        ("gateway_url", ""),
        ("writer", "process"),
        ("clock", "noon"),
        ("inbound_secret", ""),
        ("inbound_secret", "whsec_"),
        ("inbound_secret", "whsec_c2hvcnQ="),
        ("inbound_secret", f"{SECRET} {NEXT_SECRET} {GATEWAY_SECRET}"),
        ("inbound_secret", f"{SECRET} whsec_c2hvcnQ="),
        ("gateway_secret", ""),
        ("gateway_secret", "whsec_"),
        ("gateway_secret", f"{SECRET} {NEXT_SECRET}"),
    ],
)
def test_a_wrong_value_is_told_in_one_line_by_its_name(name: str, wrong: str) -> None:
    (line,) = faults_of(with_needed(**{name: wrong}))

    assert line.startswith(f"CLUBBOT_{name.upper()}: ")
    assert "Value error" not in line  # the checker's own words


def test_every_fault_is_named_in_one_message() -> None:
    environment = {
        "CLUBBOT_PORT": "none",
        "CLUBBOT_DATABASE_URL": "clubbot.db",
        "CLUBBOT_INBOUND_SECRET": "whsec_c2hvcnQ=",
        "CLUBBOT_GATEWAY_SECRET": "whsec_!",
        "CLUBBOT_CLOCK": "noon",
        "CLUBBOT_WRITER": "process",
        "CLUBBOT_HOTS": "::1",
    }
    named = {line.partition(":")[0] for line in faults_of(environment)}

    assert named == {*environment, "CLUBBOT_GATEWAY_URL"}


def test_faults_of_file_and_environment_are_named_in_one_message(file: Path) -> None:
    file.write_text('port = "none"\nhots = "::1"\ninbound_secret = 5\n')
    faults = faults_of({"CLUBBOT_GATEWAY_SECRET": "whsec_!", "CLUBBOT_WRITTER": "loop"}, file)
    named = {line.partition(":")[0] for line in faults}

    assert named == {
        "CLUBBOT_PORT",
        f"hots in {file}",
        "CLUBBOT_INBOUND_SECRET",
        "CLUBBOT_GATEWAY_SECRET",
        "CLUBBOT_WRITTER",
        "CLUBBOT_GATEWAY_URL",
    }


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("CLUBBOT_PROT", "CLUBBOT_PORT"),
        ("CLUBBOT_Knowlege", "CLUBBOT_KNOWLEDGE"),
        ("CLUBBOT_DATABASE", "CLUBBOT_DATABASE_URL"),
        ("CLUBBOT_INBOUND_SECRETS", "CLUBBOT_INBOUND_SECRET"),
        ("CLUBBOT_GATEWAYURL", "CLUBBOT_GATEWAY_URL"),
    ],
)
def test_a_misspelt_name_is_pointed_out(written: str, meant: str) -> None:
    assert faults_of(NEEDED | {written: "x"}) == [f"{written}: there is no such setting; did you mean {meant}?"]


def test_a_name_like_no_other_is_told_without_a_guess() -> None:
    assert faults_of(with_needed(zzz="1")) == ["CLUBBOT_ZZZ: there is no such setting"]


@pytest.mark.parametrize("written", ["prot", "PORT", "Port"])
def test_a_misspelt_name_in_a_file_is_pointed_out_as_files_write_it(written: str, file: Path) -> None:
    file.write_text(f"{written} = 9000\n")

    assert faults_of(NEEDED, file) == [f"{written} in {file}: there is no such setting; did you mean port?"]


@pytest.mark.parametrize(
    "written",
    [
        b"port 9000",
        b"port = ",
        b"port = 9000\nport = 9001",
        b'host = "\xff"',
        b"inbound_secret = whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw",
        b'inbound_secret = "whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw',
        b"whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw",
    ],
)
def test_a_file_that_is_no_toml_is_named_with_what_to_do(written: bytes, file: Path) -> None:
    file.write_bytes(written)
    said = said_of(NEEDED, file)

    assert said.startswith(f"{file}: ")
    assert "port = 8080" in said
    assert "MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw" not in said


def test_a_file_that_is_not_there_is_named(tmp_path: Path) -> None:
    assert str(tmp_path / "none.toml") in said_of(NEEDED, tmp_path / "none.toml")


# No secret is shown


def assert_hidden(secret: str, *shown: str) -> None:
    """Not even a piece of it, as long as a person could use."""
    bare = secret.removeprefix("whsec_")
    pieces = {bare[start : start + 6] for start in range(len(bare) - 5)}
    assert pieces
    for text in shown:
        assert not [piece for piece in pieces if piece in text]


BROKEN_SECRETS = [
    "whsec_TooShortToSign",
    "whsec_" + "QUJD" * 30,
    "whsec_moor*ings*at*the*harbour*wall",
    "whsec_Mf-Q9r8GKYqrTwjUPD8ILPZIo2LaLaS_",
]


@pytest.mark.parametrize("name", ["inbound_secret", "gateway_secret"])
@pytest.mark.parametrize("secret", BROKEN_SECRETS)
def test_a_secret_that_cannot_be_used_is_told_without_being_shown(name: str, secret: str) -> None:
    (line,) = faults_of(with_needed(**{name: secret}))

    assert line.startswith(f"CLUBBOT_{name.upper()}: ")
    assert_hidden(secret, line)
    assert_hidden(secret, secret_fault(secret) or pytest.fail("nothing is said of it"))


def test_faults_of_other_settings_show_no_secret(file: Path) -> None:
    file.write_text(f'inbound_secrt = "{NEXT_SECRET}"\n')
    said = said_of(with_needed(port="none", clock="noon", gateway_secrets=GATEWAY_SECRET), file)

    for secret in (SECRET, NEXT_SECRET, GATEWAY_SECRET):
        assert_hidden(secret, said)


def test_a_secret_of_the_wrong_type_in_a_file_is_not_shown(file: Path) -> None:
    file.write_text(f'gateway_secret = ["{GATEWAY_SECRET}"]\ninbound_secret = {{ one = "{SECRET}" }}\n')
    said = said_of({"CLUBBOT_GATEWAY_URL": NEEDED["CLUBBOT_GATEWAY_URL"]}, file)

    assert_hidden(GATEWAY_SECRET, said)
    assert_hidden(SECRET, said)


def test_a_password_in_an_address_is_not_shown() -> None:
    said = said_of(
        with_needed(gateway_url="https:/club:harbour-light@gateway", database_url="mysql://club:harbour-light@db")
    )

    assert "harbour-light" not in said


def test_the_fault_carries_no_other_that_shows_more() -> None:
    with pytest.raises(SettingsFault) as fault:
        read_settings(with_needed(port="none"))

    assert fault.value.__cause__ is None
    assert fault.value.__suppress_context__


def test_settings_shown_in_a_trace_hide_their_secrets() -> None:
    settings = read_settings(NEEDED)

    for secret in (SECRET, GATEWAY_SECRET):
        assert_hidden(secret, repr(settings), str(settings))


# Secrets that can be used: Standard Webhooks, "Symmetric signatures", 24 to 64 random bytes. READ


@pytest.mark.parametrize("secret", [SECRET, SECRET.removeprefix("whsec_"), "whsec_" + "QUJD" * 11])
def test_a_secret_is_taken_with_or_without_its_prefix(secret: str) -> None:
    assert secret_fault(secret) is None


@pytest.mark.parametrize("length", range(24, 65))
@pytest.mark.parametrize("padding", ["=", ""])
def test_a_secret_of_24_to_64_bytes_is_taken_with_or_without_padding(length: int, padding: str) -> None:
    secret = b64encode(bytes(range(length))).decode().replace("=", padding)

    assert secret_fault(f"whsec_{secret}") is None


@pytest.mark.parametrize("length", [0, 1, 23, 65, 1000])
def test_a_secret_of_any_other_length_is_not(length: int) -> None:
    fault = secret_fault("whsec_" + b64encode(bytes(length)).decode())

    assert fault is not None
    assert f"{length} bytes" in fault


# Letters that are not base64 are skipped by the library that signs: the far side would sign with another key.
@pytest.mark.parametrize("wrong", ["-", "_", "*", "é", "\n", ",", "=", " "])
def test_a_secret_with_a_letter_that_is_none_of_base64_is_not_taken(wrong: str) -> None:
    assert secret_fault(f"{SECRET[:20]}{wrong}{SECRET[20:]}") == "it is not base64 after whsec_"


# The clock


@pytest.mark.parametrize(
    ("written", "clock"),
    [
        ("2027-06-07T12:00:00-03:00", DemoClock(NOON, 1)),
        ("2027-06-07T12:00:00-03:00@60", DemoClock(NOON, 60)),
        ("2027-06-07T12:00:00-03:00@0.5", DemoClock(NOON, 0.5)),
        ("2027-06-07T15:00:00Z", DemoClock(NOON, 1)),
        ("2027-06-07T15:00Z@1", DemoClock(NOON, 1)),
        (" 2027-06-07 12:00:00-03:00@100000 ", DemoClock(NOON, 100_000)),
    ],
)
def test_a_clock_is_read(written: str, clock: DemoClock) -> None:
    assert read_settings(with_needed(clock=written)).demo_clock == clock


def test_no_clock_is_the_real_one() -> None:
    assert read_settings(with_needed(clock="")).demo_clock is None


@pytest.mark.parametrize(
    "written",
    [
        "noon",
        "@60",
        "2027-06-07",
        "2027-06-07T12:00:00",
        "2027-06-07T12:00:00@60",
        "2027-06-07T25:00:00-03:00",
        "2027-06-07T12:00:00-99:00",
        "2027-06-07T12:00:00-03:00@",
        "2027-06-07T12:00:00-03:00@fast",
        "2027-06-07T12:00:00-03:00@-60",
        "2027-06-07T12:00:00-03:00@60@60",
    ],
)
def test_a_clock_that_names_no_instant_is_told_with_an_example(written: str) -> None:
    (line,) = faults_of(with_needed(clock=written))

    assert line.startswith("CLUBBOT_CLOCK: ")
    assert "2027-06-07T12:00:00-03:00" in line


@pytest.mark.parametrize("speed", ["0", "0.0", "100001", "9" * 400])
def test_a_clock_that_stands_or_races_is_told(speed: str) -> None:
    (line,) = faults_of(with_needed(clock=f"2027-06-07T12:00:00-03:00@{speed}"))

    assert line.startswith("CLUBBOT_CLOCK: the speed after @")


def test_a_demo_clock_begins_where_it_is_told_and_runs_on() -> None:
    clock = Clock(DemoClock(NOON, 60))
    first, second = clock(), clock()

    assert NOON <= first <= second < NOON + timedelta(hours=1)  # within a real minute
    assert first.tzinfo is UTC


# What is said to others


def test_every_setting_is_named_in_the_readme() -> None:
    readme = (ROOT / "README.md").read_text("utf-8")
    missing = [name for name in Settings.model_fields if f"CLUBBOT_{name.upper()}" not in readme]

    assert missing == []


def test_every_setting_says_what_it_is_for() -> None:
    assert [name for name, field in Settings.model_fields.items() if not field.description] == []
