"""What people do about their sign-ups beside answering: each of these looks at the text in turn."""

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.moving import moved
from clubbot.conversation.of_my_event import who_runs_it
from clubbot.conversation.on_the_way import on_the_way
from clubbot.conversation.reminding import reminded_or_not
from clubbot.conversation.several_days import several_days
from clubbot.understanding.once import Reading


def about_own_sign_up(ask: Ask, reading: Reading) -> tuple[Served, ...]:
    """What a text about the sender's own sign-up, or the event that was spoken of, brings; nothing where it is none."""
    on_its_way = on_the_way(ask)
    if on_its_way:
        return on_its_way
    served = reminded_or_not(ask) or moved(ask, reading) or several_days(ask, reading) or who_runs_it(ask)
    return () if served is None else (served,)
