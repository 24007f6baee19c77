"""How a rigid plate shares a load among its bolts, exactly: shear with twist, tension as a plane or about an edge.

Lengths in mm, areas in mm², forces in N, moments in N·mm; x forward, y right, a positive pull is tension. Each bolt
takes a part in proportion to its area. Elastic method of the textbooks (published: Shigley, Mechanical Engineering
Design, shear and torsion of bolt groups); with unequal areas, the stiffness goes with the area.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

Pair = tuple[Fraction, Fraction]


class PatternError(ValueError):
    """The bolts lie so that they cannot hold the moment at all, by the stated rule."""


@dataclass(frozen=True)
class Spot:
    """Place and area of a bolt."""

    x: Fraction
    y: Fraction
    area: Fraction


def centroid(spots: Sequence[Spot]) -> Pair:
    """Centroid of the areas."""
    total = _total(spots)
    return (
        sum((each.area * each.x for each in spots), Fraction(0)) / total,
        sum((each.area * each.y for each in spots), Fraction(0)) / total,
    )


def twist(spots: Sequence[Spot], force: Pair, at: Pair) -> Fraction:
    """Moment of a force in the plane about the centroid, from x towards y."""
    x, y = centroid(spots)
    return (at[0] - x) * force[1] - (at[1] - y) * force[0]


def shear(spots: Sequence[Spot], force: Pair, at: Pair) -> tuple[Pair, ...]:
    """What each bolt takes of a force in the plane: its part of the force, and of the twist by its distance.

    Raises:
        PatternError: a twist on bolts that all lie at one place.
    """
    x, y = centroid(spots)
    moment, total = twist(spots, force, at), _total(spots)
    polar = sum((each.area * ((each.x - x) ** 2 + (each.y - y) ** 2) for each in spots), Fraction(0))
    if moment and not polar:
        raise PatternError
    rate = moment / polar if moment else Fraction(0)
    return tuple(
        (
            each.area * (force[0] / total - rate * (each.y - y)),
            each.area * (force[1] / total + rate * (each.x - x)),
        )
        for each in spots
    )


def plane(spots: Sequence[Spot], pull: Fraction, moments: Pair) -> tuple[Fraction, ...]:
    """Tension of each bolt where the stress is a plane over the pattern; negative where the plate presses.

    Args:
        spots: the bolts.
        pull: sum of the tensions.
        moments: sums of tension times distance from the centroid, along x and along y.

    Raises:
        PatternError: all bolts lie on a line, and a moment acts about it.
    """
    x, y = centroid(spots)
    ways = [(each.x - x, each.y - y) for each in spots]
    xx, xy, yy = (
        sum((each.area * way[one] * way[two] for each, way in zip(spots, ways, strict=True)), Fraction(0))
        for one, two in ((0, 0), (0, 1), (1, 1))
    )
    slopes = _slopes(xx, xy, yy, moments)
    mean = pull / _total(spots)
    return tuple(
        each.area * (mean + slopes[0] * way[0] + slopes[1] * way[1])
        for each, way in zip(spots, ways, strict=True)
    )


def _slopes(xx: Fraction, xy: Fraction, yy: Fraction, moments: Pair) -> Pair:
    along, across = moments
    determinant = xx * yy - xy * xy
    if determinant:
        return (along * yy - across * xy) / determinant, (across * xx - along * xy) / determinant
    if not along and not across:
        return Fraction(0), Fraction(0)
    # on a line, the pattern holds a moment along the line alone; (xx, xy) or (xy, yy) points along it
    line = (xx, xy) if xx else (xy, yy)
    if not any(line) or along * line[1] != across * line[0]:
        raise PatternError
    second = xx + yy
    return along / second, across / second


def edge(spots: Sequence[Spot], moment: Fraction, distances: Sequence[Fraction]) -> tuple[Fraction, ...]:
    """Tension of each bolt where the plate turns about an edge: in proportion to area and distance from it.

    Args:
        spots: the bolts.
        moment: about the edge, not negative.
        distances: of the bolts from the edge, none negative.

    Raises:
        PatternError: a moment, and every bolt on the edge.
    """
    second = sum(
        (each.area * way * way for each, way in zip(spots, distances, strict=True)),
        Fraction(0),
    )
    if moment and not second:
        raise PatternError
    rate = moment / second if moment else Fraction(0)
    return tuple(rate * each.area * way for each, way in zip(spots, distances, strict=True))


def _total(spots: Sequence[Spot]) -> Fraction:
    return sum((each.area for each in spots), Fraction(0))
