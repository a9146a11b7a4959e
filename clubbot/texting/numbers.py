"""Phone numbers: E.164 inside, masked wherever somebody else may read them."""

import phonenumbers

from clubbot.texting import patterns

# Seven digits or more, whatever stands between them; fewer are a hole, a score, an hour.
_DIGITS = patterns.compile(r"\+?\d(?:[\s().\u2010-\u2015-]*\d){6,}")


def to_e164(written: str, country: str) -> str | None:
    """The number as E.164 ("+19025550142"), read with `country` (ISO 3166 two letters) where it names none; None if it is none."""
    try:
        number = phonenumbers.parse(written, country)
    except phonenumbers.NumberParseException:
        return None
    if not phonenumbers.is_valid_number(number):
        return None
    return phonenumbers.format_number(number, phonenumbers.PhoneNumberFormat.E164)


def masked(number: str) -> str:
    """A number that people may see in a log: only its last two digits, and how long it was does not show."""
    digits = [letter for letter in number if letter.isdigit()]
    return "…" + "".join(digits[-2:]) if len(digits) > 3 else "…"


def mask_all(text: str) -> str:
    """The text with everything in it that looks like a phone number masked."""
    return _DIGITS.sub(lambda found: masked(found.group()), text)
