"""Whether what a photo shows of card and slider will do, before anything is measured in it."""

from collections.abc import Mapping, Sequence

import numpy as np

from evidence.gauge import geometry
from evidence.measure import plane, tags
from evidence.measure._base import refuse
from evidence.measure.edges import Fitted
from evidence.measure.tags import Points

WARN_BLUR, MOST_BLUR = 1.5, 2.0  # pixels
WARN_SPREAD, MOST_SPREAD = (
    0.2,
    0.3,
)  # mm on the card; where there are pixels to spare, as many more may be blurred
MOST_AWAY = 120.0  # mm beside the card; farther off, what bends lens and floor is not known from it


def sharpness(corners: Points) -> float:
    """Pixels per mm along the shortest side of a tag."""
    sides = np.linalg.norm(np.roll(corners, -1, axis=0) - corners, axis=1)
    return float(sides.min()) / geometry.TAG


def median_sharpness(found: Mapping[int, Points]) -> float:
    """Pixels per mm of the tags that were found; none where there are none."""
    return float(np.median([sharpness(corners) for corners in found.values()])) if found else 0.0


def blur_limits(per_mm: float) -> tuple[float, float]:
    """Blur in pixels that is told, and that is refused, by pixels per mm: a larger copy of a photo is no worse."""
    return max(WARN_BLUR, WARN_SPREAD * per_mm), max(MOST_BLUR, MOST_SPREAD * per_mm)


def require_sharp(fitted: Fitted, *, complete: bool) -> None:
    """Refuse blur before anything else, for it hides tags too; where what is needed is missing, less of it.

    Args:
        fitted: tags as fitted.
        complete: whether all that is needed was seen.

    Raises:
        Unmeasurable: photo-blurred.
    """
    warn, most = blur_limits(median_sharpness(fitted.tags))
    most = most if complete else warn
    if fitted.blur > most:
        refuse("photo-blurred", found=f"{fitted.blur:.1f}", expected=f"{most:.1f}")


def require_one_card(shown: Mapping[int, Sequence[Points]]) -> None:
    """Refuse a second card by its name, where too few tags are left of the first.

    Args:
        shown: tags as ``tags.every`` has them.

    Raises:
        Unmeasurable: card-twice.
    """
    seen = [len(shown.get(tag, ())) for tag in geometry.tag_ids()]
    if seen.count(1) < plane.FEWEST_TAGS <= sum(count > 0 for count in seen):
        refuse("card-twice", found=str(sum(count > 1 for count in seen)))


def require_contrast(shown: Mapping[int, Sequence[Points]], fitted: Fitted) -> None:
    """Refuse a card whose tags can be read, but whose edges are too faint or cut off, by its name.

    Args:
        shown: tags as ``tags.every`` has them.
        fitted: those whose edges could be fitted.

    Raises:
        Unmeasurable: card-faint.
    """
    read, left = (
        [tag for tag in geometry.tag_ids() if tag in found] for found in (tags.once(shown), fitted.tags)
    )
    if len(left) < plane.FEWEST_TAGS <= len(read):
        refuse("card-faint", found=str(len(left)), expected=str(plane.FEWEST_TAGS))


def require_slider(shown: Mapping[int, Sequence[Points]], fitted: Fitted) -> None:
    """Refuse a slider that is not there, there twice, or without clear edges.

    Args:
        shown: tags as ``tags.every`` has them.
        fitted: those whose edges could be fitted.

    Raises:
        Unmeasurable: slider-not-seen, slider-twice, slider-faint.
    """
    if geometry.SLIDER_TAG in fitted.tags:
        return
    seen = len(shown.get(geometry.SLIDER_TAG, ()))
    if seen > 1:
        refuse("slider-twice")
    if seen == 1:
        refuse("slider-faint")
    refuse("slider-not-seen")


def away(laid: Points) -> float:
    """How far the farthest of some places, mm on the card, lies beside it."""
    return float(np.maximum(np.maximum(-laid, laid - np.array(geometry.STRIP)), 0.0).max())
