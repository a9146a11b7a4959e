"""Emoji that stand for a word, as the word: a dog for "dog", a thumb up for "yes". Faces and hearts say nothing that a club can answer."""

from clubbot.texting import patterns

_VARIANT = "\ufe0f"  # asks for the coloured form of the sign before it (Unicode Standard, 23.4)
_MEANS: dict[str, str] = {
    sign: word
    for word, signs in {
        "yes": "👍✅✔",
        "no": "👎❌",
        "dog": "🐶🐕🦮🐩",
        "child": "👶🧒👧👦",
        "rain": "🌧☔🌦",
        "thunder": "⛈🌩",
        "snow": "❄🌨☃",
        "dark": "🌙🌃",
        "toilet": "🚻🚽🚾",
        "wheelchair": "♿🦽🦼",
        "parking": "🅿",
        "bus": "🚌",
        "disc": "🥏",
        "beer": "🍺🍻",
        "smoking": "🚬",
        "tournament": "🏆",
        "money": "💰💵💸",
        "?": "❓❔",
    }.items()
    for sign in signs
}
_LOOK = f"{_VARIANT}?[\U0001f3fb-\U0001f3ff]?"  # its form and the colour of its skin
_SIGN = patterns.compile(rf"({'|'.join(_MEANS)}){_LOOK}(?:\1{_LOOK})*")


def in_words(text: str) -> str:
    """The text with such emoji written out in English, a row of the same sign as one word."""
    return _SIGN.sub(lambda found: f" {_MEANS[found[1]]} ", text)
