"""Paper as an office scanner stores it: tinted, a little askew, one JPEG a page and no text."""

import io
import json
import tempfile
from pathlib import Path

import font_source_sans_pro
import typst
from numpy.random import Generator
from PIL import Image, ImageChops, ImageDraw, ImageFont

MM_PER_INCH = 25.4
TINT = (251, 249, 241)  # of the paper
EDGE = 232  # of 255: how dark the scanner leaves the bound edge
MOST_TURN = 0.45  # degrees askew
QUALITIES = (62, 54, 46, 40, 34)
NOTICE = "Invented for a demonstration"
NOTICE_COLOUR = (150, 60, 40)
PAGE_SOURCE = """
#let order = json("order.json")
#set page(width: auto, height: auto, margin: 0pt)
#for number in range(1, order.pages + 1) {
  if number > 1 { pagebreak() }
  image("paper.pdf", page: number, alt: "")
}
"""


def font_folder() -> Path:
    """Folder of the static fonts."""
    return Path(font_source_sans_pro.__file__).parent / "files"


def font(weight: str, mm: float, per_mm: float) -> ImageFont.FreeTypeFont:
    """A weight of the font at a height in mm for a picture with so many pixels a millimetre."""
    path = font_folder() / f"SourceSansPro-{weight}.ttf"
    return ImageFont.truetype(str(path), max(4, round(mm * per_mm)))


def pictures(pdf: bytes, pages: int, ppi: int) -> list[Image.Image]:
    """The pages of a PDF of ours as pictures.

    Args:
        pdf: the file.
        pages: how many it has.
        ppi: pixels an inch.
    """
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        (root / "paper.pdf").write_bytes(pdf)
        (root / "order.json").write_text(json.dumps({"pages": pages}), encoding="utf-8")
        (root / "page.typ").write_text(PAGE_SOURCE, encoding="utf-8")
        drawn = typst.compile(
            str(root / "page.typ"), root=folder, format="png", ppi=ppi, ignore_system_fonts=True
        )
    found = drawn if isinstance(drawn, list) else [drawn]
    return [Image.open(io.BytesIO(each or b"")).convert("RGB") for each in found]


def noticed(page: Image.Image, per_mm: float) -> Image.Image:
    """The page with the notice in its upper left corner."""
    draw = ImageDraw.Draw(page)
    draw.text(
        (9 * per_mm, 5 * per_mm), NOTICE, fill=NOTICE_COLOUR, font=font("Semibold", 3.4, per_mm), anchor="la"
    )
    return page


def scanned(page: Image.Image, rng: Generator) -> Image.Image:
    """A page as it comes off the glass."""
    turn = float(rng.integers(12, 45)) / 100 * (1 if rng.integers(0, 2) else -1)
    if abs(turn) > MOST_TURN:
        raise ValueError(f"turned by {turn} degrees")
    askew = page.rotate(turn, Image.Resampling.BICUBIC, fillcolor=(255, 255, 255))
    shade = (
        Image.linear_gradient("L")
        .rotate(90)
        .resize(page.size)
        .point(lambda value: min(255, EDGE + value // 4))
    )
    tinted = ImageChops.multiply(askew, Image.new("RGB", page.size, TINT))
    return ImageChops.multiply(tinted, Image.merge("RGB", (shade,) * 3))


def picture_pdf(pages: list[Image.Image], ppi: int, most_bytes: int) -> bytes:
    """A PDF of pictures only; it names no program and no time.

    Args:
        pages: as scanned.
        ppi: pixels an inch.
        most_bytes: cap on the file's size.

    Raises:
        ValueError: even the lowest quality is larger than the cap.
    """
    for quality in QUALITIES:
        target = io.BytesIO()
        pages[0].save(
            target,
            "PDF",
            save_all=True,
            append_images=pages[1:],
            resolution=ppi,
            quality=quality,
            creationDate=None,
            modDate=None,
        )
        if target.tell() <= most_bytes:
            return target.getvalue()
    raise ValueError(f"{len(pages)} pages need {target.tell()} bytes, cap is {most_bytes}")
