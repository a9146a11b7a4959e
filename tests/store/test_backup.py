"""A copy of the database while texts come in, and the copy put back: what is known before is known after, and nobody is texted twice."""

import os
import signal
import sqlite3
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing
from datetime import date, timedelta
from pathlib import Path

import pytest
from sqlalchemy import Engine, insert, update

from clubbot.cli import main
from clubbot.model.choices import any_of
from clubbot.model.effects import (
    HandOver,
    KeepExchange,
    KeepLanguage,
    KeepName,
    KeepRsvp,
    OpenChoice,
    OptOut,
    PlanReminders,
    Reply,
    Subscribe,
    Unsubscribe,
)
from clubbot.model.errors import ClubbotError, DatabaseFault, SchemaFault
from clubbot.model.exchange import Spoken
from clubbot.model.known import Known
from clubbot.model.messages import Incoming
from clubbot.model.rsvps import DayId, Planned, Rsvp
from clubbot.store.backup import RESTORED, Holds, Restored, back_up, restore
from clubbot.store.inbox import put_down
from clubbot.store.known import read_known
from clubbot.store.lock import alone
from clubbot.store.migrating import HEAD, make_ready
from clubbot.store.outbox import mark_sent
from clubbot.store.store import open_engine, read
from clubbot.store.tables import broadcasts, metadata, outbox, people
from tests.builders import KIM, OUR_NUMBER, a_text
from tests.conftest import NOON, ROOT
from tests.fakes import GATEWAY_SECRET, INBOUND_SECRET
from tests.store.builders import JONAS, LEE, SAM, Row, a_database, done, rows, to_go

LEAGUE = DayId("dusk-league", date(2027, 6, 9))
HOUR = timedelta(hours=1)
EVERYBODY = (KIM, LEE, SAM, JONAS)


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    return tmp_path / "elsewhere" / "backup.db"


@pytest.fixture(autouse=True)
def elsewhere(copy: Path) -> None:
    copy.parent.mkdir()


def url(file: Path) -> str:
    return f"sqlite:///{file}"


def everything(file: Path) -> dict[str, Sequence[Row]]:
    """Every table row by row."""
    engine = open_engine(url(file))
    found = {table.name: rows(engine, table) for table in metadata.sorted_tables}
    engine.dispose()
    return found


def known(file: Path, number: str) -> Known:
    """What would be known when somebody texts now."""
    message = Incoming(
        channel="test",
        their_id="next",
        delivery_id="next",
        sender=number,
        recipient=OUR_NUMBER,
        text="and sunday?",
        received_at=NOON,
    )
    engine = open_engine(url(file))
    found = read(
        engine,
        lambda connection: read_known(
            connection, message, 10**9, textable=True, volunteer=number == JONAS, places={"dusk-league": 72}
        ),
    )
    engine.dispose()
    return found


def a_season(engine: Engine) -> None:
    """A bit of everything, all of it answered and sent."""
    coming = KeepRsvp(on=LEAGUE, rsvp=Rsvp(number=KIM, state="coming", people=2), seen=0, told="at six")
    said = KeepExchange(text="how much is league", language="en", intents=(Spoken(intent="league"),), others=())
    done(engine, Reply(text="Down."), coming, KeepName(name="Kim"), said, id="text-1", sender=KIM)
    done(
        engine,
        Reply(text="Oui."),
        KeepLanguage(language="fr"),
        Subscribe(list_id="course-news", words="nouvelles"),
        id="text-2",
        sender=LEE,
    )
    asked = OpenChoice(choices=any_of(("borrow", "buy")), about="discs?", language="en", until=NOON + HOUR)
    done(engine, Reply(text="Which?"), asked, OptOut(words="stop"), id="text-3", sender=SAM)
    done(engine, HandOver(reason="human", person="jonas", number=JONAS, note="Q"), id="text-4", sender=KIM)
    planned = PlanReminders(
        on=LEAGUE, number=KIM, kinds=("evening",), planned=(Planned(kind="evening", due=NOON + HOUR),)
    )
    done(engine, planned, id="text-5", sender=KIM)
    with engine.begin() as connection:
        for row in rows_of(engine):
            mark_sent(connection, row["id"], NOON)


def rows_of(engine: Engine) -> Sequence[Row]:
    return rows(engine, outbox)


