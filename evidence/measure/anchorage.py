"""The anchorage worksheet: what the bolts of a floor fixing take when the masses on it are accelerated.

A plausibility check by arithmetic, not a design approval. Method id and rules, for whoever computes the same elsewhere:

- Force: mass times level, g = 9.80665 m/s^2, at the common centre of gravity; one direction at a time, no own weight.
- Shear: by area, and a twist about the centroid by area and distance; every bolt bears, friction is not counted.
- Tension: of a load in the plane by the stated pivot. ``edge``: about the plate's edge to which the load pushes, by
  area and distance. ``centroid``: as a plane over the pattern, which counts a pressed bolt as pulled negatively.
- Tension of a load upwards: as a plane, whichever pivot is stated.
- Together: sqrt(T^2 + 3 V^2), the energy of distortion on the stress area; of a pressed bolt its shear alone. Common
  practice, no source for threads.
- Limits: proof and tensile load by the table of ``_screws``, less where the head is countersunk.

Everything is exact until it is printed: forces to 1 N, moments to 1 N·m, places to 0.1 mm; a share in use is rounded
up to a thousandth, a reserve down to a hundredth, so that neither looks better than it is. No uncertainty is claimed.
"""

from dataclasses import dataclass
from fractions import Fraction
from math import isqrt

from evidence.errors import InputError
from evidence.jsondoc import Json
from evidence.measure import _bolt_group
from evidence.measure._bolt_group import Pair, PatternError, Spot
from evidence.measure._screws import COUNTERSUNK, Screw, screw
from evidence.model.anchorage import Anchorage, Bolt, Direction, Level, Plate
from evidence.quantity import Quantity, decimal_text

__all__ = [
    "COUNTERSUNK",
    "METHOD",
    "NOT_COVERED",
    "BoltLoad",
    "Case",
    "Gravity",
    "Worksheet",
    "mm",
    "n_m",
    "reserve_text",
    "root",
    "worksheet",
]

METHOD = "anchorage/1"
NOT_COVERED = (
    "anchorage-not-floor",
    "anchorage-not-joint",
    "anchorage-not-edges",
    "anchorage-not-plate",
    "anchorage-not-thread",
    "anchorage-not-dynamic",
    "anchorage-not-fatigue",
    "anchorage-not-directions",
    "anchorage-not-system",
)
"""Codes of what the worksheet says nothing about, in the order to be read."""
_SHEAR_WEIGHT = 3  # of the squared shear beside the squared tension, in the energy of distortion
_WAYS: dict[Direction, tuple[int, int, int]] = {
    "forward": (1, 0, 0),
    "rearward": (-1, 0, 0),
    "right": (0, 1, 0),
    "left": (0, -1, 0),
    "upward": (0, 0, 1),
}


@dataclass(frozen=True)
class Gravity:
    """All masses together: kg, and the place of their centre of gravity in mm."""

    mass_kg: Fraction
    x: Fraction
    y: Fraction
    height: Fraction


@dataclass(frozen=True)
class BoltLoad:
    """What one bolt takes in one direction, in N.

    Attributes:
        bolt: as the sheet has it.
        screw: what it carries.
        tension_n: negative where the plate presses on the floor there.
        shear_n: along x and y.
    """

    bolt: Bolt
    screw: Screw
    tension_n: Fraction
    shear_n: Pair

    @property
    def pull_n(self) -> Fraction:
        """Tension without pressure."""
        return max(self.tension_n, Fraction(0))

    @property
    def shear_squared(self) -> Fraction:
        """Square of the whole shear, in N²."""
        return self.shear_n[0] ** 2 + self.shear_n[1] ** 2

    @property
    def together_squared(self) -> Fraction:
        """Square of the pull that would stress it as much as pull and shear together, in N²."""
        return self.pull_n**2 + _SHEAR_WEIGHT * self.shear_squared

    def reserve(self, limit_n: Fraction) -> Fraction | None:
        """How often the load fits into a limit, rounded down to a hundredth; None where it carries nothing."""
        if not self.together_squared:
            return None
        squared = limit_n**2 * 100**2 / self.together_squared
        return Fraction(isqrt(int(squared)), 100)

    def in_use(self, limit_n: Fraction) -> Fraction:
        """Part of a limit that the load takes, rounded up to a thousandth."""
        return Fraction(_root_up(self.together_squared * 1000**2 / limit_n**2), 1000)

    def document(self) -> dict[str, Json]:
        """The load for JSON; every number is a decimal string."""
        bolt, proof, tensile = self.bolt, self.screw.proof_n, self.screw.tensile_n
        return {
            "id": bolt.id,
            "thread": bolt.thread,
            "property_class": bolt.property_class,
            "countersunk": "yes" if bolt.countersunk else "no",
            "tension_n": str(round(self.tension_n)),
            "shear_n": str(root(self.shear_squared)),
            "shear_x_n": str(round(self.shear_n[0])),
            "shear_y_n": str(round(self.shear_n[1])),
            "together_n": str(root(self.together_squared)),
            "proof_n": str(round(proof)),
            "tensile_n": str(round(tensile)),
            "in_use_of_proof": f"{float(self.in_use(proof)):.3f}",
            "in_use_of_tensile": f"{float(self.in_use(tensile)):.3f}",
            "reserve_to_proof": reserve_text(self.reserve(proof)),
            "reserve_to_tensile": reserve_text(self.reserve(tensile)),
        }


