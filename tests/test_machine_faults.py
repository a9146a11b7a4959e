"""The machine fails: one plain line with what to do and never a trace; what may pass is waited out and nothing is lost, what cannot ends it.

Done by really doing it: bytes overwritten, pipes, sockets, locks, a file taken away, and a small disk of memory (tmpfs) that is full or
may only be read. Where the tests may not mount one, those are left out and say so; root reads past every chmod, so none is used.
"""

import asyncio
import contextlib
import logging
import os
import shutil
import signal
import socket
import sqlite3
import subprocess
import sys
from collections.abc import AsyncIterator, Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest

from clubbot.cli import main
from clubbot.model.errors import ClubbotError, DatabaseFault
from clubbot.serving import serving
from clubbot.store.lock import alone
from tests.conftest import ROOT
from tests.fakes import GATEWAY_SECRET, INBOUND_SECRET, FakeGateway, a_gateway, until
from tests.store.builders import a_database
from tests.test_serving import Club, running, some_settings

pytestmark = pytest.mark.usefixtures("handbook")


@pytest.fixture(autouse=True)
def log_as_before() -> Iterator[None]:
    """`serve` sets up the log of its process, which here is ours."""
    root, ours = logging.getLogger(), logging.getLogger("clubbot")
    before = root.handlers[:], root.level, ours.level, logging.raiseExceptions
    yield
    root.handlers[:] = before[0]
    root.setLevel(before[1])
    ours.setLevel(before[2])
    logging.raiseExceptions = before[3]


@pytest.fixture
async def gateway() -> AsyncIterator[FakeGateway]:
    async with a_gateway() as gateway:
        yield gateway


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "club.db"


