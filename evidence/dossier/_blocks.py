"""The few shapes that every section is made of; the typesetting sources know how each one looks.

A *span* is a piece of text with one style, an *inline* a list of spans, a *block* what stands by itself on the
page. All are plain JSON values.
"""

from collections.abc import Sequence
from typing import Literal

from evidence.dossier._input import Data
from evidence.model.names import Outcome

Span = Data
Inline = list[Span]
Block = Data
Tone = Literal["plain", "muted", "note", "caution"]


def plain(text: str) -> Span:
    """Text as it is."""
    return {"t": text}


def strong(text: str) -> Span:
    """Text that the eye should find first."""
    return {"t": text, "s": "strong"}


def muted(text: str) -> Span:
    """Text that explains other text."""
    return {"t": text, "s": "muted"}


def mono(text: str) -> Span:
    """Digests and commands, which are compared letter by letter."""
    return {"t": text, "s": "mono"}


def foreign(text: str, language: str) -> Span:
    """Text typed by a person in a language of their own."""
    return {"t": text, "lang": language}


def chip(outcome: Outcome, word: str) -> Span:
    """An outcome as word, shape and tint."""
    return {"chip": outcome_slug(outcome), "t": word}


def outcome_slug(outcome: Outcome) -> str:
    """Name of an outcome as a key: ``not-met``."""
    return outcome.value.replace(" ", "-")


def link(anchor: str, text: str, *, page: bool = False) -> Span:
    """Text that leads to an anchor, with the number of its page where ``page`` says so."""
    return {"to": anchor, "t": text, "page": page}


def swatch(colour: str) -> Span:
    """A small field of a colour given as ``#rrggbb``, before the words that name it."""
    return {"swatch": colour}


def new_line() -> Span:
    """Ends the line."""
    return {"br": True}


def tick() -> Span:
    """An empty square, to be ticked in ink."""
    return {"tick": True}


def bar(svg: str, alt: str, low: str, high: str) -> Data:
    """A drawn limit bar with its limits as text; ``alt`` says the same in words."""
    return {"svg": svg, "alt": alt, "low": low, "high": high}


def heading(text: str, level: int = 2, *, listed: bool = True, anchor: str = "") -> Block:
    """A heading below the section's own, which is level 1; ``listed`` where the contents name it, ``anchor`` for links."""
    own = {"anchors": [anchor]} if anchor else {}
    return {"kind": "heading", "text": text, "level": level, "listed": listed, **own}


def paragraph(inline: Inline, tone: Tone = "plain") -> Block:
    """Running text."""
    return {"kind": "paragraph", "text": inline, "tone": tone}


def numbered(items: Sequence[Inline]) -> Block:
    """Steps to be done in order."""
    return {"kind": "numbered", "items": list(items)}


def bullets(items: Sequence[Inline]) -> Block:
    """Points without an order."""
    return {"kind": "bullets", "items": list(items)}


def facts(rows: Sequence[tuple[str, Inline]]) -> Block:
    """Labels with their values."""
    return {"kind": "facts", "rows": [{"label": label, "value": value} for label, value in rows]}


def column(head: str, *, mm: int = 0, share: int = 1) -> Data:
    """A column ``mm`` wide, or with a share of what is left."""
    return {"head": head, "mm": mm, "share": share}


def row(cells: Sequence[Inline], anchors: Sequence[str] = ()) -> Data:
    """A row; ``anchors`` are the places that links lead to."""
    return {"cells": list(cells), "anchors": list(anchors)}


def table(columns: Sequence[Data], rows: Sequence[Data]) -> Block:
    """A table whose head repeats on every page."""
    return {"kind": "table", "columns": list(columns), "rows": list(rows)}


def signing(title: str, rows: Sequence[tuple[str, Inline]], foot: Inline) -> Data:
    """A place to sign in ink; a row without a value gets a line to write on."""
    lines = [{"label": label, "value": value} for label, value in rows]
    return {"title": title, "rows": lines, "foot": foot}


def signatures(sign: str, places: Sequence[Data]) -> Block:
    """Places to sign beside each other; ``sign`` labels the field for the signature itself."""
    return {"kind": "signatures", "sign": sign, "places": list(places)}


def section(
    name: str, title: str, blocks: Sequence[Block], *, listed: bool = True, flows: bool = False
) -> Data:
    """A section with its title; an empty one is not printed.

    Args:
        name: its id.
        title: its heading.
        blocks: its content.
        listed: whether the contents name it.
        flows: whether it may follow another section on the same page.
    """
    return {"id": name, "title": title, "blocks": list(blocks), "listed": listed, "flows": flows}


def joined(parts: Sequence[Inline], separator: str) -> Inline:
    """Inlines one after another with a separator between."""
    result: Inline = []
    for index, part in enumerate(parts):
        if index:
            result.append(plain(separator))
        result.extend(part)
    return result
