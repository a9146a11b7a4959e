"""`clubbot demo`: the real service on a loopback port, a stand-in gateway, and both phones in the terminal."""

import asyncio
import contextlib
import json
import re
import secrets
import sys
import tempfile
from base64 import b64encode
from collections.abc import AsyncIterator, Sequence
from pathlib import Path

import aiohttp
from aiohttp import web

from clubbot.channels.signatures import signed_headers, verified
from clubbot.people.codes import DIGITS
from clubbot.serving import Serving, new_id, serving, wall_clock
from clubbot.settings import read_settings
from clubbot.texting.numbers import to_e164
from clubbot.transcripts import Line, Transcript, later, moment, read_transcript

# What a newcomer's first weeks are like; played in this order.
NEWCOMER = (
    "first_visit",
    "a_parent",
    "in_french",
    "in_a_hurry",
    "two_questions",
    "asking_back",
    "an_injury",
    "nobody_foresaw",
)
# A member's week, on one clock that runs on between the texts: full and waiting, two friends come along, reminders, "here".
MEMBER = ("full_and_waiting", "two_friends", "here")
# The organiser's side: a text to many held half-way; then, some days later, a closure and the night's end of it.
ORGANISER = ("held_half_way", "not_the_organiser")
ORGANISER_LATER = ("marsh_floods",)
_CLOCK = "2027-06-07T12:00:00-03:00"
_YOU = "+19025550199"
_LONGEST_WAIT = 10.0
_QUIET = 0.35
# Real seconds that the demo's clock takes for a jump, and between two looks at what is due meanwhile.
_JUMP_TAKES = 3.0
_LOOK = 0.02
# A code that is shown, and a text that gives one back; what a sample conversation has wrong on purpose is shorter.
_CODE = re.compile(rf"\b(?:YES|OUI) (\d{{{DIGITS}}})\b")
_CODED = re.compile(rf"^(?:yes|oui) \d{{{DIGITS}}}$", re.IGNORECASE)
_QUESTION = re.compile(r"\b[Qq](\d+)\b")


def coded(shown: str, text: str) -> str:
    """ "yes 61803399" with the code that this phone was really shown last, where the sample conversation has the right one."""
    code = _CODE.search(shown)
    return f"yes {code[1]}" if code and _CODED.match(text) else text


def demo_folder() -> Path:
    """Where the demo club is: inside an installed package, or at the top of a checkout."""
    inside = Path(__file__).parent / "demo_club"
    return inside if inside.is_dir() else Path(__file__).parents[1]


class StandInGateway:
    """Takes signed texts as a real gateway does and keeps them by recipient."""

    def __init__(self, secret: str) -> None:
        self._secret = secret
        self.taken: asyncio.Queue[tuple[str, str]] = asyncio.Queue()

    async def send(self, request: web.Request) -> web.Response:
        """Take one text, if the signature fits."""
        body = await request.read()
        if not verified(body, request.headers, [self._secret]):
            return web.Response(status=401)
        sent = json.loads(body)["data"]
        await self.taken.put((sent["to"], sent["text"]))
        return web.Response(status=204)


@contextlib.asynccontextmanager
async def _listening(gateway: StandInGateway) -> AsyncIterator[str]:
    app = web.Application()
    app.router.add_post("/send", gateway.send)
    runner = web.AppRunner(app, access_log=None)
    await runner.setup()
    await web.TCPSite(runner, "127.0.0.1", 0).start()
    try:
        yield f"http://127.0.0.1:{runner.addresses[0][1]}/send"
    finally:
        await runner.cleanup()


async def play_demo(*, interactive: bool) -> None:
    """Start everything, play the newcomer's, the organiser's and the member's conversations, then let a person text."""
    inbound, outbound = _secret(), _secret()
    gateway = StandInGateway(outbound)
    with tempfile.TemporaryDirectory(prefix="clubbot-demo-") as folder:
        async with _listening(gateway) as address:
            settings = read_settings(
                {
                    "CLUBBOT_KNOWLEDGE": str(demo_folder() / "knowledge"),
                    "CLUBBOT_DATABASE_URL": f"sqlite:///{folder}/demo.db",
                    "CLUBBOT_PORT": "0",
                    "CLUBBOT_INBOUND_SECRET": inbound,
                    "CLUBBOT_GATEWAY_URL": address,
                    "CLUBBOT_GATEWAY_SECRET": outbound,
                    "CLUBBOT_CLOCK": _CLOCK,
                }
            )
            print(
                "Starting the club's text line (the first start learns the ways of asking, up to half a minute) ...",
                flush=True,
            )
            async with serving(settings) as service, aiohttp.ClientSession() as session:
                phones = _Phones(service, session, gateway, inbound)
                await phones.introduce()
                for name in NEWCOMER:
                    await phones.play(read_transcript(demo_folder() / "sample_conversations" / f"{name}.txt"))
                for name in (*ORGANISER, *MEMBER, *ORGANISER_LATER):
                    await phones.play(read_transcript(demo_folder() / "sample_conversations" / f"{name}.txt"))
                if interactive:
                    await phones.let_text()


