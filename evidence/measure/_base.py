"""What measurements share: how a photo is refused, named terms of an uncertainty, and the priors they rest on."""

from dataclasses import dataclass, field
from typing import NoReturn

from evidence.measure.tags import Grey

Parameters = dict[str, str]


class Unmeasurable(Exception):  # noqa: N818 - an outcome that the caller turns into words, not a fault
    """A photo that cannot be measured: why, as a code with parameters."""

    def __init__(self, code: str, parameters: Parameters) -> None:
        """Keep code and parameters."""
        super().__init__(code)
        self.code = code
        self.parameters = parameters


def refuse(code: str, **parameters: str) -> NoReturn:
    """Raise ``Unmeasurable``."""
    raise Unmeasurable(code, parameters)


@dataclass(frozen=True)
class Priors:
    """Standard uncertainties that a photo cannot show: assumptions until a workshop's own bench trial replaces them.

    Every one is printed with the measurement that used it. All are for a card that was cut with a knife along a rule,
    mounted on rigid stock, and pushed home by hand; common practice, no source.

    Attributes:
        print_scale: relative, of a print whose 150 mm rulers were read against a steel rule to 0.2 mm.
        cut: mm, of each of the two cut edges, read against its check line.
        gap_mean, gap: mm by which each of the two edges stays off what it should touch, and how uncertain that is.
        yaw: degrees by which the strip stands off square to the sill, and the slider off the hook.
        lift: mm by which the slider's printed plane lies off the strip's beyond what the profile says.
        height: mm, of the contact height where no profile states its uncertainty.
        focal: relative, of the focal length that the camera states; ``focal_unknown`` where it states none.
        corner: mm, of a place in the card's plane beyond what the residuals show: lens, light, paper.
        click: pixels, of a point that somebody set by hand, in either direction.
        base: mm by which a clicked base line lies off the card's plane.
    """

    print_scale: float = 0.0006
    cut: float = 0.065
    gap_mean: float = 0.10
    gap: float = 0.05
    yaw: float = 0.10
    lift: float = 0.14
    height: float = 0.25
    focal: float = 0.02
    focal_unknown: float = 0.15
    corner: float = 0.02
    click: float = 1.5
    base: float = 0.5


@dataclass(frozen=True)
class Term:
    """One contribution to an uncertainty.

    Attributes:
        name: of the input.
        standard: its standard uncertainty times the sensitivity, in the unit of the result, not negative.
        kind: ``A`` from the scatter of the picture itself, ``B`` from elsewhere.
    """

    name: str
    standard: float
    kind: str


@dataclass(frozen=True)
class Noticed:
    """Something to know about a photo that was measured all the same."""

    code: str
    parameters: Parameters = field(default_factory=dict)


@dataclass(frozen=True)
class Picture:
    """A photo as measuring needs it.

    Attributes:
        grey: (rows, columns) 8-bit grey, upright.
        focal_35mm: focal length as 35 mm equivalent, mm, where the file states it and was not cropped since.
        software: program that wrote the file, as it says.
        camera: whether the file names a camera or its focal length.
        cropped: whether it has another shape than the camera gave it.
    """

    grey: Grey
    focal_35mm: float | None
    software: str | None
    camera: bool
    cropped: bool
