"""Anchorage worksheets, only where a job holds one: loads and reserves of every bolt, and all that they say nothing about."""

from collections.abc import Iterator

from evidence.anchoring import Sheet, Told, tightening_notes
from evidence.dossier._blocks import (
    Block,
    Inline,
    bullets,
    column,
    heading,
    muted,
    paragraph,
    plain,
    row,
    section,
    strong,
    table,
)
from evidence.dossier._input import Data, DossierInput, Say
from evidence.dossier._words import Teller, text
from evidence.drawing.bolts import bolts_svg
from evidence.measure.anchorage import COUNTERSUNK, METHOD, NOT_COVERED, Case
from evidence.quantity import decimal_text

_WIDTHS = (14, 0, 18, 18, 21, 19, 17, 23)  # mm of the columns; the kind takes what is left


def build(source: DossierInput, say: Say) -> Data:
    """For each sheet what was assumed, a table and a drawing for each direction, and what was not looked at."""
    tell = Teller(source, say)
    blocks = [block for sheet in source.anchorages for block in _Page(sheet, tell).blocks()]
    return section("anchorage", tell("title-anchorage"), blocks)


class _Page:
    """The blocks of one sheet."""

    def __init__(self, sheet: Sheet, tell: Teller) -> None:
        self._sheet = sheet
        self._tell = tell
        self._found = sheet.found
        self._told = Told(sheet.found, tell.notice)

    def blocks(self) -> Iterator[Block]:
        """Who decides stands first and last: the figures between are arithmetic."""
        tell, found = self._tell, self._found
        place = tell.subject(self._sheet.subject)
        yield heading(tell("anchorage-of", title=found.sheet.title, subject=place))
        yield paragraph(
            [strong(tell.notice("anchorage-plain")), plain(f" {tell.notice('anchorage-decides')}")], "caution"
        )
        yield heading(tell.notice("anchorage-assumptions"), 3)
        factor = {"factor": decimal_text(COUNTERSUNK)}
        yield bullets([text(tell.notice(code, factor)) for code in found.assumptions])
        yield heading(tell.notice("anchorage-masses"), 3)
        yield bullets(list(map(text, self._told.masses())))
        for case in found.cases:
            yield from self._case(case)
        yield paragraph([strong(self._told.worst())])
        for code in found.warnings:
            yield paragraph(self._note(code, {}), "caution")
        yield from self._tightening()
        yield heading(tell.notice("anchorage-not"), 3)
        yield bullets([text(tell.notice(code)) for code in NOT_COVERED])
        named = tell("anchorage-method", method=METHOD, file=self._sheet.name)
        yield paragraph([plain(tell.notice("anchorage-decides")), muted(f" {named}")], "note")

    def _case(self, case: Case) -> Iterator[Block]:
        tell = self._tell
        yield heading(self._told.title(case), 3)
        heads = [column(head, mm=width) for head, width in zip(self._told.headings(), _WIDTHS, strict=True)]
        yield table(
            heads, [row([text(tell.number(cell)) for cell in self._told.cells(load)]) for load in case.bolts]
        )
        drawn = self._told.pattern((case,))
        caption = text(self._tell("anchorage-caption"))
        yield {"kind": "plot", "svg": bolts_svg(drawn), "alt": drawn.words.alt, "caption": caption}

    def _tightening(self) -> Iterator[Block]:
        found = self._found
        if not found.sheet.tightening:
            return
        yield heading(self._tell.notice("anchorage-tightening"), 3)
        yield bullets([text(self._told.tightened(each)) for each in found.sheet.tightening])
        for code, thread in tightening_notes(found):
            yield paragraph(self._note(code, {"thread": thread}), "caution")

    def _note(self, code: str, parameters: dict[str, str]) -> Inline:
        return [
            strong(self._tell.notice(code, parameters)),
            plain(f" {self._tell.advice(code)}"),
        ]
