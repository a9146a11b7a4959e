"""Whether one event takes place, and whether the course is open at an hour: what a text asks of a moment, however it sounds."""

from datetime import timedelta

from clubbot.conversation.ask import Ask
from clubbot.events.choosing import day_of, entry_of
from clubbot.events.days import between
from clubbot.model.intents import AskEvents, AskStatus, AskTopic, ForAPerson, When, intent_id
from clubbot.model.rsvps import DayId
from clubbot.understanding.once import Reading

_POLICY = "weather-policy"
# How else a text may sound whose words ask whether it is on.
_ALSO = frozenset({_POLICY, "events", "status", "my-rsvps", "safety", "outside"})
# Words of a text that asks whether something is on, and says why.
_AND_WHY = 20
# Of a day further ahead nothing can be told but the hours in general.
_AHEAD = timedelta(days=7)
# After its start an event is still asked about for so long.
_LASTS = timedelta(hours=4)


def still_on(ask: Ask, reading: Reading, meant: DayId | None) -> AskTopic | AskEvents | None:
    """Whether one event takes place: of a text that names it, or comes after it, or of a day with a single event. None where it asks anything
    else, or no one event can be told.
    """
    wanted = {intent_id(one) for one in reading.intents} or {*reading.choices}
    plainly = ask.said.says("asks whether it is on")
    if not (plainly or _POLICY in wanted) or len(ask.text.split()) > _AND_WHY or _tells_itself(reading, plainly):
        return None
    on = meant or _only_one(ask, reading)
    day = day_of(on, ask.voice.knowledge) if on is not None else None
    if on is None or day is None:
        return None
    if not wanted <= {*(_ALSO if plainly else {_POLICY, "events", "status"}), day.event.topic}:
        return None
    if day.called_off:
        then = day.starts.astimezone(ask.voice.knowledge.club.zone).date()
        return AskEvents(event=on.event, when=When(then, then))
    return AskTopic(_POLICY, "still on", on=on)


def _tells_itself(reading: Reading, plainly: bool) -> bool:
    """Whether it is read as what is on, of an event, or of a day where it does not `plainly` ask whether something is on: that answer tells
    it as well, with the hour and the place.
    """
    only = [one for one in reading.intents if isinstance(one, AskEvents)]
    return len(only) == len(reading.intents) > 0 and any(
        one.event is not None or (one.when is not None and not plainly) for one in only
    )


def _only_one(ask: Ask, reading: Reading) -> DayId | None:
    """The only event of the day that the text names, of today where it names none."""
    knowledge, zone = ask.voice.knowledge, ask.voice.knowledge.club.zone
    today = ask.now.astimezone(zone).date()
    when = reading.when if reading.when is not None and reading.when.dated else None
    if reading.answer.event is not None or (when is not None and when.first != when.last):
        return None
    day = when.first if when is not None else today
    held = [one for one in between(knowledge.events, day, day, zone) if (one.ends or one.starts + _LASTS) > ask.now]
    return entry_of(held[0]) if len({one.event.id for one in held}) == 1 else None


def open_then(ask: Ask, reading: Reading) -> AskStatus | None:
    """The course at the day or the hour that is asked about: "is it open at 5 am" is no question about its hours in general."""
    wanted = {intent_id(one) for one in reading.intents if not isinstance(one, ForAPerson)} or {*reading.choices}
    when = reading.when
    if when is None or not when.dated or not wanted or not wanted <= {"hours", "status", "daylight"}:
        return None
    if "hours" not in wanted or not ask.said.says("asks whether it is open"):
        return None
    today = ask.now.astimezone(ask.voice.knowledge.club.zone).date()
    near = today <= when.first == when.last <= today + _AHEAD
    return AskStatus(what="course", when=when) if near else None