@pytest.fixture
def full(engine: Engine) -> Engine:
    a_season(engine)
    return engine


# Copying


def test_a_copy_is_the_database_row_by_row_and_says_what_it_holds(full: Engine, file: Path, copy: Path) -> None:
    holds = back_up(url(file), copy)

    assert everything(copy) == everything(file)
    assert holds == Holds(people=3, answers=1, texts_in=5, texts_out=4, last_text=NOON, schema=HEAD)
    assert sorted(one.name for one in copy.parent.iterdir()) == ["backup.db"]


def test_a_copy_is_for_its_owner_alone(full: Engine, file: Path, copy: Path) -> None:
    back_up(url(file), copy)

    assert copy.stat().st_mode & 0o777 == 0o600


def test_a_copy_made_while_texts_come_in_is_the_state_between_two_of_them(full: Engine, file: Path, copy: Path) -> None:
    """Each text, its reply, its sender and the proof of consent are one transaction: of none may a part be in the copy."""
    enough, stop, count = threading.Event(), threading.Event(), 0

    def write() -> None:
        nonlocal count
        while not stop.is_set():
            sender = f"+1902555{2000 + count}"
            done(
                full,
                Reply(text=f"reply {count} " + "x" * 400),
                KeepName(name=str(count)),
                id=f"more {count}",
                sender=sender,
            )
            count += 1
            if count == 100:
                enough.set()

    writer = threading.Thread(target=write)
    writer.start()
    enough.wait()
    before = count
    holds = back_up(url(file), copy)
    after = count
    stop.set()
    writer.join()
    copied, live = everything(copy), everything(file)
    written = holds.texts_in - 5

    assert before < after  # it went on meanwhile
    assert before <= written <= after + 1
    assert holds.texts_out - 4 == written
    assert holds.people - 3 == written
    for table in metadata.tables:
        assert list(copied[table]) == [row for row in live[table] if row in copied[table]]
    for number in (*EVERYBODY, "+19025552000", f"+1902555{1999 + written}"):
        assert known(copy, number) == known(file, number)
    assert known(copy, f"+1902555{2000 + written}").sender.name is None


def test_a_file_that_is_there_stays_unless_told_otherwise(full: Engine, file: Path, copy: Path) -> None:
    copy.write_text("the club's only photograph")
    with pytest.raises(ClubbotError, match="is there already; name another file, or say --overwrite"):
        back_up(url(file), copy)
    kept = copy.read_text()
    back_up(url(file), copy, overwrite=True)

    assert kept == "the club's only photograph"
    assert everything(copy) == everything(file)


def test_the_database_itself_is_no_place_for_its_copy(full: Engine, file: Path) -> None:
    with pytest.raises(ClubbotError, match="is the database itself"):
        back_up(url(file), file, overwrite=True)

    assert everything(file)["people"]


def test_where_there_is_no_database_none_is_made(tmp_path: Path, copy: Path) -> None:
    with pytest.raises(ClubbotError, match="there is no database"):
        back_up(url(tmp_path / "nothing.db"), copy)

    assert not (tmp_path / "nothing.db").exists()
    assert not copy.exists()


def test_of_a_damaged_database_no_copy_is_kept(full: Engine, file: Path, copy: Path) -> None:
    spoil(full, file)
    with pytest.raises(ClubbotError, match="is damaged"):
        back_up(url(file), copy)

    assert list(copy.parent.iterdir()) == []


def spoil(engine: Engine, file: Path) -> None:
    engine.dispose()
    size = file.stat().st_size
    with file.open("r+b") as opened:
        opened.seek(8_192)
        opened.write(b"\xff" * (size - 8_192))


@pytest.fixture
def disk(tmp_path: Path) -> Iterator[Path]:
    """A disk that is nearly full."""
    folder = tmp_path / "disk"
    folder.mkdir()
    mounted = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=64k", "none", folder], capture_output=True, check=False
    )
    if mounted.returncode:
        pytest.skip("these tests may not mount a disk here")
    yield folder
    subprocess.run(["umount", "-l", folder], check=True)


def test_a_disk_that_is_too_small_keeps_no_half_copy(full: Engine, file: Path, disk: Path) -> None:
    with pytest.raises(DatabaseFault, match=r"backup.db.* cannot be written: the disk is full"):
        back_up(url(file), disk / "backup.db")

    assert list(disk.iterdir()) == []


