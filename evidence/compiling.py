"""What a typesetting worker runs; light, because each worker loads it and nothing else of the program."""

from datetime import datetime

import typst

from evidence import jsondoc
from evidence.exhibits import Answer

PAGE_PPI = 150  # pixels an inch of a page made into a picture: small print stays readable; about 0.1 s a page


def page_answer(data: bytes, where: str) -> Answer:
    """A page picture: one JPEG, or a message and none.

    Args:
        data: ``{"folder", "box"}`` as JSON; the folder holds ``where`` and the PDF that it shows.
        where: name of the source.
    """
    from evidence.picture import PAGE_SIDE, part  # noqa: PLC0415 - a worker that sets dossiers needs none of it

    order = jsondoc.decode(data, where)
    folder = order["folder"]
    try:
        drawn = typst.compile(
            f"{folder}/{where}", root=folder, format="png", ppi=PAGE_PPI, ignore_system_fonts=True
        )
    except Exception as error:  # noqa: BLE001 - whatever the compiler says of a foreign PDF is one refusal
        return Answer(str(error) or type(error).__name__)
    picture = drawn[0] if isinstance(drawn, list) else drawn
    left, top, right, bottom = order["box"]
    return Answer("", (part(picture or b"", (left, top, right, bottom), PAGE_SIDE, where=where),))


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
