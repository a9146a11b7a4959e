"""What people asked that no answer was written for: which topics, and whether so many of them asked the same that it should be."""

from datetime import datetime, timedelta

from rapidfuzz import fuzz
from sqlalchemy import Connection, select

from clubbot.model.effects import QUESTION_NUMBER, ProposeWriting
from clubbot.model.messages import PASSED_ON
from clubbot.store.pen import Decided, Pen, send
from clubbot.store.tables import inbox, outbox, questions
from clubbot.texting.keywords import bare

# So many people who asked the same within this time make a topic.
_ASKERS, _WITHIN = 3, timedelta(days=60)
# Of 100: texts that are so much alike ask the same.
_ALIKE = 84
_MOST = 2000


def read_lacking(connection: Connection, since: datetime, until: datetime) -> tuple[str, ...]:
    """The topics that were asked about and have no answer, each as often as it was."""
    topics = select(inbox.c.outcome).where(
        inbox.c.received_at.between(since, until), inbox.c.outcome.startswith(f"{PASSED_ON}: ", autoescape=True)
    )
    return tuple(one.removeprefix(f"{PASSED_ON}: ") for one in connection.execute(topics).scalars())


def propose_writing(connection: Connection, effect: ProposeWriting, decided: Decided, pen: Pen, now: datetime) -> None:
    """The organiser gets the text, once, where this is asked by the third of them."""
    asked = _asked_before(connection, effect, decided, now)
    if len({decided.message.sender, *(sender for _, sender in asked)}) < _ASKERS:
        return
    first = min((number for number, _ in asked), default=decided.inbox_id)
    key = f"write:{effect.topic or first}"
    if any(_was_told(connection, f"write:{number}") for number, _ in asked):
        return
    number = connection.execute(select(questions.c.number).where(questions.c.inbox_id == decided.inbox_id)).scalar()
    text = effect.text.replace(QUESTION_NUMBER, str(number or ""))
    send(connection, key, effect.number, text, False, pen, now, effect.due)


def _asked_before(
    connection: Connection, effect: ProposeWriting, decided: Decided, now: datetime
) -> list[tuple[int, str]]:
    """Texts of the last weeks that asked the same, by number, with who sent them."""
    lately = (inbox.c.received_at > now - _WITHIN, inbox.c.id != decided.inbox_id)
    rows = select(inbox.c.id, inbox.c.sender, inbox.c.text).where(*lately).order_by(inbox.c.id.desc()).limit(_MOST)
    if effect.topic is not None:
        found = connection.execute(rows.where(inbox.c.outcome == f"{PASSED_ON}: {effect.topic}"))
        return [(row.id, row.sender) for row in found]
    words = bare(decided.message.text)
    found = connection.execute(rows.where(inbox.c.outcome == PASSED_ON, inbox.c.text != ""))
    return [(row.id, row.sender) for row in found if fuzz.token_sort_ratio(words, bare(row.text)) >= _ALIKE]


def _was_told(connection: Connection, key: str) -> bool:
    return connection.execute(select(outbox.c.seq).where(outbox.c.key == key)).scalar() is not None
