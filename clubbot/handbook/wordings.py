"""The wording files: the package's own sentences, with those that the club says in its own way laid over them."""

import tomllib
from importlib.resources import files
from pathlib import Path

from clubbot.handbook.facts import names_in
from clubbot.handbook.findings import Finding, error
from clubbot.handbook.tables import Table, line_of, read_table
from clubbot.model.messages import LANGUAGES, Language, Wording


def read_wording(folder: Path, findings: list[Finding]) -> Wording:
    """Per language every sentence by its dotted key; a key that the package does not have becomes a finding."""
    return {language: _one(folder / "wording" / f"{language}.toml", language, findings) for language in LANGUAGES}


def shipped(language: Language) -> dict[str, str]:
    """The package's own sentences."""
    text = (files("clubbot.handbook") / "wording" / f"{language}.toml").read_text("utf-8")
    return flat(tomllib.loads(text))


def flat(table: Table, before: str = "") -> dict[str, str]:
    """A table of tables as one, keys joined by dots; places in a list count from 0."""
    found: dict[str, str] = {}
    for key, value in table.items():
        name = f"{before}{key}"
        match value:
            case dict():
                found |= flat(value, f"{name}.")
            case list():
                found |= {f"{name}.{place}": str(one) for place, one in enumerate(value)}
            case _:
                found[name] = str(value)
    return found


def _one(file: Path, language: Language, findings: list[Finding]) -> dict[str, str]:
    ours = shipped(language)
    if not file.exists():
        return ours
    for key, sentence in flat(read_table(file, findings)).items():
        if key not in ours:
            findings.append(
                error(
                    file,
                    line_of(file, key.split(".")),
                    f'"{key}" is no sentence of clubbot\'s',
                    "see the package's wording file for the keys",
                )
            )
        elif not set(_names(sentence)) <= set(_names(ours[key])) | {name for name in _names(sentence) if "." in name}:
            findings.append(
                error(
                    file,
                    line_of(file, key.split(".")),
                    f'"{key}" names something in braces that clubbot does not fill in there',
                    f"use only {', '.join(_names(ours[key])) or 'facts'}",
                )
            )
        else:
            ours[key] = sentence
    return ours


def _names(sentence: str) -> list[str]:
    try:
        return names_in(sentence)
    except ValueError:
        return ["an open brace"]