@dataclass(frozen=True)
class Case:
    """The masses pushed in one direction.

    Attributes:
        direction: where they push.
        level: the acceleration as typed.
        force_n: the whole inertial force.
        overturning_n_mm: moment that lifts the plate: about the edge or the centroid, by the pivot.
        twist_n_mm: moment in the plane about the centroid, from x towards y.
        bolts: in the order of the sheet.
    """

    direction: Direction
    level: Quantity
    force_n: Fraction
    overturning_n_mm: Fraction
    twist_n_mm: Fraction
    bolts: tuple[BoltLoad, ...]

    @property
    def worst(self) -> BoltLoad:
        """The bolt with the least reserve to its proof load, the first of several."""
        return max(self.bolts, key=lambda each: each.together_squared / each.screw.proof_n**2)

    def document(self) -> dict[str, Json]:
        """The case for JSON."""
        return {
            "direction": self.direction,
            "acceleration": {**self.level.json()},
            "force_n": str(round(self.force_n)),
            "overturning_n_m": n_m(self.overturning_n_mm),
            "twist_n_m": n_m(self.twist_n_mm),
            "bolts": [each.document() for each in self.bolts],
        }


@dataclass(frozen=True)
class Worksheet:
    """The whole computation.

    Attributes:
        sheet: what was given.
        gravity: all masses together.
        centroid: of the bolt areas, x and y in mm.
        cases: in the order of the sheet.
    """

    sheet: Anchorage
    gravity: Gravity
    centroid: Pair
    cases: tuple[Case, ...]

    @property
    def worst(self) -> Case:
        """The direction in which the least reserve is found, the first of several."""
        return max(self.cases, key=lambda each: _use(each.worst))

    @property
    def assumptions(self) -> tuple[str, ...]:
        """Codes of all that was assumed, in the order to be read."""
        sheet = self.sheet
        flat = any(case.direction != "upward" for case in self.cases)
        found = {
            "anchorage-as-static": True,
            "anchorage-as-weight": True,
            "anchorage-as-rigid": True,
            "anchorage-as-friction": True,
            "anchorage-as-pivot-edge": flat and sheet.pivot == "edge",
            "anchorage-as-pivot-centroid": flat and sheet.pivot == "centroid",
            "anchorage-as-upward": any(case.direction == "upward" for case in self.cases),
            "anchorage-as-together": True,
            "anchorage-as-table": True,
            "anchorage-as-countersunk": any(bolt.countersunk for bolt in sheet.bolts),
            "anchorage-as-preload": bool(sheet.tightening),
            "anchorage-as-uncertainty": True,
        }
        return tuple(code for code, holds in found.items() if holds)

    @property
    def warnings(self) -> tuple[str, ...]:
        """Codes of what a reader must not overlook; sorted."""
        found = {
            "anchorage-below-one": _use(self.worst.worst) > 1,
            "anchorage-hard-class": any(bolt.property_class == "12.9" for bolt in self.sheet.bolts),
        }
        return tuple(code for code, holds in found.items() if holds)

    def greatest_pull(self, bolt: str) -> Fraction:
        """Greatest tension of a bolt over all directions, in N."""
        return max(each.pull_n for case in self.cases for each in case.bolts if each.bolt.id == bolt)

    def document(self) -> dict[str, Json]:
        """The worksheet as ``anchorage --json`` prints it, without tightening; every number is a decimal string."""
        gravity, worst = self.gravity, self.worst
        return {
            "method": METHOD,
            "title": self.sheet.title,
            "pivot": self.sheet.pivot,
            "friction": self.sheet.friction,
            "assumptions": list(self.assumptions),
            "not_covered": list(NOT_COVERED),
            "warnings": list(self.warnings),
            "mass_kg": decimal_text(round(gravity.mass_kg, 3)),
            "centre_of_gravity_mm": {
                "x": mm(gravity.x),
                "y": mm(gravity.y),
                "height": mm(gravity.height),
            },
            "bolt_centroid_mm": {"x": mm(self.centroid[0]), "y": mm(self.centroid[1])},
            "cases": [case.document() for case in self.cases],
            "worst": {
                "direction": worst.direction,
                "bolt": worst.worst.bolt.id,
                "reserve_to_proof": reserve_text(worst.worst.reserve(worst.worst.screw.proof_n)),
                "reserve_to_tensile": reserve_text(worst.worst.reserve(worst.worst.screw.tensile_n)),
            },
        }


