"""The `clubbot` command: a short function for each of its words."""

import argparse
import asyncio
import json
import sys
from collections.abc import Iterable, Sequence
from datetime import date, datetime
from pathlib import Path
from typing import Any

from clubbot import logs
from clubbot.chatting import HELP as CHAT_HELP
from clubbot.chatting import Chat
from clubbot.conversation.key_words import opt_out_of
from clubbot.conversation.phrasing import Voice
from clubbot.conversation.sheet import as_csv, as_text
from clubbot.demo import demo_folder, play_demo
from clubbot.events.days import event_days
from clubbot.files import read_written, why
from clubbot.handbook.book import Handbook, open_handbook
from clubbot.handbook.checking import check
from clubbot.handbook.language_files import shipped_language_files
from clubbot.handbook.learning import learnt_from, usual_folder
from clubbot.handbook.loading import load_or_fault
from clubbot.model.club import Overlay
from clubbot.model.errors import ClubbotError
from clubbot.model.messages import LANGUAGES
from clubbot.model.rsvps import DayId
from clubbot.people.changed import people_as_table
from clubbot.people.needs import needs_as_table
from clubbot.people.roles import as_table
from clubbot.serving import serving, wall_clock
from clubbot.settings import database_of, environment, read_settings
from clubbot.stopping import stop_when_told
from clubbot.store.backup import Holds, Restored, back_up, restore
from clubbot.store.club import read_people_changed
from clubbot.store.faults import file_of
from clubbot.store.lock import alone
from clubbot.store.migrating import make_ready, migrate
from clubbot.store.rsvps import read_names
from clubbot.store.store import open_engine, read
from clubbot.texting.numbers import to_e164
from clubbot.transcripts import play, read_transcript
from clubbot.trying import as_json_line, explained, try_one

_LARGEST_MESSAGES = 100_000_000
# One of each command, shown by its --help.
_EXAMPLES = {
    "serve": "serve --settings clubbot.toml",
    "chat": "chat --now 2027-06-07T12:00 --as '+1 902 555 0143'",
    "ask": "ask --why 'can I bring my dog'",
    "check": "check knowledge",
    "rehearse": "rehearse sample_conversations/first_visit.txt",
    "demo": "demo",
    "sheet": "sheet tuesday-league 2027-06-08 --csv",
    "migrate": "migrate --settings clubbot.toml",
    "backup": "backup saturday.db",
    "restore": "restore saturday.db",
}
_NEWCOMER = "+19025550142"


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; 0 where all is well, 1 where something is wrong with what it was given, 2 for a wrong call."""
    asked = _parser().parse_args(arguments)
    try:
        return int(asked.run(asked))
    except ClubbotError as fault:
        print(fault, file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        return 130
    except BrokenPipeError:  # the reader of our output has gone, as `head` does
        sys.stderr.close()
        return 0
    except OSError as fault:  # a disk that is full, a file that may not be written
        print(f"{fault.filename or 'clubbot'}: {why(fault)}", file=sys.stderr)
        return 1


def serve_command(asked: argparse.Namespace) -> int:
    """Run the service until it is told to stop."""
    settings = read_settings(environment(), asked.settings)
    logs.log_to(settings.log_file)

    async def run() -> None:
        with stop_when_told(asyncio.get_running_loop()) as stop:
            await serve_until(stop)

    async def serve_until(stop: asyncio.Event) -> None:
        async with serving(settings) as service:
            told = asyncio.create_task(stop.wait())
            ends: tuple[asyncio.Future[Any], ...] = (told, service.failed)
            await asyncio.wait(ends, return_when=asyncio.FIRST_COMPLETED)
            told.cancel()
            if service.failed.done():
                raise service.failed.result()

    asyncio.run(run())
    return 0


def chat_command(asked: argparse.Namespace) -> int:
    """Text the club in the terminal; nothing is kept. A line that begins with a colon is for the terminal: :help."""
    handbook = _handbook(asked)
    sender = to_e164(asked.sender, handbook.knowledge.club.country)
    if sender is None:
        raise ClubbotError(f"--as {asked.sender}: this is no phone number; write it as +1 902 555 0142")
    chat = Chat(handbook, sender, _now(asked, handbook))
    shown = sys.stdin.isatty()
    if shown:
        print(f"You are texting {handbook.knowledge.club.name}. End with Ctrl-D.\n{CHAT_HELP}")
    for line in _typed(shown):
        if not shown:  # what is typed shows by itself; what is piped in does not
            print(f"> {line}", flush=True)
        for told in chat.line(line, None if asked.now else wall_clock()):
            print(told, flush=True)
    return 0


def ask_command(asked: argparse.Namespace) -> int:
    """Answer one text, or every labelled message of a file, as a new sender's first."""
    handbook = _handbook(asked)
    now = _now(asked, handbook)
    if asked.messages is not None:
        for number, line in enumerate(_lines(asked.messages), start=1):
            try:
                text = str(json.loads(line)["text"])
            except (ValueError, KeyError, TypeError):
                raise ClubbotError(f'{asked.messages}:{number}: not a JSON object with a "text"') from None
            print(as_json_line(try_one(text, handbook, _NEWCOMER, now), handbook, now))
        return 0
    if asked.text is None:
        raise ClubbotError('say what to ask, such as: clubbot ask "is it open", or name a file with --messages')
    tried = try_one(asked.text, handbook, _NEWCOMER, now)
    if asked.why:
        print(explained(tried, handbook, load_or_fault(_knowledge_folder(asked)).examples))
    else:
        print(tried.reply or "(no answer)")
    return 0


