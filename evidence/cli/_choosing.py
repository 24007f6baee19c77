"""Types of options whose refusals a person can act on: what was typed, what is near it, what there is."""

from collections.abc import Callable, Sequence
from difflib import get_close_matches
from typing import Any

import click

from evidence.model.names import Role

NEAR = 0.5  # likeness of a word and the one that was probably meant; practice, no source


class Word(click.Choice[str]):
    """One of a closed list of words; of a word that is near, the refusal says so before it lists all."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> str:
        """Take the word, or fail with the near one and the list."""
        text, words = str(value), [str(word) for word in self.choices]
        if text not in words:
            meant = f" Is {near} meant?" if (near := _near(text, words)) else ""
            self.fail(f"there is no {text!r}.{meant} There are: {', '.join(words)}.", param, ctx)
        return text

    def get_missing_message(self, param: click.Parameter, ctx: click.Context | None) -> str:  # noqa: ARG002 - click's
        """What may stand there, on one line."""
        return f"It is one of: {', '.join(map(str, self.choices))}."


def _near(text: str, words: Sequence[str]) -> str:
    """The word that was probably meant; empty where several begin like that, or none is near."""
    plain = "-".join(text.lower().replace("_", " ").split())
    begun = [word for word in words if plain and word.startswith(plain)]
    near = begun or get_close_matches(plain, words, 1, NEAR)
    return near[0] if len(near) == 1 else ""


class Between(click.ParamType[int]):
    """A whole number between two others."""

    name = "number"

    def __init__(self, low: int, high: int) -> None:
        self._low, self._high = low, high

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> int:
        """Read the number, or fail with what is wanted."""
        text = str(value).strip()
        if not (text.isascii() and text.isdigit() and self._low <= int(text[:9]) <= self._high):
            self.fail(f"{text!r} is no whole number from {self._low} to {self._high}.", param, ctx)
        return int(text)


def role_option(words: str) -> Callable[..., Any]:
    """The ``--as`` option, with its line of help."""
    return click.option("--as", "role", metavar="ROLE", type=Word([role.value for role in Role]), help=words)