@pytest.fixture
def disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of four megabytes."""
    folder = tmp_path / "disk"
    folder.mkdir()
    mounted = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=4m", "none", folder], capture_output=True, check=False
    )
    if mounted.returncode:
        pytest.skip("these tests may not mount a disk here")
    yield folder
    subprocess.run(["umount", "-l", folder], check=True)


def fill(disk: Path) -> Path:
    """Leave no room on a disk; the file to take away."""
    filler = disk / "filler"
    with contextlib.suppress(OSError), filler.open("wb", buffering=0) as full:
        while True:
            full.write(b"x" * 512)
    return filler


def settings_file(folder: Path, database: Path) -> Path:
    written = folder / "settings.toml"
    written.write_text(
        f'knowledge = "{ROOT / "knowledge"}"\ndatabase_url = "sqlite:///{database}"\nport = 0\n'
        f'inbound_secret = "{INBOUND_SECRET}"\ngateway_secret = "{GATEWAY_SECRET}"\n'
        'gateway_url = "http://127.0.0.1:9/send"\n'
    )
    return written


def with_rows(file: Path) -> None:
    """A database that was used: what was written lies in the file, not beside it."""
    a_database(file).dispose()
    with closing(sqlite3.connect(file)) as other:
        other.execute("PRAGMA wal_checkpoint(TRUNCATE)")


# At the start


def no_database(file: Path) -> None:
    file.write_bytes(b"this was never a database, but a letter to the club. " * 200)


def beginning_damaged(file: Path) -> None:
    with_rows(file)
    with file.open("r+b") as opened:
        opened.write(os.urandom(100))


def pages_damaged(file: Path) -> None:
    with_rows(file)
    with file.open("r+b") as opened:
        opened.seek(100)  # the header is whole, the tables' own table is not
        opened.write(b"\xff" * 3_000)


def cut_off(file: Path) -> None:
    with_rows(file)
    os.truncate(file, 5_000)


def somebody_elses(file: Path) -> None:
    with closing(sqlite3.connect(file)) as other:
        other.execute("CREATE TABLE recipes (name)")


def of_a_later_version(file: Path) -> None:
    with_rows(file)
    with closing(sqlite3.connect(file)) as other:
        other.execute("UPDATE alembic_version SET version_num = '9999'")
        other.commit()


def without_a_table(file: Path) -> None:
    with_rows(file)
    with closing(sqlite3.connect(file)) as other:
        other.execute("DROP TABLE outbox")


def a_folder(file: Path) -> None:
    file.mkdir()


def a_pipe(file: Path) -> None:
    os.mkfifo(file)


def a_socket(file: Path) -> None:
    with closing(socket.socket(socket.AF_UNIX)) as one:
        one.bind(str(file))


FAULTS: list[tuple[Callable[[Path], None], str]] = [
    (no_database, "is not a database"),
    (beginning_damaged, "is not a database"),
    (pages_damaged, "is damaged"),
    (cut_off, "is damaged"),
    (somebody_elses, "not clubbot's"),
    (of_a_later_version, "has schema 9999"),
    (a_folder, "this is a folder"),
    (a_pipe, "this is a pipe"),
    (a_socket, "this is a socket"),
]


@pytest.mark.parametrize(
    "command", [["serve"], ["migrate"], ["sheet", "dusk-league", "2027-06-09"]], ids=lambda one: one[0]
)
@pytest.mark.parametrize(("spoil", "told"), FAULTS, ids=lambda one: getattr(one, "__name__", ""))
def test_a_database_that_cannot_be_used_is_one_line_and_1(
    tmp_path: Path,
    file: Path,
    spoil: Callable[[Path], None],
    told: str,
    command: list[str],
    capsys: pytest.CaptureFixture[str],
) -> None:
    spoil(file)
    ended = main([*command, "--settings", str(settings_file(tmp_path, file))])

    assert (ended, told_plainly(capsys, file, told)) == (1, True)


def told_plainly(capsys: pytest.CaptureFixture[str], file: Path, told: str) -> bool:
    """One line that names the file, what is wrong and, after a semicolon, what to do."""
    said = capsys.readouterr().err.splitlines()
    lines = [line for line in said if " INFO " not in line]
    assert len(lines) == 1, said
    assert told in lines[0]
    assert str(file) in lines[0]
    assert ";" in lines[0]
    return True


def test_a_database_that_lacks_a_table_is_refused(
    tmp_path: Path, file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    without_a_table(file)

    assert main(["serve", "--settings", str(settings_file(tmp_path, file))]) == 1
    assert told_plainly(capsys, file, "lacks the table outbox")


def test_a_folder_that_is_not_there_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "nowhere" / "club.db"

    assert main(["serve", "--settings", str(settings_file(tmp_path, file))]) == 1
    assert told_plainly(capsys, file, "there is no folder")


def test_a_database_that_another_program_holds_is_said(
    tmp_path: Path, file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with_rows(file)
    with closing(sqlite3.connect(file, isolation_level=None)) as other:
        other.execute("PRAGMA locking_mode=EXCLUSIVE")
        other.execute("BEGIN EXCLUSIVE")
        assert main(["migrate", "--settings", str(settings_file(tmp_path, file))]) == 1

    assert told_plainly(capsys, file, "is held by another program")


@pytest.mark.parametrize("used", [True, False], ids=["used before", "new"])
def test_a_disk_that_may_only_be_read_is_said(
    tmp_path: Path, disk: Path, used: bool, capsys: pytest.CaptureFixture[str]
) -> None:
    file = disk / "club.db"
    if used:
        with_rows(file)
        (disk / "club.db.lock").touch()
    subprocess.run(["mount", "-o", "remount,ro", disk], check=True)

    assert main(["serve", "--settings", str(settings_file(tmp_path, file))]) == 1
    assert told_plainly(capsys, file, "read")


@pytest.mark.parametrize("used", [True, False], ids=["used before", "new"])
def test_a_disk_that_is_full_at_the_start_is_said(
    tmp_path: Path, disk: Path, used: bool, capsys: pytest.CaptureFixture[str]
) -> None:
    file = disk / "club.db"
    if used:
        with_rows(file)
    fill(disk)

    assert main(["serve", "--settings", str(settings_file(tmp_path, file))]) == 1
    assert told_plainly(capsys, file, "room")


# Two at once


async def test_a_second_service_on_a_database_is_refused_and_the_first_goes_on(
    tmp_path: Path, gateway: FakeGateway
) -> None:
    settings = some_settings(tmp_path, gateway)
    link = tmp_path / "by another name.db"
    link.symlink_to(tmp_path / "club.db")
    async with running(settings) as club:
        for name in ("club.db", link.name):
            with pytest.raises(ClubbotError, match="another clubbot works on it; stop that one first"):
                async with serving(some_settings(tmp_path, gateway, database_url=f"sqlite:///{tmp_path / name}")):
                    pass
        assert await club.phone.text("is it open", id="text-1") == 200
        await club.done()
    async with running(settings) as club:
        await club.done()

    assert len(gateway.taken) == 1


def test_migrating_is_refused_while_a_service_runs(
    tmp_path: Path, file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with_rows(file)
    with alone(file):
        assert main(["migrate", "--settings", str(settings_file(tmp_path, file))]) == 1

    assert told_plainly(capsys, file, "is in use")


def test_a_sheet_is_printed_while_a_service_runs(
    tmp_path: Path, file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with_rows(file)
    with alone(file):
        assert main(["sheet", "dusk-league", "2027-06-09", "--settings", str(settings_file(tmp_path, file))]) == 0


HOLDS = """
import os, sys, time
from pathlib import Path
from clubbot.store.lock import alone
with alone(Path(sys.argv[1])):
    ready, told = os.pipe()
    child = os.fork()
    if child == 0:
        os.write(told, b".")
        time.sleep(60)
        os._exit(0)
    os.read(ready, 1)
    print(child, flush=True)
    time.sleep(60)
