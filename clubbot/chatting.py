"""Texting a club in the terminal, for `clubbot chat`: both sides are shown, and a line that begins with a colon is for the terminal, not the
club: it moves the clock, changes the phone, or shows what is known of it.
"""

from collections.abc import Iterator
from datetime import date, datetime, time, timedelta

from sqlalchemy import select

from clubbot.conversation.phrasing import Voice
from clubbot.handbook.book import Handbook
from clubbot.mailroom.answering import as_now
from clubbot.model.club import Knowledge
from clubbot.rehearsal import Heard, Rehearsal
from clubbot.store.store import read
from clubbot.store.tables import consents, people, questions, rsvps, subscriptions
from clubbot.texting.numbers import to_e164

HELP = (
    ":at 18:30 or :at 2027-06-12 9:00 moves the clock; :as +1 902 555 0143 is another phone; "
    ":who shows what is known of it; :help shows this."
)
# ":D" is said to the club.
_SMILEY = 2
_MOST_AHEAD = timedelta(days=400)


class Chat:
    """One phone after the other, on a club in memory, at an hour that stands still until it is moved."""

    def __init__(self, handbook: Handbook, sender: str, now: datetime) -> None:
        self._club, self._sender, self.now = Rehearsal(handbook), sender, now

    def line(self, typed: str, now: datetime | None = None) -> Iterator[str]:
        """What is shown for a line that was typed, `now` where the clock runs on by itself."""
        if now is not None:
            self.now = max(self.now, now)
        word, _, rest = typed.strip().partition(" ")
        match word.casefold():
            case ":at":
                yield from self._at(rest)
            case ":as":
                yield self._as(rest)
            case ":who":
                yield from self._who()
            case _ if word.startswith(":") and word[1:].isalpha() and len(word) > _SMILEY:
                yield HELP
            case _:
                yield from self._shown(self._club.text(self._sender, typed, self.now))

    def _shown(self, heard: list[Heard]) -> Iterator[str]:
        if not heard:
            yield "(no answer)"
        for one in heard:
            yield f"{self._whose(one.recipient)}< {one.text}"

    def _whose(self, number: str) -> str:
        if number == self._sender:
            return ""
        found = (one.first_name for one in self._knowledge().people if one.number == number)
        return f"{next(found, number)} "

    def _at(self, said: str) -> Iterator[str]:
        """The clock goes on to that time; what is sent on the way is shown."""
        zone = self._knowledge().club.zone
        then = _moment(said.strip(), self.now.astimezone(zone))
        if then is None:
            yield f"(:at {said}: no such time. {HELP})"
            return
        if not self.now <= then <= self.now + _MOST_AHEAD:
            yield f"(the clock only runs on, by {_MOST_AHEAD.days} days at most; it is {self.now.astimezone(zone):%A %d %B %Y %H:%M})"
            return
        heard = self._club.pass_time(self.now, then)
        self.now = then
        yield f"(it is {then.astimezone(zone):%A %d %B %Y %H:%M})"
        yield from self._shown(heard) if heard else ()

    def _as(self, said: str) -> str:
        number = to_e164(said, self._knowledge().club.country)
        if number is None:
            return f"(:as {said}: this is no phone number; write it as +1 902 555 0142)"
        self._sender = number
        return f"(you are {self._called(number)})"

    def _called(self, number: str) -> str:
        person = next((one for one in self._knowledge().people if one.number == number), None)
        return number if person is None else f"{number}, {person.name}: {', '.join(person.roles) or 'no role'}"

    def _who(self) -> Iterator[str]:
        """What is known of the phone, a line each."""
        yield f"phone:     {self._called(self._sender)}"
        with self._club.engine.connect() as connection:
            row = connection.execute(select(people).where(people.c.number == self._sender)).one_or_none()
            lists = select(subscriptions.c.list_id).where(subscriptions.c.number == self._sender)
            on = connection.execute(lists).scalars().all()
            answers = connection.execute(select(rsvps).where(rsvps.c.number == self._sender)).all()
            asked = select(questions.c.number).where(
                questions.c.asker == self._sender, questions.c.answered_at.is_(None)
            )
            waiting = connection.execute(asked).scalars().all()
            proof = connection.execute(select(consents.c.what).where(consents.c.number == self._sender)).scalars().all()
        if row is None:
            yield "known:     nothing, it has not texted yet"
            return
        voice = Voice(self._knowledge(), "en")
        yield f"since:     {row.first_seen_at.astimezone(voice.knowledge.club.zone):%Y-%m-%d %H:%M}"
        yield f"name:      {row.name or 'none'}"
        yield f"language:  {row.language or 'not shown yet'}"
        yield f"texts:     {'stopped' if row.opted_out else 'wanted'} ({', '.join(proof)})"
        yield f"lists:     {', '.join(on) or 'none'}"
        for one in answers:
            yield f"sign-up:   {one.event} {one.day}: {one.state}, {one.people}"
        yield f"questions: {', '.join(f'Q{number}' for number in waiting) or 'none'} open"

    def _knowledge(self) -> Knowledge:
        """The club's files, with what was changed by text."""
        knowledge = self._club.handbook.knowledge
        return read(self._club.engine, lambda connection: as_now(connection, knowledge))


def _moment(said: str, now: datetime) -> datetime | None:
    """An hour, the next time that it comes, or a date and hour; None for anything else."""
    day, _, hour = said.replace("T", " ").rpartition(" ")
    try:
        at = time.fromisoformat(hour.zfill(5))
        if day:
            return datetime.combine(date.fromisoformat(day), at, now.tzinfo)
    except ValueError:
        return None
    today = datetime.combine(now.date(), at, now.tzinfo)
    return today if today >= now else datetime.combine(now.date() + timedelta(days=1), at, now.tzinfo)