def check_command(asked: argparse.Namespace) -> int:
    """Say what is wrong in the knowledge files."""
    if asked.roles:
        print(as_table())
        print()
        print(needs_as_table())
        print()
        print(_people_table(asked))
        return 0
    folder: Path = asked.folder or _knowledge_folder(asked)
    today = asked.now.date() if asked.now else wall_clock().date()
    _, findings = check(folder, today, lambda examples: learnt_from(examples, usual_folder()).scorer)
    for finding in findings:
        print(finding)
    errors = sum(finding.severity == "error" for finding in findings)
    print(f"{errors} error(s), {len(findings) - errors} warning(s) in {folder}")
    return 1 if errors else 0


def _people_table(asked: argparse.Namespace) -> str:
    """The club's people as the files have them, with what was changed by text where the service's database is at hand."""
    knowledge = load_or_fault(asked.folder or _knowledge_folder(asked))
    url = database_of(environment(), asked.settings)
    file = file_of(url)
    if file is None or not file.exists():
        return f"{people_as_table(knowledge, Overlay())}\n(as the files have it: {file} is not here)"
    engine = open_engine(url)
    make_ready(engine)
    overlay = read(engine, read_people_changed)
    engine.dispose()
    return people_as_table(knowledge, overlay)


def rehearse_command(asked: argparse.Namespace) -> int:
    """Play sample conversations and compare; with --write the replies are renewed instead."""
    handbook = _handbook(asked)
    differences = 0
    for file in asked.files:
        transcript = read_transcript(file)
        played = play(transcript, handbook)
        if asked.write:
            file.write_text(played.renewed, "utf-8")
            played = play(read_transcript(file), handbook)
        for difference in played.differences:
            print(difference)
        differences += len(played.differences)
        print(f"{'differs' if played.differences else 'as written'}: {file} ({transcript.title})")
    return 1 if differences else 0


def demo_command(asked: argparse.Namespace) -> int:
    """The real service on this machine with a stand-in gateway: sample conversations, then your own texts."""
    asyncio.run(play_demo(interactive=sys.stdin.isatty()))
    return 0


def sheet_command(asked: argparse.Namespace) -> int:
    """Print the sign-up sheet of an event day for the clipboard."""
    settings = read_settings(environment(), asked.settings)
    knowledge = load_or_fault(settings.knowledge)
    rule = next((event for event in knowledge.events if event.id == asked.event), None)
    if rule is None:
        known = ", ".join(event.id for event in knowledge.events)
        raise ClubbotError(f"{asked.event}: there is no such event; there are {known}")
    zone = knowledge.club.zone
    days = event_days(rule, zone)
    one = next((day for day in days if asked.date in {day.day, day.starts.astimezone(zone).date()}), None)
    if one is None:
        near = min(days, key=lambda day: abs((day.day - asked.date).days)).day
        raise ClubbotError(f"{asked.event} is not on {asked.date}; the nearest day is {near}")
    on = DayId(rule.id, rule.first if rule.one_entry else one.day)
    engine = open_engine(settings.database_url)
    make_ready(engine)
    names = read(engine, lambda connection: read_names(connection, on.day, [on])).get(on, ())
    engine.dispose()
    voice = Voice(knowledge, asked.language or knowledge.club.languages[0])
    sys.stdout.write(as_csv(one, names, voice) if asked.csv else as_text(one, names, voice))
    return 0


