"""The anchorage worksheet as lines for people and as JSON."""

from collections.abc import Iterable, Iterator, Sequence
from textwrap import wrap

from evidence.anchoring import Told, clamped, greatest_pull, tightening_notes, weakest
from evidence.jsondoc import Json
from evidence.measure.anchorage import COUNTERSUNK, NOT_COVERED, Worksheet
from evidence.phrases import hint, say
from evidence.quantity import decimal_text

WIDTH = 100  # columns of the text


# ── for machines ────────────────────────────────────────────────────────────────────────────────────────────


def document(found: Worksheet) -> dict[str, Json]:
    """The worksheet for JSON, with the preload of each thread whose torque is given."""
    tightening: list[Json] = [
        {
            "thread": each.thread,
            "torque": {**each.torque.json()},
            "nut_factor_low": each.nut_factor_low.number,
            "nut_factor_high": each.nut_factor_high.number,
            "nut_factor_source": each.nut_factor_source,
            "greatest_pull_n": str(greatest_pull(found, each.thread)),
            **clamped(each).document(weakest(found, each.thread).screw.proof_n),
        }
        for each in found.sheet.tightening
    ]
    warnings = [*found.warnings, *dict.fromkeys(code for code, _ in tightening_notes(found))]
    return {**found.document(), "tightening": tightening, "warnings": sorted(warnings)}


# ── for people ──────────────────────────────────────────────────────────────────────────────────────────────


def lines(found: Worksheet) -> list[str]:
    """The worksheet to read: assumptions, masses, loads, the least reserve, and what it says nothing about."""
    words = Told(found, say)
    told = [say("anchorage-head", {"title": found.sheet.title}), say("anchorage-plain")]
    factor = {"factor": decimal_text(COUNTERSUNK)}
    told += _section("anchorage-assumptions", [say(code, factor) for code in found.assumptions])
    told += _section("anchorage-masses", words.masses())
    for case in found.cases:
        told += [
            "",
            words.title(case),
            *_table([words.headings(), *(words.cells(load) for load in case.bolts)]),
        ]
    told += ["", *wrap(words.worst(), WIDTH)]
    for code in found.warnings:
        told += _note(code, {})
    if found.sheet.tightening:
        told += _section("anchorage-tightening", [words.tightened(each) for each in found.sheet.tightening])
        for code, thread in tightening_notes(found):
            told += _note(code, {"thread": thread})
    told += _section("anchorage-not", [say(code) for code in NOT_COVERED])
    return [*told, "", *wrap(say("anchorage-decides"), WIDTH)]


def _section(heading: str, entries: Iterable[str]) -> list[str]:
    told = ["", say(heading)]
    for entry in entries:
        told += wrap(entry, WIDTH, initial_indent="  - ", subsequent_indent="    ")
    return told


def _note(code: str, parameters: dict[str, str]) -> list[str]:
    return [
        *wrap(say(code, parameters), WIDTH),
        *wrap(hint(code), WIDTH, initial_indent="    ", subsequent_indent="    "),
    ]


def _table(rows: Sequence[Sequence[str]]) -> Iterator[str]:
    """Names to the left, figures to the right."""
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    for row in rows:
        cells = [
            cell.ljust(width) if index < 2 else cell.rjust(width)  # noqa: PLR2004 - two columns of names
            for index, (cell, width) in enumerate(zip(row, widths, strict=True))
        ]
        yield f"  {'  '.join(cells)}".rstrip()
