"""What went to many of late, counted by what was sent, and texts that do not go: for those of the club who ask."""

from datetime import date, datetime, timedelta

from sqlalchemy import Connection, func, select

from clubbot.model.going_out import LineFaults, SentKind, WentOut
from clubbot.model.messages import Said
from clubbot.model.rsvps import DayId
from clubbot.store.tables import broadcasts, outbox, reminders
from clubbot.texting.parts import count

_LOOKS_BACK = timedelta(days=7)
_REFUSED_WITHIN = timedelta(days=1)
# A text that is due for so long and has not gone is late.
_LATE = timedelta(minutes=10)
_GOT = ("sent", "delivered")
_WAITS = ("waiting", "held")
_MOST = 20_000
_KINDS: tuple[SentKind, ...] = ("change", "offer")


def read_went_out(connection: Connection, now: datetime) -> tuple[WentOut, ...]:
    """What went to many within a week, the latest first."""
    since = now - _LOOKS_BACK
    found = [*_news(connection, since), *_of_days(connection, since), *_reminders(connection, since)]
    return tuple(sorted(found, key=lambda one: one.at, reverse=True))


def read_line_faults(connection: Connection, now: datetime) -> LineFaults:
    """What the line refused within a day, and what should have gone."""
    lost = select(func.count(), func.min(outbox.c.created_at)).where(
        outbox.c.state.in_(["failed", "given up"]), outbox.c.created_at > now - _REFUSED_WITHIN
    )
    late = select(func.count(), func.min(outbox.c.due_at)).where(
        outbox.c.state == "waiting", outbox.c.due_at < now - _LATE
    )
    refused, refused_since = connection.execute(lost).one()
    waits, late_since = connection.execute(late).one()
    return LineFaults(refused=refused, refused_since=refused_since, late=waits, late_since=late_since)


def read_month_parts(connection: Connection, since: datetime) -> int:
    """How many text parts went out since then. Texts to many are alike: the parts of each wording are counted once."""
    went = outbox.c.sent_at >= since
    alike = select(outbox.c.text, func.count()).where(went, outbox.c.text != "").group_by(outbox.c.text)
    blanked = connection.execute(select(func.sum(outbox.c.parts)).where(went, outbox.c.text == "")).scalar()
    parts = int(blanked or 0)
    for text, times in connection.execute(alike):
        parts += count(text) * times
    return parts


def _news(connection: Connection, since: datetime) -> list[WentOut]:
    found = []
    for row in connection.execute(select(broadcasts).where(broadcasts.c.begun_at > since)).all():
        counted = select(outbox.c.state, func.count()).where(outbox.c.broadcast == row.id).group_by(outbox.c.state)
        counts = {str(state): int(count) for state, count in connection.execute(counted)}
        kind, list_id, on = _audience(row.audience)
        found.append(
            WentOut(
                kind="news",
                at=row.begun_at,
                got=sum(counts.get(state, 0) for state in _GOT),
                waits=sum(counts.get(state, 0) for state in _WAITS),
                audience=kind,
                list_id=list_id,
                on=on,
                words=Said(en=row.words_en, fr=row.words_fr),
            )
        )
    return found


def _audience(named: str) -> tuple[str, str, DayId | None]:
    """The audience as a broadcast is kept with: "list NAME", "event NAME 2027-06-09"."""
    kind, *rest = named.split()
    if len(rest) > 1:
        return kind, "", DayId(rest[-2], date.fromisoformat(rest[-1]))
    return kind, rest[0] if rest else "", None


def _of_days(connection: Connection, since: datetime) -> list[WentOut]:
    """Changes and offers, which go to each person of a day by themselves: counted by the key of each text."""
    found = []
    for kind in _KINDS:
        sent = (
            select(outbox.c.key, outbox.c.state, outbox.c.created_at)
            .where(outbox.c.key >= f"{kind}:", outbox.c.key < f"{kind};", outbox.c.created_at > since)
            .limit(_MOST)
        )
        days: dict[DayId, list[tuple[str, datetime]]] = {}
        for key, state, at in connection.execute(sent):
            _, event, day, *_ = key.split(":")
            days.setdefault(DayId(event, date.fromisoformat(day)), []).append((state, at))
        for on, texts in days.items():
            got = sum(state in _GOT for state, _ in texts)
            waits = sum(state in _WAITS for state, _ in texts)
            found.append(WentOut(kind=kind, at=max(at for _, at in texts), got=got, waits=waits, on=on))
    return found


def _reminders(connection: Connection, since: datetime) -> list[WentOut]:
    told = (
        select(reminders.c.event, reminders.c.day, func.count(), func.max(reminders.c.ended_at))
        .where(reminders.c.state == "told", reminders.c.ended_at > since)
        .group_by(reminders.c.event, reminders.c.day)
    )
    return [
        WentOut(kind="reminder", at=at, got=count, on=DayId(event, day))
        for event, day, count, at in connection.execute(told)
    ]
