"""Codes that a photo shows: QR, Data Matrix, Code 39 and others, kept where they say what a thing is.

Runs in the guard's child. What a code says beside that (an address, a contact, a network) is counted and not kept.
"""

from typing import Any

import zxingcpp
from PIL import Image

from evidence import labels
from evidence.exhibits import photo
from evidence.exhibits._answer import Answer
from evidence.exhibits._upright import grey
from evidence.model.exhibit import MAX_CODES, Code

HALVE_ABOVE = 4_000_000  # pixels; a larger photo is searched at half its size first, at a quarter of the cost

_SYMBOLOGIES: dict[zxingcpp.BarcodeFormat, str] = {
    zxingcpp.BarcodeFormat.QRCode: "qr",
    zxingcpp.BarcodeFormat.MicroQRCode: "micro-qr",
    zxingcpp.BarcodeFormat.DataMatrix: "data-matrix",
    zxingcpp.BarcodeFormat.Code39: "code-39",
    zxingcpp.BarcodeFormat.Code128: "code-128",
    zxingcpp.BarcodeFormat.EAN13: "ean-13",
}
_FORMATS = zxingcpp.BarcodeFormats(list(_SYMBOLOGIES))


def answer(data: bytes, where: str) -> Answer:
    """Codes of a photo at half size: ``{"codes": [...], "left_out": n}``; codes from top to bottom.

    Raises:
        InputError: as ``photo.answer``.
    """
    return _answered(_found(data, where, whole=False))


def expected_answer(data: bytes, where: str) -> Answer:
    """The same of a photo that is expected to show one: at full size where half the size shows none to keep."""
    found = _found(data, where, whole=False)
    if not any(found):
        found = _found(data, where, whole=True) or found
    return _answered(found)


def _found(data: bytes, where: str, *, whole: bool) -> list[Code | None]:
    """Every code once, None for one that is not kept."""
    with photo.opened(data, where) as image:
        size, large = image.size, image.width * image.height > HALVE_ABOVE
        if whole and not large:
            return []  # it was searched at full size already
        half = (size[0] // 2, size[1] // 2)
        # the decoder gives the greys alone, which the codes need, for half the work
        photo.draft(image, "L", size if whole or not large else half)
        with photo.decoding(where):
            image.load()
            picture = grey(image, photo.orientation(photo.tags_of(image)))
        if large and not whole and image.size == size:
            picture = picture.reduce(2)  # a PNG is decoded whole
    read = zxingcpp.read_barcodes(picture, _FORMATS, text_mode=zxingcpp.TextMode.Plain)
    return [_code(one, picture) for one in read]


def _code(barcode: zxingcpp.Barcode, picture: Image.Image) -> Code | None:
    try:
        label = labels.read(_text(barcode))
    except labels.LabelError:
        return None
    place = barcode.position
    points = (place.top_left, place.top_right, place.bottom_right, place.bottom_left)
    corners = [
        place
        for point in points
        for place in (_per_mille(point.x, picture.width), _per_mille(point.y, picture.height))
    ]
    return Code.read({"symbology": _SYMBOLOGIES[barcode.format], "text": label.text, "corners": corners})


def _text(barcode: zxingcpp.Barcode) -> str:
    if barcode.format == zxingcpp.BarcodeFormat.EAN13:
        return f"(01)0{barcode.text}"  # a trade item number of 13 digits, as one of 14
    is_gs1 = barcode.content_type == zxingcpp.ContentType.GS1
    return f"{barcode.symbology_identifier}{barcode.text}" if is_gs1 else str(barcode.text)


def _per_mille(place: int, side: int) -> int:
    return min(1000, max(0, round(1000 * place / side)))


def _answered(found: list[Code | None]) -> Answer:
    kept = {(code.symbology, code.text): code for code in reversed(found) if code is not None}
    inorder = sorted(kept.values(), key=lambda code: (code.corners[1], code.corners[0], code.text))
    listed: list[Any] = [code.document() for code in inorder[:MAX_CODES]]
    return Answer({"codes": listed, "left_out": found.count(None) + len(inorder[MAX_CODES:])})
