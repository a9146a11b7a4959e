"""Whether a text has a word of other people's business in it (rules/*/elsewhere.toml)."""

from clubbot.understanding.noticing import Noticed


def of_another_world(said: Noticed) -> bool:
    """Whether a text has a word of somebody else's business in it."""
    return said.says("elsewhere")