# Putting back


def put_back(file: Path, copy: Path, *, send_waiting: bool = False, later: timedelta = HOUR) -> Restored:
    return restore(url(file), copy, NOON + later, send_waiting=send_waiting)


def test_what_was_known_is_known_again_row_by_row(full: Engine, file: Path, copy: Path) -> None:
    before, people_before = everything(file), [known(file, number) for number in EVERYBODY]
    back_up(url(file), copy)
    done(full, Reply(text="later"), KeepName(name="Someone else"), id="later", sender=KIM)
    with full.begin() as connection:
        connection.execute(update(people).where(people.c.number == LEE).values(language="en"))
    full.dispose()
    restored = put_back(file, copy, later=timedelta())

    assert everything(file) == before
    assert [known(file, number) for number in EVERYBODY] == people_before
    assert (restored.unsent, restored.unanswered, restored.unreminded) == (0, 0, 0)
    assert not restored.must_migrate


def test_the_database_from_before_is_kept_with_all_that_lay_beside_it(full: Engine, file: Path, copy: Path) -> None:
    back_up(url(file), copy)
    done(full, Reply(text="later"), id="later", sender=KIM)
    before = everything(file)
    full.dispose()
    first, second = put_back(file, copy), put_back(file, copy)

    assert first.kept_as is not None
    assert first.kept_as.name == "club.db.before-20270607T160000Z"
    assert everything(first.kept_as) == before
    assert second.kept_as not in {None, first.kept_as}
    assert not list(file.parent.glob("*.part*"))


def test_the_mark_of_the_text_that_was_being_read_goes_with_the_old_database(
    full: Engine, file: Path, copy: Path
) -> None:
    back_up(url(file), copy)
    full.dispose()
    mark = file.with_name("club.db-reading")
    mark.write_text("7")
    restored = put_back(file, copy)

    assert restored.kept_as
    assert restored.kept_as.with_name(restored.kept_as.name + "-reading").read_text() == "7"
    assert not mark.exists()


def test_what_was_left_beside_by_a_kill_does_not_get_into_the_restored_one(
    file: Path, copy: Path, tmp_path: Path
) -> None:
    engine = a_database(file)
    a_season(engine)
    back_up(url(file), copy)
    done(engine, Reply(text="later"), id="later", sender=KIM)
    killed = tmp_path / "killed"
    killed.mkdir()
    for one in file.parent.glob("club.db*"):  # as a kill leaves them: the last texts lie beside
        (killed / one.name).write_bytes(one.read_bytes())
    engine.dispose()
    assert (killed / "club.db-wal").stat().st_size
    restored = put_back(killed / "club.db", copy, later=timedelta())

    assert everything(killed / "club.db") == everything(copy)
    assert restored.kept_as
    assert len(everything(restored.kept_as)["inbox"]) == 6


def test_nothing_that_waited_is_sent_or_answered_a_second_time(full: Engine, file: Path, copy: Path) -> None:
    to_go(full, "on its way")
    to_go(full, "held")
    with full.begin() as connection:
        connection.execute(update(outbox).where(outbox.c.text == "held").values(state="held"))
        put_down(connection, a_text("is it open", id="unanswered"))
        put_down(connection, a_text("STOP please", id="stop", sender=LEE))
        connection.execute(
            insert(broadcasts).values(
                person="odile",
                number=JONAS,
                audience="everyone",
                words_en="a",
                words_fr="a",
                begun_at=NOON,
                people=1,
                left_out=0,
                state="held",
            )
        )
    back_up(url(file), copy)
    full.dispose()
    restored = put_back(file, copy, later=2 * HOUR)
    found = everything(file)

    assert (restored.unsent, restored.unanswered, restored.unreminded) == (2, 1, 1)
    assert [(row["text"], row["state"], row["reason"]) for row in found["outbox"]][-2:] == [
        ("on its way", "dropped", RESTORED),
        ("held", "dropped", RESTORED),
    ]
    assert [(row["their_id"], row["state"], row["outcome"]) for row in found["inbox"]][-2:] == [
        ("unanswered", "answered", RESTORED),
        ("stop", "waiting", None),  # a wish to get no more texts is heard
    ]
    assert [row["state"] for row in found["broadcasts"]] == ["ended"]
    assert [(row["state"], row["reason"]) for row in found["reminders"]] == [("dropped", RESTORED)]


