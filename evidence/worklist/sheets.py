"""Grid and punch list as paper: the data that the sources in ``templates/worklist`` read."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any, Literal

from evidence.drawing._palette import ACCENT, BAND, CAUTION, INK, MUTED, RULE
from evidence.model.names import Region
from evidence.phrases import DEFAULT_LANGUAGE, say
from evidence.worklist.grid import LEFT, Cell, Grid, grids
from evidence.worklist.punch import By, Sheet, punch_list
from evidence.worklist.told import cell_text, head_line, key_lines, point_view, row_name
from evidence.worklist.vehicle import Vehicle

SOURCES = "worklist"
"""Folder below ``templates/``."""
Paper = Literal["a4", "us-letter"]
STEPS_A_GRID = 20  # columns on one wide page, so that a cell stays wide enough for its word
_PALETTE = {
    "ink": INK,
    "muted": MUTED,
    "accent": ACCENT,
    "rule": RULE,
    "band": BAND,
    "caution": CAUTION.ground,
}


def sheets_data(
    vehicles: Sequence[Vehicle], by: By, made: datetime, language: str = DEFAULT_LANGUAGE
) -> dict[str, Any]:
    """What is printed: a grid for each manual, a sheet for each trade or person.

    Args:
        vehicles: judged jobs, at least one.
        by: whom a sheet is for.
        made: time of printing, with offset.
        language: of words and sentences.
    """
    return {
        "title": say("worklist-sheet-title", {}, language),
        "language": language,
        "paper": paper_of(vehicles),
        "palette": _PALETTE,
        "head": head_line(vehicles, language),
        "made": say("worklist-made", {"at": made.strftime("%Y-%m-%d %H:%M")}, language),
        "foot": say("worklist-foot", {}, language),
        "vehicle": say("worklist-column-vehicle", {}, language),
        "tick": say("worklist-tick", {}, language),
        "point": say("worklist-point", {}, language),
        "done": say("worklist-done-by", {}, language),
        "nothing": say("worklist-nothing", {}, language),
        "signs": [[_sign(sign), meaning] for sign, meaning in key_lines(language)],
        "grids": [part for grid in grids(vehicles, language) for part in _parts(grid, language)],
        "sheets": [_sheet(sheet, language) for sheet in punch_list(vehicles, by, language)],
    }


def paper_of(vehicles: Sequence[Vehicle]) -> Paper:
    """Letter where every vehicle's bases are North American, else A4."""
    regions = {pack.region for vehicle in vehicles for pack in vehicle.judged.packs}
    american = Region.NORTH_AMERICA in regions and Region.EUROPE not in regions
    return "us-letter" if american else "a4"


def _sign(text: str) -> str:
    return {"ok": "\u2713", "-": "\u2013"}.get(text, text)


def _parts(grid: Grid, language: str) -> list[dict[str, Any]]:
    """A grid as tables that fit a page's width; the last one has the columns that belong to no step."""
    starts = range(0, len(grid.titles), STEPS_A_GRID)
    return [_part(grid, start, language) for start in starts]


def _part(grid: Grid, start: int, language: str) -> dict[str, Any]:
    end = min(start + STEPS_A_GRID, len(grid.titles))
    columns = list(range(start, end))
    heads = [str(column + 1) for column in columns]
    if end == len(grid.titles):
        columns += range(len(grid.titles), len(grid.titles) + len(LEFT))
        heads += [say(f"worklist-column-{column}", {}, language) for column in LEFT]
    return {
        "title": say("worklist-grid", {"profile": grid.profile}, language),
        "heads": heads,
        "rows": [
            {
                "name": row_name(row),
                "identity": row.identity,
                "cells": [_cell(row.cells[column], language) for column in columns],
            }
            for row in grid.rows
        ],
        "steps": [[str(number + 1), grid.titles[number]] for number in range(start, end)],
    }


def _cell(cell: Cell, language: str) -> dict[str, str]:
    return {"state": cell.state, "text": _sign(cell_text(cell, language))}


def _sheet(sheet: Sheet, language: str) -> dict[str, Any]:
    count = len(sheet.points)
    code = "worklist-count-one" if count == 1 else "worklist-count"
    return {
        "who": sheet.who,
        "count": say(code, {"count": str(count)}, language),
        "points": [point_view(point, language) for point in sheet.points],
    }
