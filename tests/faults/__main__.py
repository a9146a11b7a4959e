"""`python -m tests.faults --kills 500 --seed 1`: the service killed, its gateway failing, an attacker beside it; what held, with counts."""

import argparse
import asyncio
import random
import tempfile
import time
from pathlib import Path

from tests.faults.campaign import Campaign, run
from tests.faults.gateway import a_moody_gateway
from tests.faults.invariants import Held, invariants
from tests.test_kill import look


async def campaign(folder: Path, kills: int, seed: int) -> tuple[Campaign, list[Held]]:
    """Run one in a folder of its own; what was done, and what held."""
    chance = random.Random(seed)
    async with a_moody_gateway(chance) as gateway:
        done = Campaign(folder, chance, gateway)
        await run(done, kills)
    return done, list(invariants(done))


def told(done: Campaign, held: list[Held]) -> list[str]:
    """What is printed."""
    sorts = {sort: sum(one.sort == sort for one in done.said) for sort in sorted({one.sort for one in done.said})}
    outcomes = look(done.file, "SELECT outcome, count(*) FROM inbox GROUP BY 1 ORDER BY 2 DESC")
    lines = [
        f"{sum(done.kills.values())} kills: "
        + ", ".join(f"{point} {count}" for point, count in sorted(done.kills.items())),
        f"{len(done.said)} texts: " + ", ".join(f"{sort} {count}" for sort, count in sorts.items()),
        "outcomes: " + ", ".join(f"{outcome} {count}" for outcome, count in outcomes),
        "answers to posts: " + ", ".join(f"{status} {count}" for status, count in sorted(done.statuses.items())),
        f"{len(done.gateway.handed)} posts to the gateway, which "
        + ", ".join(f"{mood} {count}" for mood, count in sorted(done.gateway.moods.items())),
        f"slowest start {done.slowest_start:.1f} s; {len(done.log)} lines of log",
    ]
    for one in held:
        lines.append(
            f"{'BROKEN' if one.broken else 'held  '} {one.says}: {one.cases} looked at, {len(one.broken)} broken"
        )
        lines += [f"         {str(case)[:300]}" for case in one.broken[:5]]
    return lines


def main() -> int:
    """0 where everything held."""
    parser = argparse.ArgumentParser(prog="python -m tests.faults", description=__doc__)
    parser.add_argument("--kills", type=int, default=50)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--keep", type=Path, help="leave the database and the log in this folder")
    asked = parser.parse_args()
    began = time.monotonic()
    with tempfile.TemporaryDirectory() as temporary:
        folder = asked.keep or Path(temporary)
        folder.mkdir(parents=True, exist_ok=True)
        done, held = asyncio.run(campaign(folder, asked.kills, asked.seed))
        print("\n".join(told(done, held)))
        if asked.keep:
            (folder / "log.txt").write_text("\n".join(done.log), "utf-8")
    print(f"{time.monotonic() - began:.0f} s, seed {asked.seed}")
    return 1 if any(one.broken for one in held) else 0


if __name__ == "__main__":
    raise SystemExit(main())
