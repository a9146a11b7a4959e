"""What an order text brought about, said in the words of the labels: what was shown with a code, what was done, and all else that changed."""

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import select

from clubbot.store import tables
from clubbot.store.tables import metadata
from tests.conftest import HALIFAX
from tests.conversation.test_orders_and_codes import to
from tests.orders.states import Before

_DAYS = {name: 7 + place for place, name in enumerate(("mon", "tue", "wed", "thu", "fri", "sat", "sun"))}
# What a text does in any case, or what tells nothing of what it did.
_NO_DEED = frozenset(
    {"inbox", "outbox", "drafts", "wrong_codes", "dialogues", "consents", "people", "deeds", "broadcasts", "closures"}
)
_NOT_DONE = re.compile(
    r"not done|nothing (was|is|has been|changed|went|is waiting|to do)|isn't (closed|on hold)|is(n't| not) (called off|off)|i can't find|which (one|day|of)|until when"
    r"|too soon|not before|not the code|takes the code|isn't among|don't reopen|did not|i don't know|tell me|"
    r"rien (n'(a|est)|ne |n'attend)|ne rouvre pas|nothing to stop|pas (fait|encore)|n'est pas (ferm|annul|en attente|le code|suspendu)|pas avant|il faut le code|jusqu'à quand|lequel|laquelle|quel",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Outcome:
    """What is shown or done, as labels say it; `changed` is all else that became different, `said` the reply."""

    deeds: tuple[str, ...]
    changed: tuple[str, ...]
    said: str

    @property
    def asked_back(self) -> bool:
        return not self.deeds and not self.changed and bool(_NOT_DONE.search(self.said))


def texted(made: Before, text: str) -> Outcome:
    """The text is sent from the phone, and what became of it looked up in the tables."""
    before = _all(made)
    said = to(made.who, made.club.text(made.who, text.replace("{code}", made.code), made.now))
    after = _all(made)
    deeds = [*_new_closures(before, after, made), *_drafted(before, after, made)]
    changed = sorted(
        name for name in after if name not in _NO_DEED and before.get(name) != after[name] and name != "event_changes"
    )
    deeds += _days(before, after)
    if any(row["state"] == "held" for row in after["broadcasts"]):
        deeds.append("holdsend")
    if _opted_out(after, made) != _opted_out(before, made):
        changed.append("opted out")
    return Outcome(tuple(deeds), tuple(changed), said)


def _all(made: Before) -> dict[str, list[dict[str, Any]]]:
    with made.club.rehearsal.engine.connect() as connection:
        return {
            table.name: [dict(row._mapping) for row in connection.execute(select(table))]
            for table in metadata.sorted_tables
        }


def _opted_out(rows: Mapping[str, Any], made: Before) -> bool:
    return any(row["opted_out"] for row in rows["people"] if row["number"] == made.who)


def _new_closures(before: Mapping[str, Any], after: Mapping[str, Any], made: Before) -> list[str]:
    old = {row["id"]: (row["since"], row["ended_at"]) for row in before["closures"]}
    found: list[str] = []
    done: list[str] = []
    for row in after["closures"]:
        if old.get(row["id"]) != (row["since"], row["ended_at"]):
            if row["ended_at"] is not None:
                found.append(f"opened {row['what']}")
            elif row["kind"] == "held":
                found.append("hold")
            else:
                done.append(row["what"])
    if done:
        found.append("done close" if made.code != "00000000" else f"closed at once {','.join(done)}")
    return found


def _days(before: Mapping[str, Any], after: Mapping[str, Any]) -> list[str]:
    return ["day changed"] if before["event_changes"] != after["event_changes"] else []


def _drafted(before: Mapping[str, Any], after: Mapping[str, Any], made: Before) -> list[str]:
    def of(rows: Mapping[str, Any]) -> dict[str, Any] | None:
        return next((row for row in rows["drafts"] if row["number"] == made.who), None)

    old, new = of(before), of(after)
    if new is None or new == old:
        gone = old is not None and new is None
        done = any(row != one for one, row in zip(before["closures"], after["closures"], strict=False)) or len(
            before["closures"]
        ) != len(after["closures"])
        return ["drop"] if gone and not done else []
    deed = json.loads(new["deed"])
    return [_as_label(deed, made)]


def _as_label(deed: dict[str, Any], made: Before) -> str:
    kind = deed["deed"]
    match kind:
        case "close":
            parts = ",".join((deed["what"], *deed.get("also", ())))
            verb = "note" if deed["kind"] == "note" else "close"
            said = f"{verb} {parts}"
            since, until = _moment(deed["since"]), _moment(deed["until"])
            if since is not None and since != made.now:
                said += f" since={_hour(since)}"
            if until is not None:
                said += f" until={_hour(until)}"
            return f"{said} why={deed['reason']['en']} / {deed['reason']['fr']}"
        case "reopen":
            rows = {row["id"]: row["what"] for row in _all(made)["closures"]}
            return f"reopen {','.join(dict.fromkeys(rows[one] for one in deed['closures']))}"
        case "call off":
            return f"calloff {deed['event']} {datetime.fromisoformat(deed['day']).day} why={deed['reason']['en']} / {deed['reason']['fr']}"
        case "tell":
            if deed.get("safety"):
                return "tell of the hold"
            return f"tell {deed['audience']['kind']}: {deed['words']['en']}"
        case "call on":
            return f"undo {deed['event']} {datetime.fromisoformat(deed['day']).day}"
        case "move" if deed.get("moved_to"):
            held = datetime.fromisoformat(deed["moved_to"]).day
            return f"move {deed['event']} {datetime.fromisoformat(deed['day']).day} to {held}"
        case "move" if deed.get("meet"):
            return f"move {deed['event']} {datetime.fromisoformat(deed['day']).day} at {deed['meet']['en']}"
        case "move":
            return f"move {deed['event']} {datetime.fromisoformat(deed['day']).day} {deed['starts'][:5]}"
        case _:
            return str(kind)


def _moment(written: str | None) -> datetime | None:
    return None if written is None else datetime.fromisoformat(written)


def _hour(at: datetime) -> str:
    local = at.astimezone(HALIFAX)
    return f"{local.day} {local.hour}:{local.minute:02}"


def verdict(label: str, outcome: Outcome) -> str:
    """ "right", "asked back", "missed" where nothing was done and nothing plainly said, or "another thing done"."""
    if any(_fits(one.strip(), outcome) for one in label.split(" or ")):
        return "right"
    if outcome.asked_back:
        return "asked back"
    return "another thing done" if outcome.deeds or outcome.changed else "missed"


def _fits(label: str, outcome: Outcome) -> bool:
    verb, _, rest = label.partition(" ")
    if verb == "say":
        return not outcome.deeds and not outcome.changed and rest.casefold() in outcome.said.casefold()
    if verb == "ask":
        return outcome.asked_back
    deeds = [one for one in outcome.deeds if one != "tell of the hold"]
    if verb == "hold":
        # A second thunder may leave what was shown: safety goes first.
        return "hold" in deeds and not outcome.changed and set(deeds) <= {"hold", "drop"}
    if outcome.changed or len(deeds) != 1:
        return False
    return _same(label, deeds[0], outcome.said)


def _same(label: str, deed: str, said: str) -> bool:
    wanted, found = _cut(label), _cut(deed)
    for key in ("since", "until"):
        mine, theirs = wanted.get(key), found.get(key)
        if mine != "any" and (_as_day(mine) if mine else None) != theirs:
            return False
    if "unused" in wanted and wanted["unused"] not in said:
        return False
    if "why" in wanted and wanted["why"].casefold() not in found.get("why", "").casefold():
        return False
    return (
        found["head"].startswith(wanted["head"])
        if wanted["head"].split()[0] in {"tell", "calloff", "note"}
        else found["head"] == wanted["head"]
    )


def _as_day(written: str) -> str:
    day, _, hour = written.partition(" ")
    return f"{_DAYS[day]} {hour}"


def _cut(label: str) -> dict[str, str]:
    """The label's head and its values by name."""
    pieces = re.split(r" (since|until|why|unused)=", label)
    return {"head": pieces[0], **dict(zip(pieces[1::2], pieces[2::2], strict=True))}


__all__ = ["Outcome", "tables", "texted", "timedelta", "verdict"]