"""


def test_a_kill_frees_the_database_even_where_a_child_that_was_forked_off_lives_on(file: Path) -> None:
    """flock(2): a lock is of the open file, which a child shares until it closes it."""
    holder = subprocess.Popen([sys.executable, "-c", HOLDS, str(file)], stdout=subprocess.PIPE, cwd=ROOT)
    with holder:
        assert holder.stdout
        child = int(holder.stdout.readline())
        try:
            with pytest.raises(ClubbotError, match="is in use"), alone(file):
                pass
            holder.kill()
            holder.wait()
            with alone(file):
                os.kill(child, 0)  # it lives
        finally:
            os.kill(child, signal.SIGKILL)


# While running


async def test_a_full_disk_is_waited_out_and_nothing_is_lost(
    tmp_path: Path, disk: Path, gateway: FakeGateway, caplog: pytest.LogCaptureFixture
) -> None:
    caplog.set_level(logging.INFO, "clubbot")
    async with running(some_settings(tmp_path, gateway, database_url=f"sqlite:///{disk}/club.db")) as club:
        assert await club.phone.text("is it open", id="text-1") == 200
        await club.done()
        filler = fill(disk)
        answers = [await club.phone.text(f"is it open {number}", id=f"full-{number}") for number in range(30)]
        assert answers[-1] == 503
        assert not club.service.failed.done()
        filler.unlink()
        kept = {row[0] for row in club.ask("SELECT their_id FROM inbox")}
        refused = {f"full-{number}" for number, status in enumerate(answers) if status == 503}
        for again in sorted(refused):
            assert await club.phone.text("is it open", id=again) == 200
        await club.done()
        (found,) = club.ask("SELECT count(*) FROM inbox")
        waiting = club.ask("SELECT count(*) FROM outbox WHERE state = 'waiting'")

    assert not refused & kept
    assert (found, waiting) == ((31,), [(0,)])
    assert len(gateway.times_taken) == len(gateway.taken)
    assert "the disk is full; make room" in caplog.text
    assert "can be written again" in caplog.text
    assert "Traceback" not in caplog.text


async def test_a_lock_of_another_program_is_waited_out_and_the_gateway_is_asked_to_post_again(
    tmp_path: Path, gateway: FakeGateway, caplog: pytest.LogCaptureFixture
) -> None:
    """RFC 9110, 15.6.4 and 10.2.3: 503 and Retry-After."""
    async with running(some_settings(tmp_path, gateway)) as club:
        with closing(sqlite3.connect(club.file, isolation_level=None)) as other:
            other.execute("BEGIN IMMEDIATE")
            assert await club.phone.text("is it open", id="text-1") == 503
            other.execute("ROLLBACK")
        assert await club.phone.text("is it open", id="text-1") == 200
        await club.done()

    assert len(gateway.taken) == 1
    assert "is held by another program" in caplog.text
    assert "Traceback" not in caplog.text


async def test_damage_that_shows_only_later_ends_the_service(tmp_path: Path, gateway: FakeGateway) -> None:
    settings = some_settings(tmp_path, gateway)
    async with running(settings) as club:
        await club.phone.text("is it open", id="text-1")
        await club.done()
    async with running(settings) as club:
        size = club.file.stat().st_size
        with club.file.open("r+b") as opened:
            opened.seek(4_096)
            opened.write(b"\xff" * (size - 4_096))
        fault = await failure(club)

    assert "is damaged" in str(fault)


@pytest.mark.parametrize("how", ["deleted", "replaced"])
async def test_a_database_that_is_taken_away_ends_the_service_and_no_text_is_said_to_be_kept(
    tmp_path: Path, gateway: FakeGateway, how: str
) -> None:
    async with running(some_settings(tmp_path, gateway)) as club:
        if how == "replaced":
            shutil.copy(club.file, tmp_path / "copy.db")
            (tmp_path / "copy.db").replace(club.file)
        else:
            club.file.unlink()
        assert await club.phone.text("is it open", id="text-1") == 503
        fault = await failure(club)

    # Whoever opens it anew first finds a new file with what lay beside the old one.
    assert "was moved, deleted or replaced" in str(fault) or "is damaged" in str(fault)


async def failure(club: Club) -> BaseException:
    await until(club.service.failed.done)
    fault = club.service.failed.result()
    assert isinstance(fault, DatabaseFault)
    assert not fault.passes
    return fault


# Files that people write


def a_device(file: Path) -> None:
    file.symlink_to("/dev/zero")


def huge(file: Path) -> None:
    with file.open("wb") as opened:
        opened.truncate(3_000_000_000)


KINDS: list[tuple[Callable[[Path], None], str]] = [
    (a_pipe, "a pipe between programs"),
    (a_socket, "a socket"),
    (a_device, "a device"),
    (a_folder, "a folder"),
    (huge, "larger than"),
]


@pytest.mark.parametrize("name", ["club.toml", "events.toml", "answers/dogs.md", "wording/fr.toml"])
@pytest.mark.parametrize(("put", "told"), KINDS, ids=lambda one: getattr(one, "__name__", ""))
def test_what_is_no_file_in_the_knowledge_folder_is_a_finding_by_its_name(
    tmp_path: Path, name: str, put: Callable[[Path], None], told: str, capsys: pytest.CaptureFixture[str]
) -> None:
    knowledge = Path(shutil.copytree(ROOT / "knowledge", tmp_path / "knowledge"))
    (knowledge / name).unlink(missing_ok=True)
    put(knowledge / name)

    assert main(["check", str(knowledge)]) == 1
    lines = [line for line in capsys.readouterr().out.splitlines() if f"{name}: error" in line]
    assert told in lines[0]


@pytest.mark.parametrize("name", ["answers", "wording", ""])
def test_a_file_in_the_place_of_a_folder_is_a_finding(
    tmp_path: Path, name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    knowledge = Path(shutil.copytree(ROOT / "knowledge", tmp_path / "knowledge"))
    shutil.rmtree(knowledge / name, ignore_errors=True)
    (knowledge / name).write_text("no folder")

    assert main(["check", str(knowledge)]) == 1
    assert "the folder cannot be read: not a directory" in capsys.readouterr().out


@pytest.mark.parametrize(("put", "told"), KINDS, ids=lambda one: getattr(one, "__name__", ""))
@pytest.mark.parametrize(
    "command", [["serve", "--settings"], ["rehearse"], ["ask", "--messages"]], ids=lambda one: one[0]
)
def test_a_named_file_that_is_none_is_said(
    tmp_path: Path,
    put: Callable[[Path], None],
    told: str,
    command: list[str],
    capsys: pytest.CaptureFixture[str],
) -> None:
    named = tmp_path / "named"
    put(named)

    assert main([*command, str(named)]) == 1
    said = capsys.readouterr().err
    assert told in said
    assert str(named) in said
    assert "Traceback" not in said


async def test_a_pipe_that_comes_into_the_folder_later_is_said_and_the_old_knowledge_stays(
    tmp_path: Path, gateway: FakeGateway, caplog: pytest.LogCaptureFixture
) -> None:
    knowledge = Path(shutil.copytree(ROOT / "knowledge", tmp_path / "knowledge"))
    async with running(some_settings(tmp_path, gateway, knowledge=str(knowledge))) as club:
        os.mkfifo(knowledge / "answers" / "drains.md")
        for _ in range(2):
            await asyncio.to_thread(club.service.handbook.look)
        await until(lambda: bool(club.service.handbook.refused))
        assert await club.phone.text("is it open", id="text-1") == 200
        await club.done()

    assert "drains.md: error: the file cannot be read: this is a pipe" in caplog.text
