"""What must hold after a campaign, whatever was killed: each with how often it was looked at and where it was broken."""

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tests.faults.campaign import Campaign, knows_no_number
from tests.faults.people import HELPERS
from tests.test_kill import look as look_at

# What the club's people may have done without a code (`clubbot check --roles`), so that a forger may too.
_WITHOUT_A_CODE = ("held play", "held sending")


def look(file: Path, sql: str) -> list[tuple[Any, ...]]:
    """What a connection of its own sees as committed."""
    return look_at(file, sql)


@dataclass(frozen=True, slots=True)
class Held:
    """One invariant: how many cases were looked at, and those that break it."""

    says: str
    cases: int
    broken: Sequence[object]


def invariants(campaign: Campaign) -> Iterator[Held]:
    """All of them."""
    yield from _texts_in(campaign)
    yield from _texts_out(campaign)
    yield from _what_is_kept(campaign)
    yield from _the_attacker(campaign)
    yield from _the_machine(campaign)


def _texts_in(campaign: Campaign) -> Iterator[Held]:
    inbox = look(campaign.file, "SELECT their_id, state, outcome, sender FROM inbox")
    times = Counter(row[0] for row in inbox)
    taken = [one for one in campaign.said if one.acknowledged]
    lost = [one.id for one in taken if times[one.id] != 1]
    yield Held("an acknowledged text is kept, once", len(taken), [*lost])
    yield Held("every text is answered or set aside", len(inbox), [row for row in inbox if row[1] != "answered"])
    replies = Counter(
        str(row[0]).split(":")[1] for row in look(campaign.file, "SELECT key FROM outbox WHERE key LIKE 'reply:%'")
    )
    yield Held("no text has two replies", len(replies), [one for one, count in replies.items() if count > 1])
    cries = {one.sender for one in taken if one.sort == "cry"}
    asked = {row[0] for row in look(campaign.file, "SELECT asker FROM questions")}
    yield Held("a cry for help is with a person", len(cries), [*(cries - asked)])
    leavers = {one.sender for one in taken if one.sort == "opt-out"}
    out = {row[0] for row in look(campaign.file, "SELECT number FROM people WHERE opted_out = 1")}
    yield Held("who opted out is opted out", len(leavers), [*(leavers - out)])


def _texts_out(campaign: Campaign) -> Iterator[Held]:
    rows = {
        row[0]: row
        for row in look(campaign.file, "SELECT id, seq, key, recipient, state, text, after, asks_consent FROM outbox")
    }
    handed, seen = campaign.gateway.handed, defaultdict(set)
    for one in handed:
        seen[one.id].add((one.to, one.text))
    yield Held(
        "what is handed over is ours, the same each time",
        len(seen),
        [one for one in seen if one not in rows or seen[one] != {(rows[one][3], rows[one][5])}],
    )
    taken = Counter(one.id for one in handed if one.taken)
    sent = [one for one, row in rows.items() if row[4] in {"sent", "delivered"}]
    yield Held("what counts as sent was taken", len(sent), [one for one in sent if not taken[one]])
    waits = [one for one, row in rows.items() if row[4] == "waiting"]
    yield Held("nothing waits at the end", len(rows), [*waits])
    in_one_life = Counter((one.life, one.id) for one in handed if one.taken)
    twice = [one for one, count in in_one_life.items() if count > 1]
    lost_answers = campaign.gateway.moods["takes and drops"] + campaign.gateway.moods["delays"]
    yield Held(
        "taken twice in one life only where the gateway's answer was lost",
        len(in_one_life),
        twice if len(twice) > lost_answers else [],
    )
    first: dict[object, list[object]] = defaultdict(list)
    for known in dict.fromkeys(one.id for one in handed if one.id in rows):
        row = rows[known]
        if row[6] == 0 and str(row[2]).startswith("reply:"):
            first[row[3]].append(row[1])
    yield Held(
        "replies to one phone go in order",
        len(first),
        [to for to, order in first.items() if order != sorted(order, key=lambda seq: int(str(seq)))],
    )
    stopped = look(
        campaign.file,
        "SELECT c.number, max(o.seq) FROM consents c JOIN outbox o ON o.key LIKE 'reply:' || c.inbox_id || ':%' WHERE c.what = 'stop' GROUP BY 1",
    )
    after = [
        (number, one)
        for number, last in stopped
        for one, row in rows.items()
        if row[3] == number and int(str(row[1])) > int(str(last)) and row[7] and row[4] in {"sent", "delivered"}
    ]
    yield Held("who opted out gets nothing more", len(stopped), [*after])


def _what_is_kept(campaign: Campaign) -> Iterator[Held]:
    days = look(campaign.file, "SELECT event, day, coming FROM event_days")
    sums = look(campaign.file, "SELECT event, day, sum(people) FROM rsvps WHERE state = 'coming' GROUP BY 1, 2")
    counted = {(event, day): people for event, day, people in sums}
    yield Held(
        "the counts of a day are those of its answers",
        len(days),
        [one for one in days if counted.get(one[:2], 0) != one[2]],
    )
    wanted: dict[object, set[int]] = defaultdict(set)
    for said in campaign.said:
        if said.sort == "sign-up":
            wanted[said.sender].add(said.people)
    answers = look(campaign.file, "SELECT number, people FROM rsvps")
    yield Held(
        "an answer is for as many as were said", len(answers), [row for row in answers if row[1] not in wanted[row[0]]]
    )
    reminders = look(
        campaign.file,
        "SELECT number, event, day, kind, count(*) FROM reminders GROUP BY 1, 2, 3, 4 HAVING count(*) > 1",
    )
    yield Held("a reminder is planned once", len(look(campaign.file, "SELECT id FROM reminders")), [*reminders])


def _the_attacker(campaign: Campaign) -> Iterator[Held]:
    forged = sum(one.sort == "forged" for one in campaign.said)
    deeds = [
        row[0] for row in look(campaign.file, "SELECT what FROM deeds") if not str(row[0]).startswith(_WITHOUT_A_CODE)
    ]
    yield Held("nothing that needs a code was done", forged, [*deeds])
    for table in ("closures", "broadcasts", "taught", "duty_swaps", "event_changes", "relays"):
        rows = look(campaign.file, f"SELECT * FROM {table}")
        yield Held(f"nothing in {table}", forged, [*rows])
    helpers = look(campaign.file, f"SELECT number FROM people WHERE opted_out = 1 AND number IN {HELPERS}")
    yield Held("nobody of the club's was silenced", forged, [*helpers])
    killers = {one.id for one in campaign.said if one.sort == "killer" and one.acknowledged}
    done = {row[0] for row in look(campaign.file, "SELECT their_id FROM inbox WHERE state = 'answered'")}
    yield Held("a text that would hold a reader is done with", len(killers), [*(killers - done)])


def _the_machine(campaign: Campaign) -> Iterator[Held]:
    check = look(campaign.file, "PRAGMA integrity_check")
    yield Held("the database is whole", 1, [] if check == [("ok",)] else [*check])
    yield Held("no line of the log shows a number", len(campaign.log), [*knows_no_number(campaign.log, campaign.said)])
    traces = [line for line in campaign.log if line.startswith("Traceback")]
    yield Held("no fault of ours in the log", len(campaign.log), [*traces])