def migrate_command(asked: argparse.Namespace) -> int:
    """Bring the database to the schema of this version."""
    settings = read_settings(environment(), asked.settings)
    engine = open_engine(settings.database_url)
    with alone(file_of(settings.database_url)):
        migrate(engine)
    engine.dispose()
    print(f"{engine.url.render_as_string(hide_password=True)} is up to date")
    return 0


def backup_command(asked: argparse.Namespace) -> int:
    """Copy the database to a file, also while the service runs."""
    settings = read_settings(environment(), asked.settings)
    holds = back_up(settings.database_url, asked.file, overwrite=asked.overwrite)
    print(f"{asked.file} holds {_told(holds)}.")
    print("It holds phone numbers and texts: keep it where nobody else can read it, and not on this disk alone.")
    return 0


def restore_command(asked: argparse.Namespace) -> int:
    """Put a backup in the place of the database, which is kept beside; not while the service runs."""
    settings = read_settings(environment(), asked.settings)
    notice = shipped_language_files().of_any_club().notice

    def ends_texts(text: str) -> bool:
        return opt_out_of(text, notice) is not None

    done = restore(
        settings.database_url, asked.file, wall_clock(), send_waiting=asked.send_waiting, ends_texts=ends_texts
    )
    print(f"{file_of(settings.database_url)} now holds {_told(done.holds)}. Whatever came after that is not in it.")
    if done.kept_as is not None:
        print(f"The database from before is kept as {done.kept_as}.")
    if asked.send_waiting:
        print("What waited to go out then goes out when the service starts, even if it has gone before.")
    else:
        print(
            f"Nobody is texted twice: {done.unsent} text(s) that waited to go out then, {done.unanswered} that waited for an "
            f"answer and {done.unreminded} reminder(s) due since are not sent. They are kept as dropped; to send them all the "
            "same, restore again with --send-waiting."
        )
    print(_told_of_opt_outs(done))
    if done.must_migrate:
        print("It is of an older version of clubbot: run `clubbot migrate` before `clubbot serve`.")
    return 0


def _told(holds: Holds) -> str:
    last = (
        f"the last text came in at {holds.last_text:%Y-%m-%d %H:%M} UTC" if holds.last_text else "no text has come in"
    )
    return (
        f"{holds.people} people, {holds.answers} answers to events, {holds.texts_in} texts in, {holds.texts_out} texts out; "
        f"{last}"
    )


