"""How long the others wait for a gateway that is slow for some: `python -m tests.benchmarks.slow_gateway [PHONES]`.

The gateway's own HTTP code on a real port, a real database file. Three gateways in one run: quick for all; five seconds for one phone in
ten; one phone in fifty never answered. Printed: until the last of the other phones was taken, and what that is to the quick gateway.
"""

import asyncio
import sys
import tempfile
import time
from base64 import b64encode
from pathlib import Path

import aiohttp
from aiohttp import web

from clubbot.channels.gateway import HttpGateway
from clubbot.mailroom.sending import Sending
from clubbot.serving import Clock, wall_clock
from clubbot.store.outbox import put_out
from clubbot.store.store import Store
from tests.builders import OUR_NUMBER
from tests.store.builders import a_database

SECRET = "whsec_" + b64encode(b"a stand-in for the gateway").decode()
SLOW = 5.0
NEVER = 3600.0


async def run(phones: int, every: int, wait: float) -> tuple[float, float]:
    """Seconds until half, and until all, of the phones were taken that the gateway does not keep waiting."""
    taken: list[float] = []
    everybody = asyncio.Event()
    others = phones - (len(range(0, phones, every)) if every else 0)

    async def send(request: web.Request) -> web.Response:
        data = (await request.json())["data"]
        if every and int(data["text"]) % every == 0:
            await asyncio.sleep(wait)
            return web.Response(status=204)
        taken.append(time.perf_counter())
        if len(taken) == others:
            everybody.set()
        return web.Response(status=204)

    app = web.Application()
    app.router.add_post("/send", send)
    runner = web.AppRunner(app, access_log=None, shutdown_timeout=0.1)
    await runner.setup()
    await web.TCPSite(runner, "127.0.0.1", 0).start()
    with tempfile.TemporaryDirectory() as folder:
        engine = a_database(Path(folder) / "club.db")
        with engine.begin() as connection:
            for number in range(phones):
                put_out(
                    connection,
                    id=f"msg_{number}",
                    key=f"key {number}",
                    recipient=f"+1902555{number:04}",
                    sender=OUR_NUMBER,
                    text=str(number),
                    asks_consent=True,
                    now=wall_clock(),
                )
        store, clock = Store(engine, own_thread=True), Clock(None)
        async with aiohttp.ClientSession(auto_decompress=False) as session:
            url = f"http://127.0.0.1:{runner.addresses[0][1]}/send"
            sending = Sending(store, HttpGateway(session, url, SECRET, wall_clock).send, clock, clock.steady)
            began = time.perf_counter()
            loop = asyncio.create_task(sending.run())
            await everybody.wait()
            loop.cancel()
            await asyncio.gather(loop, return_exceptions=True)
        await store.close()
        engine.dispose()
    await runner.cleanup()
    return taken[len(taken) // 2] - began, taken[-1] - began


async def main(phones: int) -> None:
    """All three, and the ratios."""
    quick_half, quick_all = await run(phones, 0, 0)
    print(f"{phones} texts to as many phones; seconds until half, and all, of the phones that are not slow had theirs")
    print(f"quick for all:                   {quick_half:6.2f} {quick_all:6.2f}")
    for named, every, wait in (("5 s for one in ten:", 10, SLOW), ("never for one in fifty:", 50, NEVER)):
        half, last = await run(phones, every, wait)
        ratios = f"{half / quick_half:.1f} and {last / quick_all:.1f} times the quick one's"
        print(f"{named:32} {half:6.2f} {last:6.2f}   {ratios}")


if __name__ == "__main__":
    asyncio.run(main(int(sys.argv[1]) if len(sys.argv) > 1 else 300))
