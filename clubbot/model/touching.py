"""What an answer touches, one row for each kind of intent and each topic: the course as it is now, a part of it, a round under way, an event
day. From this table alone it follows before which answers it is said that something is closed, on hold or called off.
"""

from collections.abc import Mapping
from typing import Literal

# "status": tells by itself how the course stands. "course": whoever asks is about to come or to play. "parts": so, and it may be about
# a part of the course. "round": only somebody who is playing asks that. "event": one of its days. Topics of
# the club's events are not named here: they touch their event.
Touch = Literal["nothing", "status", "course", "parts", "round", "event"]

INTENTS: Mapping[str, Touch] = {
    "status": "status",
    "daylight": "course",
    "events": "event",
    "rsvp-yes": "event",
    "rsvp-maybe": "event",
    "rsvp-change": "event",
    "my-rsvps": "event",
    "places": "event",
    "remind": "event",
    "hazard": "round",
    "lost-disc": "round",
    "found-disc": "round",
}
TOPICS: Mapping[str, Touch] = {
    "access": "parts",
    "borrow": "course",
    "bring": "course",
    "busy": "course",
    "children": "parts",
    "dogs": "course",
    "duration": "parts",
    "facilities": "course",
    "first-tee": "parts",
    "group-size": "course",
    "holes": "parts",
    "hours": "course",
    "layout": "parts",
    "night": "course",
    "park-rules": "course",
    "parking": "course",
    "safety": "course",
    "start": "parts",
    "weather-policy": "course",
    "where": "course",
    "etiquette": "round",
    "rules-basic": "round",
    "rules-lie": "round",
    "rules-lost": "round",
    "rules-mando": "round",
    "rules-ob": "round",
    "rules-score": "round",
    "rules-time": "round",
    "which-disc": "round",
}
# Told in general: true on any day, whoever asks. A topic of a club's own is taken for one of these.
NOTHING = frozenset(
    [
        "my-membership",
        "notify-on",
        "notify-off",
        "stop",
        "start-again",
        "help",
        "human",
        "name",
        "greeting",
        "thanks",
        "outside",
        "danger",
        "rsvp-no",
        "buy",
        "cost",
        "donate",
        "groups",
        "handicap",
        "improve-throw",
        "land",
        "membership",
        "pay",
        "privacy",
        "volunteer",
        "what-is-it",
        "who-runs",
        "winter",
    ]
)


def touch_of(intent: str) -> Touch:
    """What an answer to the intent or topic of that id touches."""
    return INTENTS.get(intent) or TOPICS.get(intent, "nothing")
