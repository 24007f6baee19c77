"""Pictures as they are printed and handed on: upright, RGB, scaled, masked, and without any metadata.

Bytes in, JPEG bytes out; the same input gives the same bytes with the same picture library.
"""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from io import BytesIO
from math import ceil, floor

from PIL import Image

from evidence import jsondoc
from evidence.exhibits import photo
from evidence.exhibits._answer import Answer, refuse
from evidence.exhibits._colours import coloured
from evidence.exhibits._upright import opaque, upright

KEY_SIDE, OTHER_SIDE = 1600, 1000  # pixels of the long side as printed
PAGE_SIDE = 2480  # the same of a page: A3 at 150 pixels an inch
QUALITY = 80  # JPEG quality of printed pictures
REDACTED_QUALITY = 90  # JPEG quality of full pictures, which stand in for the original
MAX_QUALITY = 95  # above it the file grows and the picture does not
LANCZOS_REACH = 3  # pixels of the result that one source pixel can touch, to each side
BLACK = (0, 0, 0)
WHOLE = 100  # percent


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
    """What a key photo says of itself, and its picture as printed; raises as ``scaled``."""
    return _printed(data, where, KEY_SIDE)


def other_answer(data: bytes, where: str) -> Answer:
    """The same for any other photo."""
    return _printed(data, where, OTHER_SIDE)


def _printed(data: bytes, where: str, long_side: int) -> Answer:
    picture = scaled(data, long_side, where=where)
    described = photo.answer(data, where)
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


def part(
    data: bytes,
    box: tuple[int, int, int, int],
    long_side: int = KEY_SIDE,
    *,
    quality: int = QUALITY,
    where: str = "picture",
) -> bytes:
    """JPEG of a part of a photo, or of a page that was made into a picture.

    Args:
        data: JPEG, PNG or another file that ``scaled`` takes.
        box: left, top, right, bottom in percent of the upright picture.
        long_side: longer side of the result in pixels; a smaller part is not enlarged.
        quality: JPEG quality 1 to 95.
        where: name for messages.

    Returns:
        Baseline JPEG as ``scaled``.

    Raises:
        InputError: as ``scaled``.
    """
    with _upright(data, photo.MAX_PIXELS, (), where) as picture:
        across, down = picture.width / WHOLE, picture.height / WHOLE
        left, top = floor(box[0] * across), floor(box[1] * down)
        right, bottom = max(ceil(box[2] * across), left + 1), max(ceil(box[3] * down), top + 1)
        cut = picture.crop((left, top, min(right, picture.width), min(bottom, picture.height)))
        cut.thumbnail((long_side, long_side), Image.Resampling.LANCZOS)
        return _jpeg(cut, quality)


def size(data: bytes, where: str = "picture") -> tuple[int, int]:
    """Width and height of a picture in pixels, as stored; raises as ``photo.opened``."""
    with photo.opened(data, where) as image:
        return image.size


def part_answer(data: bytes, where: str) -> Answer:
    """A part of a photo; before its bytes stands a line with the box, ``[left, top, right, bottom]`` in percent."""
    head, _, body = data.partition(b"\n")
    left, top, right, bottom = jsondoc.decode(head, where)
    return Answer("", (part(body, (left, top, right, bottom), where=where),))


@contextmanager
def _upright(data: bytes, long_side: int, masks: Sequence[Mask], where: str) -> Iterator[Image.Image]:
    with photo.opened(data, where) as image:
        full = image.size
        target = _target(full, long_side)
        if target != full:
            # the decoder halves as often as the target allows; the box must have the photo's own shape
            photo.draft(image, "RGB", target)
        with photo.decoding(where):
            image.load()
            turn = photo.orientation(photo.tags_of(image))
            small = _plain(image, target)
            rgb = coloured(small, image.info.get("icc_profile"))
        picture = upright(rgb, turn)
        turned = full if turn <= 4 else full[::-1]  # noqa: PLR2004 - 5 to 8 exchange the sides
        _blacken(picture, masks, turned, where)
        yield picture


def _target(size: tuple[int, int], long_side: int) -> tuple[int, int]:
    longer = max(size)
    if longer <= long_side:
        return size
    width, height = (max(1, (side * long_side + longer // 2) // longer) for side in size)
    return width, height


def _plain(image: Image.Image, target: tuple[int, int]) -> Image.Image:
    """Eight bits a channel, no palette, no transparency, at the target size."""
    image = opaque(image)
    return image if image.size == target else image.resize(target, Image.Resampling.LANCZOS)


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