class _Phones:
    """Both sides: what is texted to the club, and what reaches whose phone."""

    def __init__(self, service: Serving, session: aiohttp.ClientSession, gateway: StandInGateway, secret: str) -> None:
        self._service, self._session, self._gateway, self._secret = service, session, gateway, secret
        # The questions passed on in this conversation. One service plays them all, so its numbers go on where a
        # conversation that is read alone begins with Q1.
        self._passed_on: list[str] = []
        self._codes: dict[str, str] = {}
        people = service.handbook.knowledge.people
        self._volunteers = {person.number: person.first_name for person in people}
        self._names = dict(self._volunteers)

    async def introduce(self) -> None:
        """Who is who."""
        club = self._service.handbook.knowledge.club
        local = self._service.clock().astimezone(club.zone)
        print(
            f"{club.name}, {club.number}. It is {local:%A %d %B %Y %H:%M} there. > is the texter, < is what comes back."
        )

    async def play(self, transcript: Transcript) -> None:
        """One sample conversation, its texts only: the replies are those that really come."""
        print(f"\n--- {transcript.title}")
        country = self._service.handbook.knowledge.club.country
        numbers = {name: number for number, name in self._volunteers.items()}
        self._passed_on, self._names = [], dict(self._volunteers)
        for line in transcript.lines:
            if line.kind == "Phone":
                numbers[line.who] = to_e164(line.text, country) or _YOU
                self._names[numbers[line.who]] = line.who
            elif line.kind in {"Clock", "Later"}:
                await self._run_on(line, numbers.get("", _YOU))
            elif line.kind == ">":
                text = _QUESTION.sub(self._renumbered, line.text, count=1) if line.who else line.text
                text = coded(self._codes.get(numbers[line.who], ""), text)
                print(f"{line.who + ' ' if line.who else ''}> {text}", flush=True)
                await self._text(numbers[line.who], text, numbers.get("", _YOU))

    async def _run_on(self, line: Line, texter: str) -> None:
        """The clock runs fast to the day and hour that the conversation goes on at; what falls due meanwhile arrives."""
        clock = self._service.clock
        zone = self._service.handbook.knowledge.club.zone
        until = clock() + later(line) if line.kind == "Later" else moment(line, zone)
        if until <= clock():
            return
        print(f"(the clock runs on to {until.astimezone(zone):%A %d %B %H:%M})", flush=True)
        clock.run_at((until - clock()).total_seconds() / _JUMP_TAKES)
        while clock() < until:
            self._service.wake()
            await asyncio.sleep(_LOOK)
        clock.run_at(1)
        for number, said in await self._hear(_QUIET):
            self._show(number, said, texter)

    def _renumbered(self, found: re.Match[str]) -> str:
        place = int(found[1]) - 1
        return f"Q{self._passed_on[place]}" if place < len(self._passed_on) else found[0]

    async def let_text(self) -> None:
        """Texts typed at the terminal, until it ends."""
        print("\nNow you. Text the club; end with Ctrl-D.")
        while True:
            print("> ", end="", flush=True)
            typed = await asyncio.to_thread(sys.stdin.readline)
            if not typed:
                return
            await self._text(_YOU, typed.strip(), _YOU)

    async def _text(self, sender: str, text: str, texter: str) -> None:
        club = self._service.handbook.knowledge.club
        message = {"id": new_id(), "from": sender, "to": club.number, "text": text}
        body = json.dumps({"type": "message.received", "timestamp": wall_clock().isoformat(), "data": message})
        headers = signed_headers(new_id(), wall_clock(), body, self._secret)
        url = f"http://{self._service.host}:{self._service.port}/inbound"
        async with self._session.post(url, data=body.encode(), headers=headers) as answer:
            answer.raise_for_status()
        heard = await self._hear()
        for number, said in sorted(heard, key=lambda one: one[0] != sender):
            self._show(number, said, texter)
            asked = _QUESTION.search(said)
            if asked and number in self._volunteers and asked[1] not in self._passed_on:
                self._passed_on.append(asked[1])
        if not heard:
            print("(no answer)", flush=True)

    def _show(self, number: str, said: str, texter: str) -> None:
        if _CODE.search(said):
            self._codes[number] = said
        whose = "" if number == texter else f"{self._names.get(number, 'another phone')} "
        print(f"{whose}< {said}", flush=True)

    async def _hear(self, wait: float = _LONGEST_WAIT) -> Sequence[tuple[str, str]]:
        """Every text that reaches a phone until it has been quiet for a moment."""
        heard: list[tuple[str, str]] = []
        while True:
            try:
                heard.append(await asyncio.wait_for(self._gateway.taken.get(), wait))
            except TimeoutError:
                return heard
            wait = _QUIET


def _secret() -> str:
    return "whsec_" + b64encode(secrets.token_bytes(32)).decode()
