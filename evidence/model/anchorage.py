"""The sheet of an anchorage worksheet: masses, accelerations and bolts of a floor fixing.

Places are seen from above: x forward and y to the right of the vehicle, in any one origin; heights from the face on
which the plate lies.
"""

from typing import Annotated, Literal

from pydantic import Field

from evidence.model._base import Id, Line, Model, text_of
from evidence.model._text import Acceleration, Flag, Length, Many, Mass, Number, Some, Torque

ANCHORAGE_FORMAT = "sillmark-anchorage/0"
MAX_BOLTS = 60  # a floor plate of this trade has four to sixteen
PARTS_NEEDED = ("stretcher", "system", "patient")
"""Whatever is left out would make the loads look smaller than they are."""

Thread = Annotated[str, *text_of(r"M(5|6|8|10|12|14|16)", "anchorage-thread-unknown")]
PropertyClass = Annotated[str, *text_of(r"(8\.8|10\.9|12\.9)", "anchorage-class-unknown")]
Direction = Literal["forward", "rearward", "left", "right", "upward"]
"""Where the masses push or pull the fixing."""
Pivot = Literal["edge", "centroid"]


class CarriedMass(Model):
    """One mass and its centre of gravity."""

    part: Literal["stretcher", "system", "patient", "equipment"]
    mass: Mass
    x: Length
    y: Length
    height: Length


class Level(Model):
    """An acceleration that the masses are to be held against, and the direction in which they then push."""

    direction: Direction
    level: Acceleration


class Plate(Model):
    """Where the edges of the base plate lie: x of the front and rear one, y of the left and right one."""

    front: Length
    rear: Length
    left: Length
    right: Length


class Bolt(Model):
    """A bolt or screw of the pattern."""

    id: Id
    x: Length
    y: Length
    thread: Thread
    property_class: PropertyClass
    countersunk: Flag


class Tightening(Model):
    """With what torque the bolts of one thread are tightened, and the nut factor K with where it comes from."""

    thread: Thread
    torque: Torque
    nut_factor_low: Number
    nut_factor_high: Number
    nut_factor_source: Line


class Anchorage(Model):
    """What the worksheet is computed from.

    Attributes:
        pivot: ``edge``: the plate turns about its edge on the side to which the load pushes; ``centroid``: about the
            centroid of the bolt areas.
        friction: spelled out, because it could be expected to help.
        plate: needed for the edge.
        tightening: by thread; optional.
    """

    format: Literal["sillmark-anchorage/0"]
    title: Line
    pivot: Pivot
    friction: Literal["not counted"]
    masses: Some[CarriedMass]
    accelerations: Some[Level]
    bolts: Annotated[tuple[Bolt, ...], Field(min_length=1, max_length=MAX_BOLTS)]
    plate: Plate | None = None
    tightening: Many[Tightening] = ()
