"""Puts what was decided into words: one short text in the sender's language."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time

from clubbot.model.club import Knowledge, Role
from clubbot.model.messages import Language
from clubbot.texting.parts import as_sent, count
from clubbot.texting.wording import joined, money, on_date, on_day, spoken_minutes, spoken_time

# A reply is one or two parts; a second paragraph or a further sentence is only added where it stays within that.
FRIENDLY_PARTS = 2


@dataclass(frozen=True, slots=True)
class Voice:
    """Speaks for one club in one language."""

    knowledge: Knowledge
    language: Language

    def say(self, key: str, **values: object) -> str:
        """The sentence of that key with its blanks filled."""
        return self.knowledge.wording[self.language][key].format(**values)

    def has(self, key: str) -> bool:
        """Whether there is a sentence of that key."""
        return key in self.knowledge.wording[self.language]

    def day(self, day: date, today: date) -> str:
        """ "today", "tomorrow" or the day with its weekday and date."""
        if day == today:
            return self.say("calendar.today")
        return on_day(day, self.knowledge.wording[self.language])

    def dated(self, day: date) -> str:
        """The day with its weekday and date."""
        return on_day(day, self.knowledge.wording[self.language])

    def date(self, day: date) -> str:
        """The day of the month."""
        return on_date(day, self.knowledge.wording[self.language])

    def hour(self, moment: datetime) -> str:
        """The local hour of an aware time."""
        local = moment.astimezone(self.knowledge.club.zone)
        return spoken_time(local.time(), self.knowledge.wording[self.language])

    def clock(self, hour: time) -> str:
        """A local hour."""
        return spoken_time(hour, self.knowledge.wording[self.language])

    def moment(self, moment: datetime, now: datetime) -> str:
        """A day and hour; only the hour where it is today."""
        zone = self.knowledge.club.zone
        local, today = moment.astimezone(zone), now.astimezone(zone).date()
        return self.hour(moment) if local.date() == today else f"{self.dated(local.date())} {self.hour(moment)}"

    def length(self, minutes: int) -> str:
        """A length of time."""
        return spoken_minutes(minutes, self.knowledge.wording[self.language])

    def money(self, amount: int | str) -> str:
        """An amount of money."""
        return money(amount, self.knowledge.wording[self.language])

    def joined(self, items: Sequence[str]) -> str:
        """Items joined by commas and "and"."""
        return joined(items, self.knowledge.wording[self.language])

    def roles(self, roles: Sequence[Role]) -> str:
        """Roles by the names that people use."""
        return self.joined([self.say(f"role.{one.replace(' ', '_')}") for one in roles])

    def fits(self, text: str) -> bool:
        """Whether the text keeps to the friendly number of parts."""
        return count(as_sent(text, shorten_letters=self.knowledge.club.plain_letters)) <= FRIENDLY_PARTS


def capital(text: str) -> str:
    """The text with a capital first letter."""
    return text[:1].upper() + text[1:]


def compose(voice: Voice, sentences: Sequence[str], extras: Sequence[str], introduction: str) -> str:
    """One text: what has to be said, further paragraphs as long as they fit, and who we are where that is due."""
    said = list(dict.fromkeys(capital(sentence) for sentence in sentences if sentence))
    for extra in extras:
        if voice.fits(" ".join([*said, extra, introduction]).strip()):
            said.append(extra)
    return " ".join([*said, introduction]).strip()
