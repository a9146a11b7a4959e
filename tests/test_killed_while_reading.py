"""A text during whose reading the service is killed is not read again: a person gets it, and its sender is told."""

import os
import signal
from pathlib import Path

import aiohttp
import pytest

from tests.builders import KIM
from tests.fakes import FakeGateway, Phone, a_gateway, until
from tests.store.builders import LEE
from tests.test_kill import Life, a_life, look

TEXT = "is there a campground nearby that takes dogs"


def child_of(pid: int) -> int:
    (child,) = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
    return int(child)


async def a_phone(life: Life, session: aiohttp.ClientSession) -> Phone:
    return Phone(session=session, url=f"http://127.0.0.1:{await life.port}/inbound")


async def killed_while_it_reads(text: str, file: Path, gateway: FakeGateway) -> None:
    """One text is answered, so that all is warm; then the reader is stopped, and the service killed while it waits for it."""
    bookmark = Path(f"{file}-reading")
    async with a_life(file, gateway) as life, aiohttp.ClientSession() as session:
        phone = await a_phone(life, session)
        assert await phone.text("HELP", id="text-1", sender=LEE) == 200
        await until(lambda: bool(gateway.to(LEE)))
        os.kill(child_of(child_of(life.process.pid)), signal.SIGSTOP)
        assert await phone.text(text, id="text-2", sender=KIM) == 200
        await until(lambda: int(bookmark.read_bytes()) == 2)
        life.kill()
        await life.process.wait()


@pytest.mark.usefixtures("handbook")  # learns the ways of asking where nobody has yet
async def test_a_text_that_was_begun_and_not_finished_goes_to_a_person_with_its_words(tmp_path: Path) -> None:
    file = tmp_path / "club.db"
    async with a_gateway() as gateway:
        await killed_while_it_reads(TEXT, file, gateway)
        async with a_life(file, gateway) as life, aiohttp.ClientSession() as session:
            phone = await a_phone(life, session)
            assert await phone.text(TEXT, id="text-2", sender=KIM) == 200  # the gateway may post it again
            assert await phone.text("can i bring my dog", id="text-3", sender=LEE) == 200
            await until(lambda: look(file, "SELECT count(*) FROM inbox WHERE state = 'answered'") == [(3,)])
            await until(lambda: len(gateway.to(KIM)) == 1 and len(gateway.to(LEE)) == 2)

    outcomes = look(file, "SELECT outcome FROM inbox ORDER BY id")
    assert outcomes == [("answered",), ("set aside",), ("answered",)]
    assert "volunteer" in gateway.to(KIM)[0].text
    assert "911" in gateway.to(KIM)[0].text
    assert look(file, "SELECT reason, asker FROM questions") == [("set aside", KIM)]
    ((note,),) = look(file, "SELECT text FROM outbox WHERE key LIKE 'question:%'")  # to whoever is on duty at this hour
    assert TEXT in str(note)


@pytest.mark.parametrize("text", ["STOP", "please stop texting me"])
@pytest.mark.usefixtures("handbook")
async def test_an_opt_out_that_was_begun_and_not_finished_is_done_all_the_same(tmp_path: Path, text: str) -> None:
    """A key word is looked up; the wish in plain words is looked for by itself, in a process that can be ended."""
    file = tmp_path / "club.db"
    async with a_gateway() as gateway:
        await killed_while_it_reads(text, file, gateway)
        async with a_life(file, gateway):
            await until(lambda: look(file, "SELECT outcome FROM inbox WHERE id = 2") == [("opted out",)])
    assert look(file, f"SELECT opted_out FROM people WHERE number = '{KIM}'") == [(1,)]
