"""Grid and punch list as the text template shows them: columns of equal width, points with what to do."""

from collections.abc import Sequence
from typing import Any

from evidence.phrases import DEFAULT_LANGUAGE, say
from evidence.worklist.grid import LEFT, Cell, Grid, Row, grids
from evidence.worklist.punch import By, Point, punch_list
from evidence.worklist.vehicle import WHOLE, Vehicle

STEPS_A_BLOCK = 10  # columns side by side, so that a line fits a terminal of eighty characters
CELL_WIDTH = 3  # characters; a column with a longer word is wider
KEYS = ("done", "open", "again", "not-done")


def lists_view(
    vehicles: Sequence[Vehicle],
    by: By = "trade",
    language: str = DEFAULT_LANGUAGE,
    *,
    unread: Sequence[str] = (),
) -> dict[str, Any]:
    """What the text template of many jobs shows.

    Args:
        vehicles: judged jobs, at least one.
        by: whom a sheet is for.
        language: of sentences.
        unread: folders of jobs that could not be read.
    """
    sheets = punch_list(vehicles, by, language)
    return {
        "head": head_line(vehicles, language),
        "unnamed": say("worklist-unnamed", {}, language) if by == "person" and _unnamed(vehicles) else "",
        "unread": say("worklist-unread", {"jobs": list(unread)}, language) if unread else "",
        "grids": [_grid_view(grid, language) for grid in grids(vehicles, language)],
        "sheets": [
            {"who": sheet.who, "points": [point_view(point, language) for point in sheet.points]}
            for sheet in sheets
        ],
        "nothing": "" if sheets else say("worklist-nothing", {}, language),
        "practice": say("worklist-practice", {}, language),
        "foot": say("worklist-foot", {}, language),
    }


def head_line(vehicles: Sequence[Vehicle], language: str = DEFAULT_LANGUAGE) -> str:
    """How many vehicles, judged on which days, with how many open points."""
    days = sorted({vehicle.check.as_of for vehicle in vehicles})
    still_open = sum(vehicle.check.open for vehicle in vehicles)
    shown = {
        "count": str(len(vehicles)),
        "as_of": days[0] if len(days) == 1 else f"{days[0]} \u2013 {days[-1]}",
        "open": str(still_open),
    }
    known_on = {vehicle.check.known_on for vehicle in vehicles} - {None}
    for day in sorted(day for day in known_on if day):  # one call asks for one day at most
        shown["as_of"] += f", {say('known-on', {'day': day}, language)}"
    return say("worklist-head-one" if len(vehicles) == 1 else "worklist-head", shown, language)


def cell_text(cell: Cell, language: str = DEFAULT_LANGUAGE) -> str:
    """A cell in a word or a number."""
    return say(f"worklist-cell-{cell.state}", {"count": str(cell.count)}, language)


def row_name(row: Row) -> str:
    """``AMB-0417 p1``."""
    return f"{row.job} {row.place}"


def key_lines(language: str = DEFAULT_LANGUAGE) -> list[tuple[str, str]]:
    """What each sign means: the sign and its meaning."""
    signs = {state: say(f"worklist-cell-{state}", {"count": ""}, language) for state in KEYS}
    signs["open"] = say("worklist-open-sign", {}, language)
    return [(signs[state], say(f"worklist-key-{state}", {}, language)) for state in KEYS]


def _grid_view(grid: Grid, language: str) -> dict[str, Any]:
    return {
        "title": say("worklist-grid", {"profile": grid.profile}, language),
        "blocks": [_block(grid, start, language) for start in range(0, len(grid.titles), STEPS_A_BLOCK)],
        "steps": [f"{number:>3}  {title}" for number, title in enumerate(grid.titles, start=1)],
        "keys": [f"{sign:>4}  {meaning}" for sign, meaning in key_lines(language)],
    }


def _block(grid: Grid, start: int, language: str) -> list[str]:
    """Lines of one run of steps; the last run also has the columns of what belongs to no step."""
    end = min(start + STEPS_A_BLOCK, len(grid.titles))
    heads = [str(number) for number in range(start + 1, end + 1)]
    columns = list(range(start, end))
    if end == len(grid.titles):
        heads += [say(f"worklist-column-{column}", {}, language) for column in LEFT]
        columns += [len(grid.titles) + place for place in range(len(LEFT))]
    lines = [(say("worklist-column-vehicle", {}, language), heads)]
    for row in grid.rows:
        if row.place == WHOLE and end < len(grid.titles):
            continue  # nothing of the whole vehicle stands below a step
        lines.append((row_name(row), [cell_text(row.cells[column], language) for column in columns]))
    first = max(len(name) for name, _ in lines)
    widths = [max(CELL_WIDTH, *(len(cells[place]) for _, cells in lines)) for place in range(len(heads))]
    return [_line(name, cells, first, widths) for name, cells in lines]


def _line(name: str, cells: Sequence[str], first: int, widths: Sequence[int]) -> str:
    shown = (f"{cell:>{width}}" for cell, width in zip(cells, widths, strict=True))
    return f"{name:<{first}} {' '.join(shown)}".rstrip()


def _unnamed(vehicles: Sequence[Vehicle]) -> bool:
    return any(person.id not in each.names for each in vehicles for person in each.judged.record.people)


def outcome_line(point: Point, language: str = DEFAULT_LANGUAGE) -> str:
    """Outcome of the finding, or what else keeps the point open; and by when it was promised."""
    word = point.outcome
    if word in ("contradiction", "to come"):
        word = say(f"worklist-outcome-{word.replace(' ', '-')}", {}, language)
    if point.due is None:
        return word
    code = "worklist-overdue" if point.overdue else "worklist-due"
    return f"{word}, {say(code, {'day': point.due.isoformat()}, language)}"


def point_view(point: Point, language: str = DEFAULT_LANGUAGE) -> dict[str, str]:
    """A point as screen and paper show it; what a redo takes back is a list of its own behind why."""
    several = bool(point.told.redone) and len(point.labels) > 1
    again = say("worklist-again-title", {"count": str(len(point.labels))}, language)
    return {
        "where": f"{point.job} {point.place}",
        "title": again if several else point.title,
        "outcome": outcome_line(point, language),
        "text": f"{point.text} {point.title}." if several else point.text,
    }