def _use(load: BoltLoad) -> Fraction:
    return load.together_squared / load.screw.proof_n**2


def worksheet(sheet: Anchorage, where: str) -> Worksheet:
    """Compute the loads of every bolt in every direction.

    Args:
        sheet: with sensible values; see ``record.anchorage_meaning``.
        where: place of the bolts, for messages.

    Raises:
        InputError: anchorage-pattern, for each direction in which the pattern cannot hold its moment.
    """
    gravity = _gravity(sheet)
    spots = tuple(_spot(bolt) for bolt in sheet.bolts)
    cases = []
    for level in sheet.accelerations:
        try:
            cases.append(_case(sheet, level, gravity, spots))
        except PatternError as error:
            raise InputError.one("anchorage-pattern", where, "/bolts", direction=level.direction) from error
    return Worksheet(sheet, gravity, _bolt_group.centroid(spots), tuple(cases))


def _gravity(sheet: Anchorage) -> Gravity:
    total = sum((each.mass.base for each in sheet.masses), Fraction(0))
    x, y, height = (
        sum((each.mass.base * _mm(getattr(each, way)) for each in sheet.masses), Fraction(0)) / total
        for way in ("x", "y", "height")
    )
    return Gravity(total, x, y, height)


def _spot(bolt: Bolt) -> Spot:
    return Spot(_mm(bolt.x), _mm(bolt.y), screw(bolt.thread, bolt.property_class).area_mm2)


def _case(sheet: Anchorage, level: Level, gravity: Gravity, spots: tuple[Spot, ...]) -> Case:
    force = gravity.mass_kg * level.level.base
    along, across, up = (force * way for way in _WAYS[level.direction])
    at = (gravity.x, gravity.y)
    shears = _bolt_group.shear(spots, (along, across), at)
    if up:
        x, y = _bolt_group.centroid(spots)
        lever = (at[0] - x, at[1] - y)
        tensions = _bolt_group.plane(spots, up, (up * lever[0], up * lever[1]))
        overturning = Fraction(0)
    else:
        overturning = force * gravity.height
        tensions = _tilted(sheet, level.direction, overturning, spots)
    loads = zip(sheet.bolts, tensions, shears, strict=True)
    return Case(
        level.direction,
        level.level,
        force,
        overturning,
        _bolt_group.twist(spots, (along, across), at),
        tuple(BoltLoad(bolt, _screw(bolt), tension, taken) for bolt, tension, taken in loads),
    )


def _tilted(
    sheet: Anchorage, direction: Direction, moment: Fraction, spots: tuple[Spot, ...]
) -> tuple[Fraction, ...]:
    """Tension under a load in the plane: the plate rises on the side from which the load pushes."""
    along, across, _ = _WAYS[direction]
    if sheet.pivot == "edge" and sheet.plate is not None:
        return _bolt_group.edge(spots, moment, [_from_edge(sheet.plate, direction, each) for each in spots])
    return _bolt_group.plane(spots, Fraction(0), (-moment * along, -moment * across))


def _from_edge(plate: Plate, direction: Direction, spot: Spot) -> Fraction:
    if direction == "forward":
        return _mm(plate.front) - spot.x
    if direction == "rearward":
        return spot.x - _mm(plate.rear)
    return _mm(plate.right) - spot.y if direction == "right" else spot.y - _mm(plate.left)


def _screw(bolt: Bolt) -> Screw:
    return screw(bolt.thread, bolt.property_class, countersunk=bolt.countersunk)


def _mm(length: Quantity) -> Fraction:
    return length.base * 1000


# ── rounding, once and last ─────────────────────────────────────────────────────────────────────────────────


def root(square: Fraction) -> int:
    """The nearest integer to a square root, exactly."""
    return (isqrt(int(4 * square)) + 1) // 2


def _root_up(square: Fraction) -> int:
    """The least integer that is not below a square root."""
    below = isqrt(int(square))
    return below if below * below == square else below + 1


def n_m(moment_n_mm: Fraction) -> str:
    """A moment in whole N·m."""
    return str(round(moment_n_mm / 1000))


def mm(length: Fraction) -> str:
    """A length in mm with one decimal at most."""
    return decimal_text(round(length, 1))


def reserve_text(reserve: Fraction | None) -> str | None:
    """A reserve with two decimals."""
    return None if reserve is None else f"{float(reserve):.2f}"
