"""Pictures as they are printed and handed on: upright, RGB, scaled, masked, and without any metadata.

Bytes in, JPEG bytes out; the same input gives the same bytes with the same picture library.
"""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from io import BytesIO
from math import ceil, floor

from PIL import Image, ImageCms

from evidence.exhibits import photo
from evidence.exhibits._answer import Answer, refuse

KEY_SIDE, OTHER_SIDE = 1600, 1000  # pixels of the long side as printed
QUALITY = 80  # JPEG quality of printed pictures
REDACTED_QUALITY = 90  # JPEG quality of full pictures, which stand in for the original
MAX_QUALITY = 95  # above it the file grows and the picture does not
MAX_PROFILE = 4 * 1024 * 1024  # bytes of an embedded colour profile
LANCZOS_REACH = 3  # pixels of the result that one source pixel can touch, to each side
BLACK = (0, 0, 0)
PAPER = (255, 255, 255)  # what shows through a transparent picture

_TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
"""EXIF orientation to the turn that puts the picture upright (CIPA DC-008, tag Orientation)."""


@dataclass(frozen=True)
class Mask:
    """A rectangle to black out, in whole pixels of the upright full picture; right and bottom are exclusive."""

    left: int
    top: int
    right: int
    bottom: int


def scaled(
    data: bytes, long_side: int, quality: int = QUALITY, *, masks: Sequence[Mask] = (), where: str = "picture"
) -> bytes:
    """JPEG of a photo whose longer side is at most ``long_side`` pixels.

    Args:
        data: JPEG or PNG file.
        long_side: longer side of the result in pixels; a smaller photo is not enlarged.
        quality: JPEG quality 1 to 95.
        masks: rectangles to black out, in pixels of the upright full picture.
        where: name for messages.

    Returns:
        Baseline JPEG, RGB, upright, without EXIF, profile, comment or XMP.

    Raises:
        InputError: the photo cannot be decoded (codes of ``photo.opened`` and ``photo.decoding``), or
            picture-mask-outside.
        ValueError: ``long_side`` or ``quality`` out of range.
    """
    if long_side < 1 or not 1 <= quality <= MAX_QUALITY:
        raise ValueError(f"long side {long_side}, quality {quality}")
    with _upright(data, long_side, masks, where) as picture:
        return _jpeg(picture, quality)


def key_answer(data: bytes, where: str) -> Answer:
    """What a key photo says of itself, and its picture as printed, decoded once; raises as ``scaled``."""
    return _printed(data, where, KEY_SIDE)


def other_answer(data: bytes, where: str) -> Answer:
    """The same for any other photo."""
    return _printed(data, where, OTHER_SIDE)


def _printed(data: bytes, where: str, long_side: int) -> Answer:
    picture = scaled(data, long_side, where=where)
    described = photo.answer(data, where, decode=False)
    return Answer(described.value, (picture,))


def redacted(
    data: bytes, masks: Sequence[Mask] = (), *, quality: int = REDACTED_QUALITY, where: str = "picture"
) -> bytes:
    """JPEG of a photo at full size without metadata, rectangles blacked.

    Args:
        data: JPEG or PNG file.
        masks: rectangles to black out, in pixels of the upright full picture.
        quality: JPEG quality 1 to 95.
        where: name for messages.

    Returns:
        Baseline JPEG, RGB, upright, without EXIF, profile, comment or XMP.

    Raises:
        InputError: as ``scaled``.
        ValueError: ``quality`` out of range.
    """
    return scaled(data, photo.MAX_PIXELS, quality, masks=masks, where=where)


@contextmanager
def _upright(data: bytes, long_side: int, masks: Sequence[Mask], where: str) -> Iterator[Image.Image]:
    with photo.opened(data, where) as image:
        full = image.size
        target = _target(full, long_side)
        if target != full:
            # the decoder halves as often as the target allows; the box must have the photo's own shape
            image.draft("RGB", target)
        with photo.decoding(where):
            image.load()
            turn = photo.orientation(photo.tags_of(image))
            small = _plain(image, target)
            rgb = _rgb(small, image.info.get("icc_profile"))
        picture = rgb.transpose(_TURNS[turn]) if turn in _TURNS else rgb
        upright = full if turn <= 4 else full[::-1]  # noqa: PLR2004 - 5 to 8 exchange the sides
        _blacken(picture, masks, upright, where)
        yield picture


def _target(size: tuple[int, int], long_side: int) -> tuple[int, int]:
    longer = max(size)
    if longer <= long_side:
        return size
    width, height = (max(1, (side * long_side + longer // 2) // longer) for side in size)
    return width, height


def _plain(image: Image.Image, target: tuple[int, int]) -> Image.Image:
    """Eight bits a channel, no palette, no transparency, at the target size."""
    if image.mode.startswith("I;16") or image.mode == "I":
        image = image.convert("I").point(lambda value: value * (1 / 256) + 0).convert("L")
    if image.mode in ("1", "P", "PA", "LA", "La", "RGBa") or "transparency" in image.info:
        image = image.convert("RGBA")
    if image.mode == "RGBA":
        paper = Image.new("RGB", image.size, PAPER)
        paper.paste(image, mask=image.getchannel("A"))
        image = paper
    return image if image.size == target else image.resize(target, Image.Resampling.LANCZOS)


def _rgb(image: Image.Image, profile: object) -> Image.Image:
    if isinstance(profile, bytes) and 0 < len(profile) <= MAX_PROFILE:
        managed = _by_profile(image, profile)
        if managed is not None:
            return managed
    return image if image.mode == "RGB" else image.convert("RGB")


def _by_profile(image: Image.Image, profile: bytes) -> Image.Image | None:
    try:
        source = ImageCms.ImageCmsProfile(BytesIO(profile))
        if ImageCms.getProfileDescription(source).startswith("sRGB"):
            return None  # already there; most phones say so
        return ImageCms.profileToProfile(image, source, ImageCms.createProfile("sRGB"), outputMode="RGB")
    except (ImageCms.PyCMSError, OSError, TypeError, ValueError):
        return None  # a profile that does not fit its picture says nothing about colours


def _blacken(picture: Image.Image, masks: Sequence[Mask], full: tuple[int, int], where: str) -> None:
    width, height = full
    for mask in masks:
        inside = 0 <= mask.left < mask.right <= width and 0 <= mask.top < mask.bottom <= height
        if not inside:
            found = f"{mask.left},{mask.top},{mask.right},{mask.bottom}"
            refuse("picture-mask-outside", where, found=found, width=str(width), height=str(height))
        across, down = picture.width / width, picture.height / height
        # outward, and as far as scaling mixes neighbours into each other
        edge = 0 if picture.size == full else LANCZOS_REACH
        box = (
            max(0, floor(mask.left * across) - edge),
            max(0, floor(mask.top * down) - edge),
            min(picture.width, ceil(mask.right * across) + edge),
            min(picture.height, ceil(mask.bottom * down) + edge),
        )
        picture.paste(BLACK, box)


def _jpeg(picture: Image.Image, quality: int) -> bytes:
    picture.info.clear()  # a comment, profile or EXIF left here would be written out again
    out = BytesIO()
    picture.save(out, "JPEG", quality=quality, subsampling="4:2:0", optimize=False, progressive=False)
    return out.getvalue()
