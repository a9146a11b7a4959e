"""Webhook to committed reply, as a ratio to a bare server in the same run: `python -m tests.benchmarks.webhook [TEXTS]`.

Floor: an aiohttp server that verifies the signature, parses the body with pydantic and commits two rows (sqlite3, WAL,
synchronous=FULL, one transaction a request). Service: `clubbot serve`, posts counted until every text has its reply committed, the
senders all different. Both run in a process of their own on CPU 0, the load on CPU 1, interleaved, three rounds each, 64 connections.
"""

import asyncio
import json
import os
import secrets
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time
from base64 import b64encode
from pathlib import Path

import aiohttp
from aiohttp import web

from clubbot.channels.signatures import signed_headers, verified
from clubbot.channels.webhook import _ReceivedBody
from clubbot.serving import new_id, wall_clock

ROOT = Path(__file__).parents[2]
CONNECTIONS = 64
ROUNDS = 3
ASKED = (
    "is it open tomorrow morning",
    "how do i start",
    "can i borrow discs",
    "when is the next league",
    "c'est combien?",
)


def floor_server(port: int, secret: str, file: str) -> None:
    """The bare server."""
    database = sqlite3.connect(file, isolation_level=None)
    for pragma in ("journal_mode=WAL", "synchronous=FULL"):
        database.execute(f"PRAGMA {pragma}")
    database.execute("CREATE TABLE texts_in (id TEXT PRIMARY KEY, text TEXT)")
    database.execute("CREATE TABLE texts_out (id TEXT PRIMARY KEY, text TEXT)")

    async def inbound(request: web.Request) -> web.Response:
        body = await request.read()
        if not verified(body, request.headers, [secret]):
            return web.Response(status=401)
        data = _ReceivedBody.model_validate_json(body).data
        database.execute("BEGIN IMMEDIATE")
        database.execute("INSERT INTO texts_in VALUES (?, ?)", (data.id, data.text))
        database.execute("INSERT INTO texts_out VALUES (?, ?)", (data.id, "reply"))
        database.execute("COMMIT")
        return web.json_response({"accepted": True})

    app = web.Application()
    app.router.add_post("/inbound", inbound)
    web.run_app(app, host="127.0.0.1", port=port, print=None, access_log=None)


async def post_all(port: int, secret: str, texts: int) -> float:
    """Post `texts` signed texts over 64 connections; seconds until the last 200."""
    bodies = []
    for number in range(texts):
        data = {
            "id": new_id(),
            "from": f"+1902{2000000 + secrets.randbelow(7999999)}",
            "to": "+19025550100",
            "text": ASKED[number % len(ASKED)],
        }
        bodies.append(json.dumps({"type": "message.received", "timestamp": "2027-06-07T15:00:00Z", "data": data}))
    waiting = iter(bodies)

    async def one(session: aiohttp.ClientSession) -> None:
        for body in waiting:
            headers = signed_headers(new_id(), wall_clock(), body, secret)
            async with session.post(f"http://127.0.0.1:{port}/inbound", data=body.encode(), headers=headers) as answer:
                answer.raise_for_status()

    async with aiohttp.ClientSession(connector=aiohttp.TCPConnector(limit=CONNECTIONS)) as session:
        began = time.perf_counter()
        await asyncio.gather(*(one(session) for _ in range(CONNECTIONS)))
        return time.perf_counter() - began


async def until_up(port: int) -> float:
    """Seconds until the port answers."""
    began = time.perf_counter()
    async with aiohttp.ClientSession() as session:
        while True:
            try:
                async with session.get(f"http://127.0.0.1:{port}/"):
                    return time.perf_counter() - began
            except aiohttp.ClientConnectionError:
                await asyncio.sleep(0.01)


def resident_mb(pid: int) -> float:
    """Resident memory of a process in MB."""
    status = Path(f"/proc/{pid}/status").read_text()
    return int(next(line for line in status.splitlines() if line.startswith("VmRSS")).split()[1]) / 1024


async def taking_gateway() -> tuple[web.AppRunner, int]:
    """A gateway that takes everything."""

    async def send(request: web.Request) -> web.Response:
        await request.read()
        return web.Response(status=204)

    app = web.Application()
    app.router.add_post("/send", send)
    runner = web.AppRunner(app, access_log=None)
    await runner.setup()
    await web.TCPSite(runner, "127.0.0.1", 0).start()
    return runner, int(runner.addresses[0][1])


def answered(file: str) -> int:
    """How many texts have their reply committed."""
    with sqlite3.connect(f"file:{file}?mode=ro", uri=True) as database:
        return int(database.execute("SELECT count(*) FROM inbox WHERE state = 'answered'").fetchone()[0])


async def main(texts: int) -> None:
    """Run both, interleaved, and print."""
    os.sched_setaffinity(0, {1})
    secret = "whsec_" + b64encode(secrets.token_bytes(32)).decode()
    runner, gateway_port = await taking_gateway()
    floors, services, accepted, starts, memory = [], [], [], [], []
    for round_number in range(ROUNDS):
        with tempfile.TemporaryDirectory() as folder:
            port = 18000 + 2 * round_number
            bare = subprocess.Popen(
                [
                    "taskset",
                    "-c",
                    "0",
                    sys.executable,
                    "-m",
                    "tests.benchmarks.webhook",
                    "--floor",
                    str(port),
                    secret,
                    f"{folder}/floor.db",
                ],
                cwd=ROOT,
            )
            await until_up(port)
            floors.append(texts / await post_all(port, secret, texts))
            bare.terminate()
            bare.wait()
            settings = {
                "CLUBBOT_KNOWLEDGE": str(ROOT / "knowledge"),
                "CLUBBOT_DATABASE_URL": f"sqlite:///{folder}/club.db",
                "CLUBBOT_PORT": str(port + 1),
                "CLUBBOT_INBOUND_SECRET": secret,
                "CLUBBOT_GATEWAY_URL": f"http://127.0.0.1:{gateway_port}/send",
                "CLUBBOT_GATEWAY_SECRET": secret,
            }
            service = subprocess.Popen(
                ["taskset", "-c", "0", sys.executable, "-m", "clubbot", "serve"],
                cwd=ROOT,
                env={**os.environ, **settings},
                stderr=subprocess.DEVNULL,
            )
            starts.append(await until_up(port + 1))
            began = time.perf_counter()
            accepted.append(texts / await post_all(port + 1, secret, texts))
            while answered(f"{folder}/club.db") < texts:
                await asyncio.sleep(0.02)
            services.append(texts / (time.perf_counter() - began))
            memory.append(resident_mb(service.pid))
            service.terminate()
            service.wait()
    await runner.cleanup()
    floor, done, taken = statistics.median(floors), statistics.median(services), statistics.median(accepted)
    print(f"{texts} texts, {CONNECTIONS} connections, median of {ROUNDS} rounds, server on CPU 0, load on CPU 1")
    print(f"bare server:                     {floor:8.0f} a second")
    print(f"clubbot, 200 after the commit:   {taken:8.0f} a second, {floor / taken:.1f} times the bare server's time")
    print(f"clubbot, until reply committed:  {done:8.0f} a second, {floor / done:.1f} times the bare server's time")
    print(f"start to first answer {statistics.median(starts):.2f} s, resident {statistics.median(memory):.0f} MB")


if __name__ == "__main__":
    if sys.argv[1:2] == ["--floor"]:
        floor_server(int(sys.argv[2]), sys.argv[3], sys.argv[4])
    else:
        asyncio.run(main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000))
