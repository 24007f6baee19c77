"""A photo's bytes as what measuring needs: grey, upright, and what the file says of lens and origin.

Where edges are measured only brightness is decoded, at full size: that is a third of the work, and edges lie in it. A
colour profile moves brightness by less than the half of an edge's step that the fit looks for, so it is applied only
where colours are read.
"""

import cv2
import numpy as np
from PIL import Image

from evidence.exhibits import photo
from evidence.exhibits._base import claimed
from evidence.exhibits._colours import coloured
from evidence.exhibits._upright import opaque, upright
from evidence.measure._base import Picture, refuse
from evidence.measure.colour import Pixels
from evidence.measure.tags import Grey

LEAST_SIDE = 300  # pixels of the shorter side; the card's twelve tags cannot be read in less
PIXELS_WIDE, PIXELS_HIGH = 0xA002, 0xA003  # as the camera wrote them; from memory of CIPA DC-008
MOST_STRETCH = 0.01  # relative change of the sides' ratio that rounding of a smaller copy explains
_TURNS = {
    3: cv2.ROTATE_180,
    6: cv2.ROTATE_90_CLOCKWISE,
    8: cv2.ROTATE_90_COUNTERCLOCKWISE,
}
_MIRRORED = {2: 1, 5: 8, 7: 6}  # what remains to turn after the picture was mirrored left to right
_UPSIDE_DOWN = 4


def read(data: bytes, where: str) -> Picture:
    """Decode a photo for measuring.

    Args:
        data: JPEG, PNG or HEIC file.
        where: name for messages.

    Raises:
        InputError: as ``photo.opened`` and ``photo.decoding``.
        MissingToolError: heic-extra-missing.
        Unmeasurable: photo-too-small.
    """
    with photo.opened(data, where) as image:
        if min(image.size) < LEAST_SIDE:
            refuse("photo-too-small", found=str(min(image.size)), expected=str(LEAST_SIDE))
        photo.draft(image, "L", image.size)
        with photo.decoding(where):
            image.load()
            tags = photo.tags_of(image)
            grey = _grey(image)
        cropped = _cropped(tags, image.size)
        return Picture(
            grey=_upright(grey, photo.orientation(tags)),
            focal_35mm=None if cropped else _focal(tags),
            software=claimed(tags.main.get(photo.SOFTWARE)),
            camera=bool(tags.main.get(photo.MODEL) or tags.camera.get(photo.FOCAL_LENGTH)),
            cropped=cropped,
        )


def read_colours(data: bytes, where: str) -> Pixels:
    """Decode a photo in colour: (rows, columns, 3) 8-bit sRGB, upright, its colour profile applied.

    Args:
        data: JPEG, PNG or HEIC file.
        where: name for messages.

    Raises:
        InputError: as ``photo.opened`` and ``photo.decoding``.
        MissingToolError: heic-extra-missing.
    """
    with photo.opened(data, where) as image, photo.decoding(where):
        image.load()
        picture = coloured(opaque(image), image.info.get("icc_profile"))
        return np.asarray(upright(picture, photo.orientation(photo.tags_of(image))), dtype=np.uint8)


def _focal(tags: photo.Tags) -> float | None:
    stated = tags.camera.get(photo.FOCAL_35MM)
    return float(stated) if isinstance(stated, int) and 0 < stated < photo.MAX_FOCAL_MM else None


def _grey(image: Image.Image) -> Grey:
    plain = image if image.mode == "L" else opaque(image)
    return np.asarray(plain if plain.mode == "L" else plain.convert("L"), dtype=np.uint8)


def _upright(grey: Grey, orientation: int) -> Grey:
    """The picture as it was held; ``orientation`` is EXIF's, 1 to 8.

    The vision library turns three times as fast as the picture library.
    """
    if orientation == _UPSIDE_DOWN:
        return np.asarray(cv2.flip(grey, 0), dtype=np.uint8)
    if orientation in _MIRRORED:
        return _upright(np.asarray(cv2.flip(grey, 1), dtype=np.uint8), _MIRRORED[orientation])
    turn = _TURNS.get(orientation)
    return grey if turn is None else np.asarray(cv2.rotate(grey, turn), dtype=np.uint8)


def _cropped(tags: photo.Tags, size: tuple[int, int]) -> bool:
    """Whether the camera wrote a picture of another shape: the lens then looks elsewhere than at its middle."""
    wide, high = tags.camera.get(PIXELS_WIDE), tags.camera.get(PIXELS_HIGH)
    if not isinstance(wide, int) or not isinstance(high, int) or wide <= 0 or high <= 0:
        return False
    # some programs turn the picture and leave these two as they were
    shapes = (wide / high, high / wide)
    return min(abs(size[0] / size[1] / shape - 1) for shape in shapes) > MOST_STRETCH
