"""Where what stands on the gauge card and its slider: millimetres, u into the vehicle, v along the sill.

Seen with u to the right v runs down. The strip's edge u = 0 meets the sill datum, the slider's edge u = 34 the hook.
"""

from typing import Final

STRIP: Final = (180.0, 60.0)  # mm along u and v
SLIDER: Final = 34.0  # mm, both ways
TAG: Final = 24.0  # mm, outer edge of the black square of every tag
COLUMNS, ROWS = 6, 2
PITCH_U, PITCH_V = 29.0, 28.0  # mm from tag to tag
FIRST_U, FIRST_V = 5.0, 4.0  # mm, upper left corner of tag 0
SLIDER_TAG: Final = 501
QUIET: Final = 5.0  # mm of white around the slider's tag
RULER: Final = 150.0  # mm of each check ruler
MODULES: Final = 8  # of a tag across its black square, the border counted

Corner = tuple[float, float]


def tag_ids() -> tuple[int, ...]:
    """Ids of the strip's tags."""
    return tuple(range(COLUMNS * ROWS))


def tag_corner(tag: int) -> Corner:
    """(u, v) in mm of the upper left corner of a strip tag's black square: id = 2 i + j at column i and row j.

    Raises:
        ValueError: no tag of the strip.
    """
    if tag not in tag_ids():
        raise ValueError(tag)
    column, row = divmod(tag, ROWS)
    return FIRST_U + PITCH_U * column, FIRST_V + PITCH_V * row


def square(corner: Corner) -> tuple[Corner, Corner, Corner, Corner]:
    """Corners of a tag's black square as detectors give them: upper left, upper right, lower right, lower left."""
    u, v = corner
    return (u, v), (u + TAG, v), (u + TAG, v + TAG), (u, v + TAG)