def _told_of_opt_outs(done: Restored) -> str:
    if done.kept_as is None or done.opted_out_since is None:
        return (
            "OPT-OUTS SINCE THEN ARE LOST, and no database from before could be asked for them: whoever has texted STOP since "
            "would get texts again. Before you start the service, find out who did, such as from the company that carries "
            "your texts."
        )
    return (
        f"Opt-outs since then were taken over from the database before: {done.opted_out_since}. The proof of them, when and in "
        "what words, is in the old file alone: keep it."
    )


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="clubbot", description="A disc golf club's text number.")
    words = parser.add_subparsers(required=True, metavar="COMMAND")

    serve = words.add_parser("serve", help="run the service", description=serve_command.__doc__)
    serve.add_argument(
        "--settings",
        type=Path,
        metavar="FILE",
        help="a TOML file of settings; CLUBBOT_... in the environment goes before it",
    )
    serve.set_defaults(run=serve_command)

    chat = words.add_parser("chat", help="text the club in the terminal", description=chat_command.__doc__)
    chat.add_argument(
        "--as", dest="sender", default=_NEWCOMER, metavar="NUMBER", help="whose phone you are texting from"
    )
    _add_usual(chat)
    chat.set_defaults(run=chat_command)

    ask = words.add_parser("ask", help="see how a text is answered", description=ask_command.__doc__)
    ask.add_argument("text", nargs="?", help="the text")
    ask.add_argument("--why", action="store_true", help="tell in plain words why it is read so")
    ask.add_argument("--messages", type=Path, metavar="FILE", help="labelled messages, one JSON object a line")
    _add_usual(ask)
    ask.set_defaults(run=ask_command)

    checking = words.add_parser("check", help="check the knowledge files", description=check_command.__doc__)
    checking.add_argument("folder", nargs="?", type=Path, metavar="DIR", help="the knowledge folder")
    checking.add_argument(
        "--roles", action="store_true", help="show what each role may do by text, what needs a code, and who has it"
    )
    checking.add_argument("--settings", type=Path, metavar="FILE", help="with --roles: whose database to look into")
    _add_usual(checking)
    checking.set_defaults(run=check_command)

    rehearse = words.add_parser("rehearse", help="play sample conversations", description=rehearse_command.__doc__)
    rehearse.add_argument("files", nargs="+", type=Path, metavar="FILE")
    rehearse.add_argument("--write", action="store_true", help="write the replies that came into the files")
    _add_usual(rehearse)
    rehearse.set_defaults(run=rehearse_command)

    demo = words.add_parser("demo", help="watch both phones", description=demo_command.__doc__)
    demo.set_defaults(run=demo_command)

    sheet = words.add_parser("sheet", help="print a sign-up sheet", description=sheet_command.__doc__)
    sheet.add_argument("event", metavar="EVENT", help="the event's id, such as tuesday-league")
    sheet.add_argument("date", metavar="DATE", type=_day, help="its day, as 2027-06-09")
    sheet.add_argument("--csv", action="store_true", help="for a spreadsheet")
    sheet.add_argument("--language", choices=LANGUAGES, help="the language of the sheet (else the club's first)")
    sheet.add_argument("--settings", type=Path, metavar="FILE", help="a TOML file of settings")
    sheet.set_defaults(run=sheet_command)

    migrating = words.add_parser("migrate", help="update the database", description=migrate_command.__doc__)
    migrating.add_argument("--settings", type=Path, metavar="FILE", help="a TOML file of settings")
    migrating.set_defaults(run=migrate_command)

    backup = words.add_parser("backup", help="copy the database", description=backup_command.__doc__)
    backup.add_argument("file", type=Path, metavar="FILE", help="where to; a file that is not there yet")
    backup.add_argument("--overwrite", action="store_true", help="take the place of a file that is there")
    backup.add_argument("--settings", type=Path, metavar="FILE", help="a TOML file of settings")
    backup.set_defaults(run=backup_command)

    restoring = words.add_parser("restore", help="put a backup back", description=restore_command.__doc__)
    restoring.add_argument("file", type=Path, metavar="FILE", help="what `clubbot backup` has made")
    restoring.add_argument(
        "--send-waiting", action="store_true", help="send what waited to go out then, even if it has gone since"
    )
    restoring.add_argument("--settings", type=Path, metavar="FILE", help="a TOML file of settings")
    restoring.set_defaults(run=restore_command)
    for name, one in words.choices.items():
        one.epilog = f"Example: clubbot {_EXAMPLES[name]}"
    return parser


def _add_usual(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--knowledge",
        type=Path,
        metavar="DIR",
        help="the knowledge folder (else CLUBBOT_KNOWLEDGE, ./knowledge, the demo club)",
    )
    parser.add_argument(
        "--now", type=_moment, metavar="TIME", help="pretend it is this time, as 2027-06-07T12:00 (the club's time)"
    )


def _moment(written: str) -> datetime:
    try:
        return datetime.fromisoformat(written)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{written!r} is no time; write it as 2027-06-07T12:00") from None


def _day(written: str) -> date:
    try:
        return date.fromisoformat(written)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{written!r} is no day; write it as 2027-06-09") from None


def _now(asked: argparse.Namespace, handbook: Handbook) -> datetime:
    if asked.now is None:
        return wall_clock()
    moment: datetime = asked.now
    return moment if moment.tzinfo else moment.replace(tzinfo=handbook.knowledge.club.zone)


def _knowledge_folder(asked: argparse.Namespace) -> Path:
    named = asked.knowledge or environment().get("CLUBBOT_KNOWLEDGE")
    if named:
        return Path(named)
    here = Path("knowledge")
    return here if (here / "club.toml").exists() else demo_folder() / "knowledge"


def _handbook(asked: argparse.Namespace) -> Handbook:
    return open_handbook(_knowledge_folder(asked), usual_folder())


def _lines(file: Path) -> Iterable[str]:
    try:
        return [line for line in read_written(file, _LARGEST_MESSAGES).splitlines() if line.strip()]
    except (OSError, UnicodeDecodeError) as fault:
        told = why(fault) if isinstance(fault, OSError) else fault
        raise ClubbotError(f"{file}: cannot be read ({told})") from None


def _typed(shown: bool) -> Iterable[str]:
    while True:
        try:
            yield input("> " if shown else "")
        except EOFError:
            return
