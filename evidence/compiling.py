"""What a typesetting worker runs; light, because each worker loads it and nothing else of the program."""

from collections.abc import Mapping, Sequence
from datetime import datetime

import typst

from evidence import jsondoc
from evidence.exhibits import Answer


def pages_answer(data: bytes, where: str) -> Answer:
    """Pictures of pages of one PDF: a JPEG for each, empty for one that is too narrow; or a message and none.

    Args:
        data: ``{"folder", "boxes", "least", "ppi", "quality"}`` as JSON: a box for each page in percent, least pixels of
            the shorter side of a whole page, pixels an inch and JPEG quality; the folder holds ``where``, the PDF that
            it shows and which pages.
        where: name of the source.
    """
    order = jsondoc.decode(data, where)
    folder = order["folder"]
    try:
        drawn = typst.compile(
            f"{folder}/{where}", root=folder, format="png", ppi=order["ppi"], ignore_system_fonts=True
        )
    except Exception as error:  # noqa: BLE001 - whatever the compiler says of a foreign PDF is one refusal
        return Answer(str(error) or type(error).__name__)
    pictures = drawn if isinstance(drawn, list) else [drawn or b""]
    made = [_page(picture, box, order, where) for picture, box in zip(pictures, order["boxes"], strict=True)]
    return Answer("", tuple(made))


def _page(drawn: bytes, box: Sequence[int], order: Mapping[str, int], where: str) -> bytes:
    # a worker that sets dossiers needs none of it
    from evidence.picture import PAGE_SIDE, part, size  # noqa: PLC0415

    if min(size(drawn, where)) < order["least"]:
        return b""
    left, top, right, bottom = box
    return part(drawn, (left, top, right, bottom), PAGE_SIDE, quality=order["quality"], where=where)


def compiled(data: bytes, where: str) -> Answer:
    """Compile the folder that the order names; answers with an empty text or a message.

    Args:
        data: ``{"folder", "issued"}`` as JSON.
        where: name of the main source.
    """
    order = jsondoc.decode(data, where)
    folder = order["folder"]
    try:
        typst.compile(
            f"{folder}/{where}",
            output=f"{folder}/out.pdf",
            root=folder,
            font_paths=[f"{folder}/fonts"],
            ignore_system_fonts=True,
            pdf_standards=["a-3b", "ua-1"],
            timestamp=datetime.fromisoformat(order["issued"]),
        )
    except Exception as error:  # noqa: BLE001 - whatever the compiler says must reach the caller as text
        return Answer(str(error) or type(error).__name__)
    return Answer("")
