"""The quiet hours, in which nobody is texted who did not write just now."""

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo


@dataclass(frozen=True, slots=True)
class QuietHours:
    """From `since` in the evening until `until` in the morning, local; the same hour twice means none."""

    since: time
    until: time
    zone: ZoneInfo

    def at(self, moment: datetime) -> bool:
        """Whether it is quiet then."""
        hour = moment.astimezone(self.zone).time()
        if self.since <= self.until:
            return self.since <= hour < self.until
        return hour >= self.since or hour < self.until

    def end_after(self, moment: datetime) -> datetime:
        """When the quiet in which `moment` lies is over; `moment` itself where it is not quiet then."""
        if not self.at(moment):
            return moment
        local = moment.astimezone(self.zone)
        day = local.date() + timedelta(days=int(self.since > self.until and local.time() >= self.since))
        end = instant(day, self.until, self.zone)
        if end < moment:  # the hour comes twice tonight, and the first is over
            end = datetime.combine(day, self.until, self.zone).replace(fold=1).astimezone(UTC)
        return end

    def began_before(self, moment: datetime) -> datetime:
        """When the quiet in which `moment` lies began; `moment` itself where it is not quiet then."""
        if not self.at(moment):
            return moment
        local = moment.astimezone(self.zone)
        day = local.date() - timedelta(days=int(self.since > self.until and local.time() < self.since))
        return instant(day, self.since, self.zone)


def instant(day: date, hour: time, zone: ZoneInfo) -> datetime:
    """The instant of a local hour; one that a clock change leaves out is read with the offset before it (RFC 5545, 3.3.5)."""
    return datetime.combine(day, hour, zone).astimezone(UTC)
