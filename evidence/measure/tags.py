"""Find the tags of card and slider in a grey picture."""

from collections.abc import Mapping, Sequence

import cv2
import numpy as np
from numpy.typing import NDArray

from evidence.gauge import geometry

Grey = NDArray[np.uint8]
Points = NDArray[np.float64]
Tags = Mapping[int, Points]
"""Tag id to its four corners, (4, 2) pixels x and y, the centre of the first pixel at (0, 0)."""

FIRST_SIDE = 1100  # pixels of the long side at the first look
MOST_TAGS = len(geometry.tag_ids()) + 1


def find(grey: Grey) -> dict[int, Points]:
    """Corners of every tag of card and slider that the picture shows once, to about a pixel of the picture looked at.

    The same tag twice is a second card or a mirror in the picture: neither can be trusted to be the right one.

    Args:
        grey: (rows, columns) 8-bit grey, upright.

    Returns:
        What was found at the size that showed most; empty where nothing is.
    """
    return once(every(grey))


def once(found: Mapping[int, Sequence[Points]]) -> dict[int, Points]:
    """Those tags that were seen once."""
    return {tag: quads[0] for tag, quads in found.items() if len(quads) == 1}


def every(grey: Grey) -> dict[int, list[Points]]:
    """As ``find``, with what is seen more than once.

    A small copy is looked at first, because that takes a tenth of the time; where it does not show all, one twice as
    large, then the whole.

    Args:
        grey: (rows, columns) 8-bit grey, upright.

    Returns:
        What was found at the size that showed most; empty where nothing is.
    """
    longer = max(grey.shape)
    best: dict[int, list[Points]] = {}
    scale = 1
    while longer / (scale * 2) >= FIRST_SIDE:
        scale *= 2
    while scale >= 1 and len(once(best)) < MOST_TAGS:
        found = _at(grey, scale)
        best = max(best, found, key=lambda each: (len(once(each)), len(each)))
        scale //= 2
    return best


def _at(grey: Grey, scale: int) -> dict[int, list[Points]]:
    """Tags at one over ``scale`` of the size, in pixels of the whole picture."""
    rows, columns = grey.shape
    small = (
        grey
        if scale == 1
        else cv2.resize(grey, (columns // scale, rows // scale), interpolation=cv2.INTER_AREA)
    )
    corners, ids, _ = _detector().detectMarkers(small)
    if ids is None:
        return {}
    ratio = np.array([columns / small.shape[1], rows / small.shape[0]])
    known = {*geometry.tag_ids(), geometry.SLIDER_TAG}
    found: dict[int, list[Points]] = {}
    for tag, quad in zip(map(int, ids.ravel()), corners, strict=True):
        if tag in known:
            found.setdefault(tag, []).append((quad.reshape(4, 2).astype(np.float64) + 0.5) * ratio - 0.5)
    return found


def _detector() -> cv2.aruco.ArucoDetector:
    settings = cv2.aruco.DetectorParameters()
    settings.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_NONE  # edges are fitted afterwards, and better
    settings.adaptiveThreshWinSizeMin, settings.adaptiveThreshWinSizeMax = 7, 27
    settings.adaptiveThreshWinSizeStep = 10
    # with fewer readings, tags whose modules are a whole number of pixels wide are lost now and then
    settings.perspectiveRemovePixelPerCell = 8
    return cv2.aruco.ArucoDetector(cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_APRILTAG_36h11), settings)
