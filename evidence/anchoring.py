"""Anchorage sheets of a job and what they say: read together, told in one way on a terminal and on paper.

A sheet is there only where somebody put one: ``anchorage.yaml`` for the vehicle, ``anchorage-p1.yaml`` for a place. It is
a plausibility check: no requirement asks for it and no outcome rests on it.
"""

import re
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from textwrap import wrap

from evidence.drawing.bolts import Edge, Panel, Pattern, Spot, Words
from evidence.errors import InputError, Problem, SillmarkError
from evidence.measure import preload
from evidence.measure.anchorage import BoltLoad, Case, Worksheet, mm, n_m, reserve_text, root, worksheet
from evidence.measure.preload import HIGH_SHARE, Band, band, share_text
from evidence.model.anchorage import Bolt, Direction, Plate, Tightening
from evidence.quantity import decimal_text
from evidence.record.anchorage_meaning import check_anchorage
from evidence.record.reader import read_anchorage

Say = Callable[[str, Mapping[str, object]], str]
COLUMNS = ("bolt", "kind", "pull", "shear", "together", "proof", "reserve", "breaking")
VEHICLE = "vehicle"
_NAME = re.compile(r"anchorage(?:-(?P<place>.+))?\.yaml", re.ASCII)
_NOTE = 120  # characters of a line below the drawing
_EDGES: dict[Direction, Edge] = {"forward": "front", "rearward": "rear", "left": "left", "right": "right"}


# ── sheets of a job ─────────────────────────────────────────────────────────────────────────────────────────


@dataclass(frozen=True)
class Sheet:
    """One sheet of a job.

    Attributes:
        name: of its file, ``anchorage-p1.yaml``.
        subject: ``vehicle``, or the place that it is about.
        data: its bytes.
        found: what was computed.
    """

    name: str
    subject: str
    data: bytes
    found: Worksheet


def is_sheet(name: str) -> bool:
    """Whether a file of a job folder is a sheet by its name."""
    return _NAME.fullmatch(name) is not None


def read_sheets(
    files: Mapping[str, bytes], places: Collection[str], where: Callable[[str], str]
) -> tuple[Sheet, ...]:
    """Every sheet of a job, computed, by name.

    Args:
        files: bytes by file name; names that are no sheet's are left out.
        places: ids of the job's stretcher places.
        where: file name to what messages call it.

    Raises:
        InputError: with every problem of every sheet; anchorage-of-no-place.
    """
    problems: list[Problem] = []
    sheets = []
    for name in sorted(filter(is_sheet, files)):
        matched = _NAME.fullmatch(name)
        place = matched["place"] if matched else None
        if place is not None and place not in places:
            expected = ", ".join(["anchorage.yaml", *(f"anchorage-{each}.yaml" for each in sorted(places))])
            problems.append(
                Problem("anchorage-of-no-place", where(name), "", {"found": place, "expected": expected})
            )
            continue
        try:
            sheets.append(Sheet(name, place or VEHICLE, files[name], computed(files[name], where(name))))
        except SillmarkError as error:
            problems.extend(error.problems)
    if problems:
        raise InputError(problems)
    return tuple(sheets)


def computed(data: bytes, where: str) -> Worksheet:
    """One sheet, read and computed.

    Raises:
        InputError: with every problem of its text, shape and meaning, or anchorage-pattern.
    """
    entry = read_anchorage(data, where)
    problems = check_anchorage(entry)
    if problems:
        raise InputError(problems)
    return worksheet(entry.sheet, entry.source.where_key(("bolts",)))


# ── preload ─────────────────────────────────────────────────────────────────────────────────────────────────


def clamped(each: Tightening) -> Band:
    """Preload by a torque, least to most."""
    factors = (each.nut_factor_low.base, each.nut_factor_high.base)
    return band(each.torque.base, preload.diameter_mm(each.thread), factors)


def weakest(found: Worksheet, thread: str) -> BoltLoad:
    """The bolt of a thread whose proof load is least."""
    return min(
        (load for load in found.cases[0].bolts if load.bolt.thread == thread),
        key=lambda load: load.screw.proof_n,
    )


def greatest_pull(found: Worksheet, thread: str) -> int:
    """Greatest pull of any bolt of a thread in any direction, in N."""
    return round(max(found.greatest_pull(bolt.id) for bolt in found.sheet.bolts if bolt.thread == thread))


def tightening_notes(found: Worksheet) -> Iterator[tuple[str, str]]:
    """Code and thread of what a reader should know of the preload."""
    for each in found.sheet.tightening:
        clamp = clamped(each)
        if clamp.shares(weakest(found, each.thread).screw.proof_n)[1] > HIGH_SHARE:
            yield "anchorage-preload-high", each.thread
        if any(
            clamp.opens(found.greatest_pull(bolt.id))
            for bolt in found.sheet.bolts
            if bolt.thread == each.thread
        ):
            yield "anchorage-joint-opens", each.thread


# ── in words ────────────────────────────────────────────────────────────────────────────────────────────────


