"""Log lines: readable, and no phone number in any of them."""

import logging
import os
import re
import subprocess
import sys
from collections.abc import Callable
from io import StringIO
from pathlib import Path

import pytest

from clubbot.logs import KEPT, LARGEST, MaskingFormatter, OnceAMinute
from tests.builders import KIM

WRITTEN = [
    KIM,
    "19025550142",
    "9025550142",
    "902-555-0142",
    "(902) 555-0142",
    "902.555.0142",
    "902 555 0142",
    "+1 (902) 555\u20110142",
    "902\u00a0555\u00a00142",
    "555-0142",
]
TIME = re.compile(r"^\d{4}-\d\d-\d\d \d\d:\d\d:\d\d,\d{3} ")


class Unreadable(Exception):
    """A fault that tells of a number."""


def line_of(say: Callable[[logging.Logger], None], *others: logging.Handler) -> str:
    """What a logger writes; `others` get each record before."""
    lines = StringIO()
    ours = logging.StreamHandler(lines)
    ours.setFormatter(MaskingFormatter("%(asctime)s %(levelname)s %(name)s: %(message)s"))
    logger = logging.Logger("clubbot.test")
    for one in (*others, ours):
        logger.addHandler(one)
    say(logger)
    return lines.getvalue()


def assert_masked(written: str) -> None:
    """Nothing is left of the number but its last two digits, whatever stood between them."""
    assert "…42" in written
    together = re.sub(r"[\W_]+", "", "\n".join(TIME.sub("", line) for line in written.splitlines()))
    for piece in ("90255", "5550", "0142"):
        assert piece not in together


def fail_with(written: str) -> None:
    raise Unreadable(f"the sender {written} is unreadable")


@pytest.mark.parametrize("written", WRITTEN)
def test_no_number_in_a_message(written: str) -> None:
    assert_masked(line_of(lambda log: log.info(f"text from {written} taken")))


@pytest.mark.parametrize("written", WRITTEN)
def test_no_number_in_the_arguments_of_a_message(written: str) -> None:
    assert_masked(line_of(lambda log: log.info("text from %s taken", written)))


def test_no_number_in_arguments_that_are_no_text() -> None:
    assert_masked(line_of(lambda log: log.info("%d", 19025550142)))
    assert_masked(line_of(lambda log: log.info("%(sender)s", {"sender": KIM})))
    assert_masked(line_of(lambda log: log.info("%r", [KIM, (KIM,)])))
    assert_masked(line_of(lambda log: log.info("%s", Unreadable(KIM))))


def test_no_number_that_message_and_argument_make_together() -> None:
    assert_masked(line_of(lambda log: log.info("+1902555%s", "0142")))


@pytest.mark.parametrize("written", WRITTEN)
def test_no_number_in_a_trace(written: str) -> None:
    def say(log: logging.Logger) -> None:
        try:
            fail_with(written)
        except Unreadable:
            log.exception("a text could not be read")

    shown = line_of(say)

    assert "a text could not be read" in shown
    assert "Traceback (most recent call last)" in shown
    assert "Unreadable: the sender" in shown
    assert_masked(shown)


def test_no_number_in_the_trace_of_a_fault_that_another_caused() -> None:
    def say(log: logging.Logger) -> None:
        try:
            try:
                fail_with(KIM)
            except Unreadable as fault:
                raise ValueError("not stored") from fault
        except ValueError:
            log.exception("a text could not be kept")

    shown = line_of(say)

    assert "direct cause" in shown
    assert_masked(shown)


def test_no_number_in_a_trace_that_another_log_has_written_before() -> None:
    before = StringIO()

    def say(log: logging.Logger) -> None:
        try:
            fail_with(KIM)
        except Unreadable:
            log.exception("a text could not be read")

    shown = line_of(say, logging.StreamHandler(before))

    assert KIM in before.getvalue()  # the other log has its own ways, and leaves its trace at the record
    assert_masked(shown)


def test_no_number_in_the_place_where_it_was_said() -> None:
    shown = line_of(lambda log: log.info("said here", stack_info=True))  # +19025550142: the stack shows this line

    assert "Stack (most recent call last)" in shown
    assert_masked(shown)


def test_a_number_over_two_lines_is_masked() -> None:
    assert_masked(line_of(lambda log: log.info("902\n555\n0142")))


@pytest.mark.parametrize(
    "message",
    [
        "sent msg_7 to …42, 2 part(s)",
        "listening on 127.0.0.1:8080",
        "hole 18, par 61, 204 m",
        "the gateway answered 503",
    ],
)
def test_what_is_no_number_stays_readable(message: str) -> None:
    assert message in line_of(lambda log: log.info(message))


def test_the_time_in_front_stays_readable() -> None:
    record = logging.makeLogRecord({"msg": f"text from {KIM}", "name": "clubbot.test", "levelname": "INFO"})
    record.created, record.msecs = 1814367600.25, 250  # 2027-06-30T15:00:00Z
    shape = MaskingFormatter("%(asctime)s %(message)s")
    expected = logging.Formatter().formatTime(record)

    assert TIME.match(expected + " ")
    assert shape.format(record) == f"{expected} text from …42"


