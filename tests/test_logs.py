"""Log lines: readable, and no phone number in any of them."""

import logging
import re
import subprocess
import sys
from collections.abc import Callable
from io import StringIO

import pytest

from clubbot.logs import MaskingFormatter
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
