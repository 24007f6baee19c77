"""A rendered picture as a phone would store it: JPEG bytes with camera claims."""

from __future__ import annotations

import io
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image
from PIL.TiffImagePlugin import IFDRational

if TYPE_CHECKING:
    from tests.scene.surface import Bytes

# Tag numbers from memory of CIPA DC-008 (Exif 2.32); PIL.ExifTags names the same ones.
MAKE, MODEL, ORIENTATION, DATE_TIME = 0x010F, 0x0110, 0x0112, 0x0132
EXIF_BLOCK, GPS_BLOCK = 0x8769, 0x8825
EXIF_VERSION, TAKEN, OFFSET_TAKEN, FOCAL_LENGTH, FOCAL_35MM = 0x9000, 0x9003, 0x9011, 0x920A, 0xA405
COLOUR_SPACE, PIXELS_WIDE, PIXELS_HIGH, BODY_SERIAL = 0xA001, 0xA002, 0xA003, 0xA431
UPRIGHT, TURNED = 1, 6  # 6: the stored picture has to be turned clockwise by a quarter to be seen upright
CROP_FACTOR_TENTHS = 48  # the invented phone's sensor, 4.8 times smaller than full frame
QUALITIES = (80, 77, 74, 70, 66, 62, 58, 54, 50, 46, 42, 38, 34)


@dataclass(frozen=True)
class Claims:
    """What the camera writes beside the picture.

    Attributes:
        taken: local time, "2026-03-04T14:44:08".
        offset: offset from UTC, "+01:00".
        focal_35mm: focal length as 35 mm equivalent, mm.
        turned: whether the picture is stored a quarter turn off, with Orientation 6.
        place: latitude and longitude in whole degrees and minutes, north and east, or None.
        body_serial: serial of the camera, or None.
    """

    taken: str
    offset: str
    focal_35mm: int = 26
    turned: bool = False
    place: tuple[tuple[int, int], tuple[int, int]] | None = None
    body_serial: str | None = None


def jpeg(picture: Bytes, claims: Claims | None, most_bytes: int) -> bytes:
    """Return the picture as JPEG of the best listed quality that fits.

    Args:
        picture: (height, width, 3) sRGB as the viewer shall see it.
        claims: what the camera says; None for a copy that lost it, as messengers send on.
        most_bytes: cap on the file's size.

    Raises:
        ValueError: even the lowest quality is larger than the cap.
    """
    turned = claims is not None and claims.turned
    image = Image.fromarray(np.ascontiguousarray(np.rot90(picture)) if turned else picture)
    exif = b"" if claims is None else exif_of(claims, image.size).tobytes()
    for quality in QUALITIES:
        target = io.BytesIO()
        image.save(target, "JPEG", quality=quality, subsampling=2, exif=exif)
        if target.tell() <= most_bytes:
            return target.getvalue()
    raise ValueError(
        f"picture of {image.size} needs {target.tell()} bytes at quality {QUALITIES[-1]}, cap is {most_bytes}"
    )


def exif_of(claims: Claims, stored_size: tuple[int, int]) -> Image.Exif:
    """Return the metadata block of some claims."""
    stamp = claims.taken.replace("-", ":").replace("T", " ")
    exif = Image.Exif()
    exif[MAKE], exif[MODEL] = "Demo", "Rendered scene"
    exif[ORIENTATION] = TURNED if claims.turned else UPRIGHT
    exif[DATE_TIME] = stamp
    block: dict[int, object] = {EXIF_VERSION: b"0232", TAKEN: stamp, OFFSET_TAKEN: claims.offset}
    block |= {
        FOCAL_LENGTH: IFDRational(round(claims.focal_35mm * 100 / CROP_FACTOR_TENTHS), 10),
        FOCAL_35MM: claims.focal_35mm,
    }
    block |= {COLOUR_SPACE: 1, PIXELS_WIDE: stored_size[0], PIXELS_HIGH: stored_size[1]}
    if claims.body_serial is not None:
        block[BODY_SERIAL] = claims.body_serial
    exif.get_ifd(EXIF_BLOCK).update(block)
    if claims.place is not None:
        exif.get_ifd(GPS_BLOCK).update(_gps(claims.place))
    return exif


def _gps(place: tuple[tuple[int, int], tuple[int, int]]) -> dict[int, object]:
    def angle(degrees_minutes: tuple[int, int]) -> tuple[IFDRational, IFDRational, IFDRational]:
        return (IFDRational(degrees_minutes[0], 1), IFDRational(degrees_minutes[1], 1), IFDRational(0, 1))

    return {0: b"\x02\x03\x00\x00", 1: "N", 2: angle(place[0]), 3: "E", 4: angle(place[1])}