class Told:
    """A worksheet in the words of one catalogue."""

    def __init__(self, found: Worksheet, say: Say) -> None:
        """Take a worksheet and what turns codes into sentences."""
        self._found = found
        self._say = say

    def masses(self) -> Iterator[str]:
        """Each mass, then all together, the centroid of the bolts and the axes."""
        found, say = self._found, self._say
        for each in found.sheet.masses:
            places = {"x": str(each.x), "y": str(each.y), "height": str(each.height)}
            yield say("anchorage-mass", {"part": each.part, "mass": str(each.mass), **places})
        gravity = found.gravity
        whole = {"mass": decimal_text(round(gravity.mass_kg, 3)), "height": mm(gravity.height)}
        yield say("anchorage-gravity", {**whole, "x": mm(gravity.x), "y": mm(gravity.y)})
        yield say("anchorage-centroid", {"x": mm(found.centroid[0]), "y": mm(found.centroid[1])})
        yield say("anchorage-axes", {})

    def title(self, case: Case) -> str:
        """Direction, level and what they come to."""
        told = {
            "direction": self._say(f"anchorage-direction-{case.direction}", {}),
            "level": str(case.level),
            "force": str(round(case.force_n)),
            "overturning": n_m(case.overturning_n_mm),
            "twist": n_m(case.twist_n_mm),
        }
        return self._say("anchorage-case", told)

    def headings(self) -> tuple[str, ...]:
        """Heads of the table of loads."""
        return tuple(self._say(f"anchorage-column-{column}", {}) for column in COLUMNS)

    def cells(self, load: BoltLoad) -> tuple[str, ...]:
        """One bolt's row under these heads."""
        screw = load.screw
        return (
            load.bolt.id,
            self._kind(load.bolt),
            str(round(load.tension_n)),
            str(root(load.shear_squared)),
            str(root(load.together_squared)),
            str(round(screw.proof_n)),
            self.reserve(load),
            reserve_text(load.reserve(screw.tensile_n)) or "",
        )

    def _kind(self, bolt: Bolt) -> str:
        name = f"{bolt.thread} {bolt.property_class}"
        return self._say("anchorage-countersunk", {"name": name}) if bolt.countersunk else name

    def reserve(self, load: BoltLoad) -> str:
        """How often the load fits into the proof load."""
        return reserve_text(load.reserve(load.screw.proof_n)) or self._say("anchorage-no-load", {})

    def worst(self) -> str:
        """The least reserve, with bolt and direction."""
        case = self._found.worst
        load = case.worst
        breaking = reserve_text(load.reserve(load.screw.tensile_n))
        if breaking is None:
            return self._say("anchorage-worst-none", {})
        told = {"reserve": self.reserve(load), "breaking": breaking, "name": load.bolt.id}
        return self._say("anchorage-worst", {**told, "direction": case.direction})

    def tightened(self, each: Tightening) -> str:
        """What a torque clamps with."""
        clamp = clamped(each)
        shares = clamp.shares(weakest(self._found, each.thread).screw.proof_n)
        return self._say(
            "anchorage-tightened",
            {
                "name": each.thread,
                "torque": str(each.torque),
                "low": each.nut_factor_low.number,
                "high": each.nut_factor_high.number,
                "source": each.nut_factor_source,
                "least": str(round(clamp.low_n)),
                "most": str(round(clamp.high_n)),
                "least_share": share_text(shares[0]),
                "most_share": share_text(shares[1]),
                "pull": str(greatest_pull(self._found, each.thread)),
            },
        )

    # ── the drawing ─────────────────────────────────────────────────────────────────────────────────────────

    def pattern(self, cases: Iterable[Case] | None = None) -> Pattern:
        """What the drawing shows: one panel for each direction, or for those named."""
        found, say = self._found, self._say
        drawn = tuple(found.cases if cases is None else cases)
        columns = tuple(say(f"anchorage-column-{each}", {}) for each in ("bolt", "pull", "shear", "reserve"))
        key = f"{say('anchorage-plot-view', {})}; {say('anchorage-plot-key', {})}"
        plain = say("anchorage-plain", {})
        title = say("anchorage-plot-title", {"title": found.sheet.title})
        return Pattern(
            tuple(map(self._panel, drawn)),
            Words(
                (columns[0], columns[1], columns[2], columns[3]),
                (*wrap(key, _NOTE), plain),
                title,
                " ".join([plain, *map(self._alt, drawn)]),
            ),
            (float(found.gravity.x), float(found.gravity.y)),
            (float(found.centroid[0]), float(found.centroid[1])),
            _corners(found.sheet.plate),
        )

    def _panel(self, case: Case) -> Panel:
        edge = _EDGES.get(case.direction) if self._found.sheet.pivot == "edge" else None
        return Panel(self.title(case), tuple(map(self._spot, case.bolts)), edge)

    def _spot(self, load: BoltLoad) -> Spot:
        at = (float(load.bolt.x.base * 1000), float(load.bolt.y.base * 1000))
        shear = (float(load.shear_n[0]), float(load.shear_n[1]))
        row = (str(round(load.tension_n)), str(root(load.shear_squared)), self.reserve(load))
        return Spot(load.bolt.id, at, float(load.tension_n), shear, row)

    def _alt(self, case: Case) -> str:
        bolts = [
            self._say(
                "anchorage-plot-bolt",
                {"name": spot.name, "pull": spot.row[0], "shear": spot.row[1], "reserve": spot.row[2]},
            )
            for spot in map(self._spot, case.bolts)
        ]
        return f"{self.title(case)}: {'; '.join(bolts)}."


def _corners(plate: Plate | None) -> tuple[tuple[float, float], tuple[float, float]] | None:
    """Rear left and front right, in mm."""
    if plate is None:
        return None
    rear, left, front, right = (
        float(each.base * 1000) for each in (plate.rear, plate.left, plate.front, plate.right)
    )
    return (rear, left), (front, right)