def test_a_reminder_that_is_not_due_yet_still_comes(full: Engine, file: Path, copy: Path) -> None:
    back_up(url(file), copy)
    full.dispose()

    assert put_back(file, copy, later=HOUR / 2).unreminded == 0
    assert [row["state"] for row in everything(file)["reminders"]] == ["waiting"]


def test_told_to_all_that_waited_is_sent(full: Engine, file: Path, copy: Path) -> None:
    to_go(full, "on its way")
    before = everything(file)
    back_up(url(file), copy)
    full.dispose()
    put_back(file, copy, send_waiting=True, later=2 * HOUR)

    assert everything(file) == before


def test_whoever_opted_out_or_left_a_list_since_is_not_texted_again(full: Engine, file: Path, copy: Path) -> None:
    back_up(url(file), copy)
    later = NOON + timedelta(minutes=5)
    done(full, OptOut(words="stop"), id="later-1", sender=KIM, at=later)
    done(full, OptOut(words="arret"), id="later-2", sender="+19025550177", at=later)
    done(full, Unsubscribe(list_id="course-news", words="no news"), id="later-3", sender=LEE, at=later)
    full.dispose()
    restored = put_back(file, copy)
    found = everything(file)

    assert restored.opted_out_since == 2
    assert {row["number"] for row in found["people"] if row["opted_out"]} == {KIM, SAM, "+19025550177"}
    assert found["subscriptions"] == []


def test_a_damaged_database_is_replaced_kept_and_said_to_have_told_no_opt_outs(
    full: Engine, file: Path, copy: Path
) -> None:
    back_up(url(file), copy)
    before = everything(file)
    spoil(full, file)
    spoilt = file.read_bytes()
    restored = put_back(file, copy, later=timedelta())

    assert restored.opted_out_since is None
    assert restored.kept_as
    assert restored.kept_as.read_bytes() == spoilt
    assert everything(file) == before


def test_a_file_that_was_never_a_database_is_replaced_too(full: Engine, file: Path, copy: Path, tmp_path: Path) -> None:
    back_up(url(file), copy)
    other = tmp_path / "other.db"
    other.write_bytes(b"no database at all, but long enough to look like one. " * 100)
    put_back(other, copy, later=timedelta())

    assert everything(other) == everything(file)


def test_where_there_is_no_database_yet_one_is_put(full: Engine, file: Path, copy: Path, tmp_path: Path) -> None:
    back_up(url(file), copy)
    restored = put_back(tmp_path / "new.db", copy, later=timedelta())

    assert restored.kept_as is None
    assert everything(tmp_path / "new.db") == everything(file)


def test_while_a_service_runs_nothing_is_put_back(full: Engine, file: Path, copy: Path) -> None:
    back_up(url(file), copy)
    before = everything(file)
    with alone(file), pytest.raises(ClubbotError, match="another clubbot works on it; stop that one first"):
        put_back(file, copy)

    assert everything(file) == before


def no_database(copy: Path) -> None:
    copy.write_bytes(b"this was never a database, but a letter to the club. " * 200)


def somebody_elses(copy: Path) -> None:
    with closing(sqlite3.connect(copy)) as other:
        other.execute("CREATE TABLE recipes (name)")


def damaged(copy: Path) -> None:
    size = copy.stat().st_size
    with copy.open("r+b") as opened:
        opened.seek(8_192)
        opened.write(b"\xff" * (size - 8_192))


def of_a_later_version(copy: Path) -> None:
    with closing(sqlite3.connect(copy)) as other:
        other.execute("UPDATE alembic_version SET version_num = '9999'")
        other.commit()


def gone(copy: Path) -> None:
    copy.unlink()


def a_pipe(copy: Path) -> None:
    copy.unlink()
    os.mkfifo(copy)


@pytest.mark.parametrize(
    ("spoils", "told"),
    [
        (no_database, "is not a database"),
        (damaged, "is damaged"),
        (of_a_later_version, "has schema 9999"),
        (gone, "there is no file"),
        (a_pipe, "this is a pipe"),
    ],
)
def test_what_is_no_good_backup_is_refused_and_the_database_stays(
    full: Engine, file: Path, copy: Path, spoils: Callable[[Path], None], told: str
) -> None:
    back_up(url(file), copy)
    before = everything(file)
    full.dispose()
    spoils(copy)
    with pytest.raises(ClubbotError, match=told):
        put_back(file, copy)

    assert everything(file) == before
    assert not list(file.parent.glob("*.part*"))
    assert not list(file.parent.glob("*.before-*"))


