"""The shape of an outcome: told apart without colour, at the size of a letter."""

from evidence.drawing._palette import OUTCOME_TINTS, PAPER
from evidence.drawing._svg import path, svg
from evidence.model.names import Outcome

SIDE = 12  # user units; printed about as high as a capital letter

_DISC = "M6 0.8A5.2 5.2 0 1 1 6 11.2A5.2 5.2 0 1 1 6 0.8Z"
_SQUARE = "M1.2 1.2H10.8V10.8H1.2Z"
_DIAMOND = "M6 0.6L11.4 6L6 11.4L0.6 6Z"
_LEFT_HALF = "M6 0.6L0.6 6L6 11.4Z"


def chip_svg(outcome: Outcome) -> str:
    """A square drawing: disc with tick, square with cross, open ring, half-filled diamond, or bar."""
    ink = OUTCOME_TINTS[outcome].ink
    bodies = {
        Outcome.MET: path(_DISC, ink) + path("M3.4 6.2L5.3 8.1L8.7 4.2", "none", PAPER, 1.5),
        Outcome.NOT_MET: path(_SQUARE, ink) + path("M3.9 3.9L8.1 8.1M8.1 3.9L3.9 8.1", "none", PAPER, 1.5),
        Outcome.NOT_SHOWN: path("M6 1.6A4.4 4.4 0 1 1 6 10.4A4.4 4.4 0 1 1 6 1.6Z", PAPER, ink, 1.6),
        Outcome.UNDECIDED: path(_DIAMOND, PAPER, ink, 1.1) + path(_LEFT_HALF, ink),
        Outcome.NOT_APPLICABLE: path("M2 6H10", "none", ink, 2),
    }
    return svg(SIDE, SIDE, bodies[outcome])
