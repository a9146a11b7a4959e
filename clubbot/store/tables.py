"""The tables. Times are UTC seconds in one column type that refuses naive ones; the schema itself is kept by migrations."""

from datetime import UTC, datetime

from sqlalchemy import (
    Boolean,
    Column,
    Date,
    Float,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    String,
    Table,
    Text,
    Time,
    UniqueConstraint,
    false,
    text,
)
from sqlalchemy.engine import Dialect
from sqlalchemy.types import TypeDecorator


class Moment(TypeDecorator[datetime]):
    """An aware time, kept as seconds since 1970 UTC, so that SQLite and PostgreSQL sort and return the same."""

    impl = Float(53)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> float | None:
        """Refuses a naive time: nobody could say when it was."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError(f"a time without a zone cannot be stored: {value}")
        return value.timestamp()

    def process_result_value(self, value: float | None, dialect: Dialect) -> datetime | None:
        """Comes back in UTC."""
        return None if value is None else datetime.fromtimestamp(value, UTC)


metadata = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
        "pk": "pk_%(table_name)s",
    }
)

# Every text that came in. "waiting" until its effects are written, then "answered"; the outcome says what was done. "begun" is a waiting
# one during whose reading the service was killed.
inbox = Table(
    "inbox",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("channel", String(40), nullable=False),
    Column("their_id", String(255), nullable=False),
    Column("delivery_id", String(255), nullable=False),
    Column("sender", String(80), nullable=False),
    Column("recipient", String(80), nullable=False),
    Column("text", Text, nullable=False),
    Column("received_at", Moment, nullable=False),
    Column("state", String(10), nullable=False),
    Column("answered_at", Moment),
    Column("outcome", String(60)),
    Column("served", String(200)),
    Column("kind", String(12)),  # what it was, for the limits of one phone
    UniqueConstraint("channel", "their_id"),
    UniqueConstraint("channel", "delivery_id"),
    Index("ix_inbox_state_id", "state", "id"),
    Index("ix_inbox_sender_received_at", "sender", "received_at"),
)

# Every text that goes out. `key` says what it is for and is there once; `id` is what the gateway knows it by.
outbox = Table(
    "outbox",
    metadata,
    Column("seq", Integer, primary_key=True),
    Column("id", String(60), nullable=False, unique=True),
    Column("key", String(120), nullable=False, unique=True),
    Column("recipient", String(80), nullable=False),
    Column("sender", String(80), nullable=False),
    Column("text", Text, nullable=False),
    Column("created_at", Moment, nullable=False),
    Column("due_at", Moment, nullable=False),
    Column("claimed_until", Moment),
    Column("state", String(12), nullable=False),  # waiting, sent, given up, dropped; delivered, failed by report
    Column("attempts", Integer, nullable=False),
    Column("asks_consent", Integer, nullable=False),
    Column("sent_at", Moment),
    Column("reason", Text),
    # -1 for what waits behind nothing (danger, the confirmation of an opt-out), 1 for what every reply overtakes
    Column("after", Integer, nullable=False, server_default="0"),
    Column("by_day", Integer, nullable=False, server_default="0"),  # not in the quiet hours, however late it is
    Column("broadcast", Integer),
    Column("parts", Integer),  # how many it was charged as, once its words are no longer kept
    Index("ix_outbox_state_after_due_at", "state", "after", "due_at"),
    Index("ix_outbox_recipient_state_seq", "recipient", "state", "seq"),
    Index("ix_outbox_recipient_created_at", "recipient", "created_at"),
    Index("ix_outbox_broadcast_state", "broadcast", "state"),
)

# Everybody who ever wrote, by number.
people = Table(
    "people",
    metadata,
    Column("number", String(80), primary_key=True),
    Column("language", String(2)),
    Column("name", String(80)),
    Column("opted_out", Integer, nullable=False),
    Column("introduced", Integer, nullable=False),
    Column("quiet_reason", String(20)),
    Column("first_seen_at", Moment, nullable=False),
)

# Proof of consent, only ever added to: who, when, how, in what words.
consents = Table(
    "consents",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("number", String(80), nullable=False),
    Column("at", Moment, nullable=False),
    Column("what", String(20), nullable=False),  # first text, stop, start, list on, list off
    Column("list_id", String(60)),
    Column("channel", String(40), nullable=False),
    Column("words", Text, nullable=False),
    Column("inbox_id", Integer, ForeignKey("inbox.id"), nullable=False),
    Index("ix_consents_number_at", "number", "at"),
)

subscriptions = Table(
    "subscriptions",
    metadata,
    Column("number", String(80), primary_key=True),
    Column("list_id", String(60), primary_key=True),
    Column("since", Moment, nullable=False),
)

# The memory of each conversation (model/dialogue.py) as JSON: what was said last, what was spoken of, the question that is open. `said_at` is when words
# that a text could lean on were last said.
dialogues = Table(
    "dialogues",
    metadata,
    Column("number", String(80), primary_key=True),
    Column("state", Text, nullable=False),
    Column("said_at", Moment),
    Column("at", Moment, nullable=False),
    Index("ix_dialogues_said_at", "said_at"),
    Index("ix_dialogues_at", "at"),
)

# Texts that were misread, as their writers told us, for the digest; whose they are is not kept.
doubts = Table(
    "doubts",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("text", Text, nullable=False),
    Column("read_as", String(80), nullable=False),
    Column("meant", String(80)),
    Column("at", Moment, nullable=False),
    Index("ix_doubts_at", "at"),
)

# What waits for a person, and what became of it.
questions = Table(
    "questions",
    metadata,
    Column("number", Integer, primary_key=True),
    Column("inbox_id", Integer, ForeignKey("inbox.id"), nullable=False, unique=True),
    Column("asker", String(80), nullable=False),
    Column("language", String(2), nullable=False),
    Column("reason", String(60), nullable=False),
    Column("person", String(60), nullable=False),
    Column("asked_at", Moment, nullable=False),
    Column("answered_at", Moment),
    Column("answered_by", String(60)),
    Column("told", Text, nullable=False, server_default=text("''")),  # ids of those it was passed to, a blank between
    Column("next_at", Moment),  # when the next on the roster is told too
    Column("answer", Text),  # the words of the last answer, for teaching
    Column("so_far", Text, nullable=False, server_default=text("''")),  # what the asker wrote before, while it was open
    Column("state", String(8), nullable=False, server_default=text("'told'")),  # "kept": told to nobody singly
    Column(
        "held", Integer, nullable=False, server_default="0"
    ),  # texts of an alarm that its person is still to be told of
    Column("cried_at", Moment),  # the last text of an alarm
    Column("noted_at", Moment),  # when the number of kept questions was told with this one among them
    Index("ix_questions_answered_at", "answered_at"),
    Index("ix_questions_next_at", "next_at"),
    Index("ix_questions_asker", "asker"),
    Index("ix_questions_held", "held"),
    Index("ix_questions_state_answered_at", "state", "answered_at"),
)

# When somebody of the club was last told of alarms: the next text about them waits two minutes.
alarms_told = Table(
    "alarms_told",
    metadata,
    Column("person", String(60), primary_key=True),
    Column("at", Moment, nullable=False),
)

# What went through of late that all phones together may do so many times an hour; swept.
let_through = Table(
    "let_through",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("kind", String(80), nullable=False),
    Column("people", Integer, nullable=False),
    Column("at", Moment, nullable=False),
    Index("ix_let_through_at", "at"),
)

closures = Table(
    "closures",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("what", String(60), nullable=False),
    Column("since", Moment, nullable=False),
    Column("until", Moment),
    Column("reason_en", Text, nullable=False),
    Column("reason_fr", Text, nullable=False),
    Column("ended_at", Moment),
    Column("kind", String(10), nullable=False, server_default="planned"),
    Column("made_by", String(60)),
    Column("asked_at", Moment),  # when somebody was asked whether it can be opened again
    Column("begun", Boolean, nullable=False, server_default=false()),  # in force when it was told
)

# One day of an event as far as anybody has answered to it. The counts are kept with every change, so that an answer costs the same
# however many there are; `version` grows with each, so that two answers decided at once are not both written.
event_days = Table(
    "event_days",
    metadata,
    Column("event", String(60), primary_key=True),
    Column("day", Date, primary_key=True),
    Column("coming", Integer, nullable=False),
    Column("maybe", Integer, nullable=False),
    Column("waiting", Integer, nullable=False),
    Column("offered", Integer, nullable=False),
    Column("came", Integer, nullable=False),
    Column("new_faces", Integer, nullable=False),
    Column("version", Integer, nullable=False),
    Column("last_turn", Integer, nullable=False),
    Index("ix_event_days_day", "day"),
)

# Every party's answer. `told` is what they were last told of the day, `told_at` when.
rsvps = Table(
    "rsvps",
    metadata,
    Column("event", String(60), primary_key=True),
    Column("day", Date, primary_key=True),
    Column("number", String(80), primary_key=True),
    Column("state", String(10), nullable=False),  # coming, waiting, maybe, off
    Column("people", Integer, nullable=False),
    Column("turn", Integer, nullable=False),
    Column("offered", Integer, nullable=False),
    Column("offered_until", Moment),
    Column("passed_over", Integer, nullable=False),
    Column("stand_in", String(80)),
    Column("who", Text, nullable=False, server_default=text("'[]'")),  # as JSON, by store/guests
    Column("late", Moment),
    Column("unreminded", Integer, nullable=False, server_default=text("0")),
    Column("told", String(200)),
    Column("told_at", Moment),
    Column("since", Moment, nullable=False),
    Column("changed_at", Moment, nullable=False),
    Index("ix_rsvps_event_day_state_turn", "event", "day", "state", "turn"),
    Index("ix_rsvps_number_day", "number", "day"),
    Index("ix_rsvps_offered_until", "offered_until"),
)

reminders = Table(
    "reminders",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("number", String(80), nullable=False),
    Column("event", String(60), nullable=False),
    Column("day", Date, nullable=False),
    Column("kind", String(10), nullable=False),  # evening, hours, asked
    Column("due_at", Moment, nullable=False),
    Column("state", String(10), nullable=False),  # waiting, told, dropped
    Column("reason", String(80)),
    Column("ended_at", Moment),
    UniqueConstraint("number", "event", "day", "kind"),
    Index("ix_reminders_state_due_at", "state", "due_at"),
)

# Who was there. `new_face` where it was the first event this phone ever signed in to.
attendance = Table(
    "attendance",
    metadata,
    Column("event", String(60), primary_key=True),
    Column("day", Date, primary_key=True),
    Column("number", String(80), primary_key=True),
    Column("people", Integer, nullable=False),
    Column("new_face", Integer, nullable=False),
    Column("came_at", Moment, nullable=False),
    Index("ix_attendance_number", "number"),
)

# The calendar entries as last seen: one of each event, under the day 1 January of the year 1, and one of each changed day.
revisions = Table(
    "revisions",
    metadata,
    Column("event", String(60), primary_key=True),
    Column("day", Date, primary_key=True),
    Column("words", Text, nullable=False),
    Column("sequence", Integer, nullable=False),
    Column("changed_at", Moment, nullable=False),
)

# What waits for its code, one of each person.
drafts = Table(
    "drafts",
    metadata,
    Column("number", String(80), primary_key=True),
    Column("code", String(8), nullable=False),
    Column("deed", Text, nullable=False),
    Column("until", Moment, nullable=False),
    Column("earlier", Text),  # the codes of what it took the place of, with blanks between
)

# Every wrong code of the last days, by the phone that it came from.
wrong_codes = Table(
    "wrong_codes",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("number", String(80), nullable=False),
    Column("at", Moment, nullable=False),
    Index("ix_wrong_codes_at", "at"),
)

# Phones of the club's people that take no orders: since NOT ME, or `by` somebody else's word, who can be the only one to give it back.
suspended = Table(
    "suspended",
    metadata,
    Column("number", String(80), primary_key=True),
    Column("since", Moment, nullable=False),
    Column("by", String(40)),
)

# Who of the club answered which question when, kept for as long as NOT ME looks back.
sent_answers = Table(
    "sent_answers",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("question", Integer, ForeignKey("questions.number"), nullable=False),
    Column("person", String(60), nullable=False),
    Column("at", Moment, nullable=False),
    Index("ix_sent_answers_at", "at"),
)

# Everything that somebody of the club did, only ever added to: who, when, what, by which message.
deeds = Table(
    "deeds",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("person", String(60), nullable=False),
    Column("at", Moment, nullable=False),
    Column("what", Text, nullable=False),
    Column("inbox_id", Integer, ForeignKey("inbox.id"), nullable=False),
)

# Days of events that were changed by text; they go before the files.
event_changes = Table(
    "event_changes",
    metadata,
    Column("event", String(60), primary_key=True),
    Column("day", Date, primary_key=True),
    Column("called_off", Integer, nullable=False),
    Column("reason_en", Text, nullable=False),
    Column("reason_fr", Text, nullable=False),
    Column("at", Moment, nullable=False),
    Column("starts", Time),
    Column("ends", Time),
    Column("moved_to", Date),
    Column("meet_en", Text),
    Column("meet_fr", Text),
)

# Events of one day that were added by text.
added_events = Table(
    "added_events",
    metadata,
    Column("id", String(60), primary_key=True),
    Column("event", Text, nullable=False),
    Column("at", Moment, nullable=False),
)

# The club's people as they are by text: another number, or somebody who joined.
roster_changes = Table(
    "roster_changes",
    metadata,
    Column("id", String(80), primary_key=True),
    Column("person", Text, nullable=False),
    Column("at", Moment, nullable=False),
)

# The roles of the club's people as they are by text, joined by commas.
role_changes = Table(
    "role_changes",
    metadata,
    Column("id", String(80), primary_key=True),
    Column("roles", Text, nullable=False),
    Column("at", Moment, nullable=False),
)

# Who is none of the club's people any more, by text.
retired = Table(
    "retired",
    metadata,
    Column("id", String(80), primary_key=True),
    Column("name", Text, nullable=False),
    Column("number", String(80), nullable=False),
    Column("at", Moment, nullable=False),
)

# Who has all turns of a day, by text.
duty_days = Table(
    "duty_days",
    metadata,
    Column("day", Date, primary_key=True),
    Column("person", String(80), nullable=False),
)

# Turns of the roster that somebody else takes.
duty_swaps = Table(
    "duty_swaps",
    metadata,
    Column("day", Date, primary_key=True),
    Column("instead_of", String(60), primary_key=True),
    Column("taker", String(60), nullable=False),
)

# Texts to many people. "sending" until nothing of it waits any more, then "ended".
broadcasts = Table(
    "broadcasts",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("person", String(60), nullable=False),
    Column("number", String(80), nullable=False),
    Column("audience", String(120), nullable=False),
    Column("words_en", Text, nullable=False),
    Column("words_fr", Text, nullable=False),
    Column("begun_at", Moment, nullable=False),
    Column("people", Integer, nullable=False),
    Column("left_out", Integer, nullable=False),
    Column("state", String(10), nullable=False),  # sending, held, ended
    Index("ix_broadcasts_state", "state"),
)

# Damage on the course, discs lost and found: what was told, by whom, and which fits which.
reports = Table(
    "reports",
    metadata,
    Column("number", Integer, primary_key=True),
    Column("kind", String(12), nullable=False),  # hazard, lost-disc, found-disc
    Column("hole", Integer),
    Column("words", Text, nullable=False),
    Column("reporter", String(80), nullable=False),
    Column("language", String(2), nullable=False),
    Column("at", Moment, nullable=False),
    Column("fits", Integer),  # the report that it was matched with
    Column("part", String(60)),  # the loop that was named
    Column("question", Integer),  # what was passed on with it
    Column("done_at", Moment),
    Column("done_by", String(60)),
    Index("ix_reports_kind_at", "kind", "at"),
    Index("ix_reports_done_at", "done_at"),
    Index("ix_reports_reporter", "reporter"),
)

# Two people who may write to each other through the club, neither seeing the other's number.
relays = Table(
    "relays",
    metadata,
    Column("owner", String(80), primary_key=True),
    Column("finder", String(80), primary_key=True),
    Column("until", Moment, nullable=False),
)

# The digests that have gone, one a day.
digests = Table("digests", metadata, Column("day", Date, primary_key=True), Column("at", Moment, nullable=False))

# What volunteers' answers have taught, until somebody forgets it.
taught = Table(
    "taught",
    metadata,
    Column("number", Integer, primary_key=True),
    Column("topic", String(60)),
    Column("asked", Text, nullable=False),
    Column("language", String(2), nullable=False),
    Column("answer", Text),
    Column("by", String(60), nullable=False),
    Column("at", Moment, nullable=False),
    Column("forgotten_at", Moment),
)