def test_a_database_of_somebody_else_is_no_backup(full: Engine, file: Path, copy: Path) -> None:
    somebody_elses(copy)
    with pytest.raises(SchemaFault, match="no database of clubbot's"):
        put_back(file, copy)


def test_a_backup_of_an_older_version_is_put_back_and_must_be_migrated(full: Engine, file: Path, copy: Path) -> None:
    back_up(url(file), copy)
    with closing(sqlite3.connect(copy)) as older:
        older.execute("ALTER TABLE outbox DROP COLUMN parts")
        older.execute("UPDATE alembic_version SET version_num = '0004'")
        older.commit()
    full.dispose()
    restored = put_back(file, copy)
    engine = open_engine(url(file))
    with pytest.raises(SchemaFault, match="clubbot migrate"):
        make_ready(engine)
    engine.dispose()

    assert restored.must_migrate


def test_a_disk_that_is_too_small_keeps_the_database_as_it_was(
    full: Engine, file: Path, copy: Path, disk: Path
) -> None:
    back_up(url(file), copy)
    there = disk / "club.db"
    there.write_bytes(b"")
    with pytest.raises(DatabaseFault, match="the disk is full"):
        put_back(there, copy)

    assert sorted(one.name for one in disk.iterdir()) == ["club.db", "club.db.lock"]


KILLED = """
import os, signal, sys
from datetime import UTC, datetime
from pathlib import Path
from clubbot.store.backup import restore
left = int(sys.argv[3])

def count(event, args):
    global left
    if event in {"open", "os.rename", "os.link", "os.remove", "sqlite3.connect", "os.chmod"}:
        left -= 1
        if left == 0:
            os.kill(os.getpid(), signal.SIGKILL)

sys.addaudithook(count)
restore(sys.argv[1], Path(sys.argv[2]), datetime(2027, 6, 7, 16, tzinfo=UTC))
"""


def test_a_kill_at_any_step_of_restoring_leaves_the_old_database_or_the_new_one(
    full: Engine, file: Path, copy: Path, tmp_path: Path
) -> None:
    """Python documentation, "Audit events table": each of these steps tells of itself before it happens."""
    back_up(url(file), copy)
    done(full, Reply(text="later"), id="later", sender=KIM)
    full.dispose()
    old, found, codes = file.read_bytes(), set(), list[int]()
    for step in range(1, 60):
        there = tmp_path / f"{step}" / "club.db"
        there.parent.mkdir()
        there.write_bytes(old)
        command = [sys.executable, "-c", KILLED, url(there), str(copy), str(step)]
        codes.append(subprocess.run(command, cwd=ROOT, check=False).returncode)
        found.add(len(everything(there)["inbox"]))
        if codes[-1] == 0:
            break

    assert found == {5, 6}
    assert codes[-1] == 0
    assert set(codes[:-1]) == {-signal.SIGKILL}


# The commands


def test_both_commands_say_what_they_did(
    full: Engine, file: Path, copy: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    settings = tmp_path / "settings.toml"
    settings.write_text(
        f'database_url = "sqlite:///{file}"\ninbound_secret = "{INBOUND_SECRET}"\n'
        f'gateway_secret = "{GATEWAY_SECRET}"\ngateway_url = "http://127.0.0.1:9/send"\n'
    )
    to_go(full, "on its way")
    assert main(["backup", str(copy), "--settings", str(settings)]) == 0
    told = capsys.readouterr().out
    full.dispose()
    assert main(["restore", str(copy), "--settings", str(settings)]) == 0
    restored = capsys.readouterr().out
    file.unlink()
    assert main(["restore", str(copy), "--settings", str(settings)]) == 0
    without = capsys.readouterr().out

    assert (
        "3 people, 1 answers to events, 5 texts in, 5 texts out; the last text came in at 2027-06-07 15:00 UTC" in told
    )
    assert "1 text(s) that waited to go out then" in restored
    assert "--send-waiting" in restored
    assert "Opt-outs since then were taken over" in restored
    assert "OPT-OUTS SINCE THEN ARE LOST" in without