SAYS = f"""
import logging
from clubbot.logs import log_to_stderr
log_to_stderr()
logging.getLogger("clubbot.mailroom").info("text from %s taken", {KIM!r})
logging.getLogger("clubbot.mailroom").debug("not shown")
logging.getLogger("aiohttp.server").info("not shown either")
logging.getLogger("aiohttp.server").warning("refused {KIM}")
logging.info("nor this")
try:
    raise ValueError("the sender 902 555 0142")
except ValueError:
    logging.getLogger("sqlalchemy.pool").exception("broken")
"""


def test_a_process_logs_its_own_words_and_the_warnings_of_others_all_masked() -> None:
    ended = subprocess.run([sys.executable, "-c", SAYS], capture_output=True, text=True, check=True, encoding="utf-8")
    dated = [TIME.sub("", line) for line in ended.stderr.splitlines() if TIME.match(line)]

    assert dated == [
        "INFO clubbot.mailroom: text from …42 taken",
        "WARNING aiohttp.server: refused …42",
        "ERROR sqlalchemy.pool: broken",
    ]
    assert "ValueError: the sender …42" in ended.stderr
    assert_masked(ended.stderr)
    assert ended.stdout == ""


# Bounded


class Minutes:
    """Seconds moved by hand."""

    def __init__(self) -> None:
        self.now = 0.0

    def __call__(self) -> float:
        return self.now


def a_log(seconds: Minutes) -> tuple[logging.Logger, StringIO]:
    lines = StringIO()
    ours = logging.StreamHandler(lines)
    ours.setFormatter(MaskingFormatter("%(levelname)s %(message)s"))
    ours.addFilter(OnceAMinute(seconds))
    logger = logging.Logger("clubbot.test")
    logger.addHandler(ours)
    return logger, lines


def test_a_fault_that_comes_again_and_again_is_said_once_a_minute_with_how_often() -> None:
    seconds = Minutes()
    log, lines = a_log(seconds)
    for number in range(1_000):
        seconds.now = number * 0.1
        log.error("the disk is full")

    assert lines.getvalue().splitlines() == [
        "ERROR the disk is full",
        "ERROR the disk is full (said again 599 times meanwhile)",
    ]


def test_other_faults_are_said_beside_it_and_what_is_no_fault_always() -> None:
    log, lines = a_log(Minutes())
    for number in range(3):
        log.error("the disk is full")
        log.warning("msg_%d not taken", number)
        log.info("text taken")

    assert lines.getvalue().splitlines() == [
        "ERROR the disk is full",
        "WARNING msg_0 not taken",
        "INFO text taken",
        "WARNING msg_1 not taken",
        "INFO text taken",
        "WARNING msg_2 not taken",
        "INFO text taken",
    ]


def test_a_trace_of_the_same_fault_about_another_text_is_not_written_again() -> None:
    log, lines = a_log(Minutes())
    for number in range(100):
        try:
            fail_with(KIM)
        except Unreadable:
            log.exception("message %d could not be read", number)

    assert lines.getvalue().count("Traceback") == 1


def test_a_thousand_different_faults_are_not_all_remembered() -> None:
    seconds = Minutes()
    log, lines = a_log(seconds)
    for number in range(1_000):
        log.error("fault %d", number)
    log.error("fault 0")

    assert lines.getvalue().count("fault 0\n") == 2


LOGS_MUCH = """
import logging, sys
from pathlib import Path
from clubbot.logs import log_to
log_to(Path(sys.argv[1]))
for number in range(int(sys.argv[2])):
    logging.getLogger("clubbot.mailroom").info("%d %s", number, "x" * 1000)
"""


def log_much(file: Path, lines: int) -> "subprocess.CompletedProcess[str]":
    command = [sys.executable, "-c", LOGS_MUCH, str(file), str(lines)]
    return subprocess.run(command, capture_output=True, text=True, check=True, encoding="utf-8")


def test_a_log_file_and_its_older_ones_stay_bounded(tmp_path: Path) -> None:
    ended = log_much(tmp_path / "club.log", 40_000)
    sizes = [one.stat().st_size for one in tmp_path.iterdir()]

    assert ended.stderr == ""
    assert len(sizes) == KEPT + 1
    assert max(sizes) <= LARGEST
    assert "39999 x" in (tmp_path / "club.log").read_text()


@pytest.mark.parametrize("name", ["nowhere/club.log", "folder", "pipe"])
def test_a_log_file_that_cannot_be_written_is_said_once_and_the_log_goes_to_standard_error(
    tmp_path: Path, name: str
) -> None:
    (tmp_path / "folder").mkdir()
    os.mkfifo(tmp_path / "pipe")
    said = log_much(tmp_path / name, 2).stderr.splitlines()

    assert "cannot be written" in said[0]
    assert "CLUBBOT_LOG_FILE" in said[0]
    assert [" 0 xxx" in said[1], " 1 xxx" in said[2], len(said)] == [True, True, 3]


def test_lines_that_a_full_disk_does_not_take_go_to_standard_error_without_a_trace(tmp_path: Path) -> None:
    """RLIMIT_FSIZE of setrlimit(2) stands for the full disk: the file takes no more than its limit."""
    limited = "import resource; resource.setrlimit(resource.RLIMIT_FSIZE, (100_000, 100_000))\n" + LOGS_MUCH
    command = [sys.executable, "-c", limited, str(tmp_path / "club.log"), "150"]
    ended = subprocess.run(command, capture_output=True, text=True, check=True, encoding="utf-8")

    assert "Traceback" not in ended.stderr
    assert (tmp_path / "club.log").stat().st_size <= 100_000
    assert " 149 xxx" in ended.stderr.splitlines()[-1]
