"""Pictures of pages that a person read or cited: made in a child, capped, and missing where a page cannot be drawn."""

import io
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from PIL import Image, ImageDraw
from pypdf import PdfReader, PdfWriter
from pypdf.generic import ArrayObject, NameObject, RectangleObject

from evidence import jobs, jsondoc, pagepictures, pageplan, picture
from evidence.errors import InputError
from evidence.examining import Examined
from evidence.guard import Limits
from evidence.model.exhibit import Document, Item, Photo
from evidence.model.papers import Claim
from tests.exhibits.files import CATALOG, FONT, PAGE, jpeg, page_tree, pdf, stream, text_pdf


def scan(pages: int = 1, size: tuple[int, int] = (620, 877)) -> bytes:
    """A PDF of pictures: each page black in its upper half."""
    page = Image.new("RGB", size, "white")
    ImageDraw.Draw(page).rectangle((0, 0, size[0], size[1] // 2), fill="black")
    out = io.BytesIO()
    page.save(out, "PDF", resolution=75, save_all=True, append_images=[page] * (pages - 1))
    return out.getvalue()


def a_case(
    job: Path, contents: Mapping[str, bytes], claims: list[dict[str, str]]
) -> tuple[jobs.Job, Examined]:
    """The demonstration job with these files, its document d2 claiming what is given."""
    loaded = jobs.load(job)
    items, sources = {}, {}
    for exhibit, data in contents.items():
        path = job / "documents" / f"{exhibit}.pdf"
        path.write_bytes(data)
        sources[exhibit] = path
        common: dict[str, Any] = {"id": exhibit, "sha256": jsondoc.digest(data), "bytes": len(data)}
        if data.startswith(b"\xff\xd8"):
            photo = Photo(width=64, height=48)
            items[exhibit] = Item(kind="photo", media_type="image/jpeg", photo=photo, **common)
        else:
            part = Document(pages=20, has_text=False)
            items[exhibit] = Item(kind="document", media_type="application/pdf", pdf=part, **common)
    read = tuple(Claim.read({"name": "lot", "value": "A7", "read_by": "w3", **claim}) for claim in claims)
    documents = tuple(
        each.model_copy(update={"claims": read if each.exhibit == "E010" else ()})
        for each in loaded.record.documents
    )
    record = loaded.record.model_copy(update={"documents": documents})
    text = replace(loaded.text, record=record)
    examined = Examined(items, {}, {}, sources, {}, frozenset(), ())
    return replace(loaded, text=text), examined


def opened(data: bytes) -> Image.Image:
    return Image.open(io.BytesIO(data))


def test_a_page_is_drawn_whole_and_only_once(job: Path) -> None:
    made = pagepictures.of_job(
        *a_case(job, {"E010": scan()}, [{"page": "1"}, {"page": "1", "crop": "0 0 10 10"}])
    )

    assert list(made.pictures) == ["E010.page-1"]
    drawn = opened(made.pictures["E010.page-1"])
    assert drawn.format == "JPEG"
    # A4 at 150 pixels an inch (ISO 216: 210 mm x 297 mm; 1 in = 25.4 mm)
    assert abs(drawn.width - 1240) <= 2
    assert abs(drawn.height - 1754) <= 2


def test_a_part_is_the_part_around_all_claims(job: Path) -> None:
    claims = [{"page": "1", "crop": "0 0 50 20"}, {"page": "1", "crop": "40 30 100 40"}]
    drawn = opened(pagepictures.of_job(*a_case(job, {"E010": scan()}, claims)).pictures["E010.page-1"])

    assert abs(drawn.height / drawn.width - 0.4 * 877 / 620) < 0.01
    counts = drawn.convert("L").histogram()
    assert sum(counts[:60]) == drawn.width * drawn.height  # the white half lies below the part


def test_a_photo_of_a_paper_is_cut_as_well(job: Path) -> None:
    claims = [{"page": "1", "crop": "0 0 50 50"}]
    made = pagepictures.of_job(*a_case(job, {"E010": jpeg()}, claims))

    assert opened(made.pictures["E010.page-1"]).size == (32, 24)


def test_at_most_twelve_pages_are_drawn(job: Path) -> None:
    claims = [{"page": str(number)} for number in range(1, 15)]
    made = pagepictures.of_job(*a_case(job, {"E010": scan(pages=14)}, claims))

    assert len([name for name in made.pictures if ".page-" in name]) == pageplan.MAX_READ
    # those beyond it have their place in the annex
    assert [name for name in made.pictures if ".annex-" in name] == ["E010.annex-13", "E010.annex-14"]
    assert made.left_out == {"E010.page-13", "E010.page-14"}


def test_claims_without_reader_or_beyond_the_end_want_no_picture_of_what_was_read(job: Path) -> None:
    loaded, examined = a_case(job, {"E010": scan()}, [])
    no_reader = Claim.read({"name": "lot", "value": "A7", "page": "1"})
    beyond = Claim.read({"name": "lot", "value": "A7", "page": "21", "read_by": "w3"})
    documents = tuple(
        each.model_copy(update={"claims": (no_reader, beyond)}) for each in loaded.record.documents
    )
    record = loaded.record.model_copy(update={"documents": documents})

    made = pagepictures.of_job(replace(loaded, text=replace(loaded.text, record=record)), examined)
    assert list(made.pictures) == ["E010.annex-1"]
    assert (made.redacted, made.left_out) == ({}, frozenset())


HUGE = PAGE.replace(b"[0 0 600 800]", b"[0 0 90000 90000]")


@pytest.mark.parametrize(
    "data",
    [
        b"%PDF-1.7\n" + bytes(range(256)) * 20,
        text_pdf()[:200],
        pdf([CATALOG, b"<</Type/Pages/Kids[2 0 R]/Count 1>>"]),
    ],
    ids=["garbage", "cut", "loop"],
)
def test_a_page_that_cannot_be_drawn_has_no_picture(job: Path, data: bytes) -> None:
    assert pagepictures.of_job(*a_case(job, {"E010": data}, [{"page": "1"}])).pictures == {}


def test_a_huge_page_is_drawn_small(job: Path) -> None:
    data = pdf([CATALOG, page_tree(), HUGE, stream(b"0 0 m 9 9 l S"), FONT])
    drawn = opened(pagepictures.of_job(*a_case(job, {"E010": data}, [{"page": "1"}])).pictures["E010.page-1"])

    assert max(drawn.size) <= picture.PAGE_SIDE


def test_a_page_that_takes_too_long_has_no_picture(job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pagepictures, "LIMITS", Limits(wall_seconds=0.01))

    assert pagepictures.of_job(*a_case(job, {"E010": scan()}, [{"page": "1"}])).pictures == {}


def test_a_file_that_changed_meanwhile_stops_the_run(job: Path) -> None:
    loaded, examined = a_case(job, {"E010": scan()}, [{"page": "1"}])
    (job / "documents/E010.pdf").write_bytes(scan(2))
    with pytest.raises(InputError, match="source-changed"):
        pagepictures.of_job(loaded, examined)


@pytest.mark.parametrize("box", [(0, 0, 100, 100), (99, 99, 100, 100), (50, 0, 51, 100)])
def test_every_part_of_a_small_picture_is_a_picture(box: tuple[int, int, int, int]) -> None:
    assert min(opened(picture.part(jpeg(), box)).size) >= 1


def cited(job: Path, data: bytes) -> tuple[jobs.Job, Examined]:
    """The job with a paper of which three pages are cited, and read by nobody."""
    loaded, examined = a_case(job, {"E010": data}, [{"page": page} for page in ("1", "2", "3")])
    documents = tuple(
        one.model_copy(update={"claims": tuple(c.model_copy(update={"read_by": None}) for c in one.claims)})
        for one in loaded.record.documents
    )
    record = loaded.record.model_copy(update={"documents": documents})
    return replace(loaded, text=replace(loaded.text, record=record)), examined


def three(change: Callable[[PdfWriter], None]) -> bytes:
    """A PDF of three pages, changed."""
    writer = PdfWriter()
    for _ in range(3):
        writer.add_page(PdfReader(io.BytesIO(text_pdf())).pages[0])
    change(writer)
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def boxed(*numbers: float) -> Callable[[PdfWriter], None]:
    """Gives page 2 this box, in points."""

    def change(writer: PdfWriter) -> None:
        writer.pages[1].mediabox = RectangleObject(numbers)

    return change


def turned(writer: PdfWriter) -> None:
    writer.pages[1].rotate(90)


def nonsense(writer: PdfWriter) -> None:
    writer.pages[1][NameObject("/MediaBox")] = ArrayObject([NameObject("/x")])


ALL, WITHOUT_SECOND = {"E010.annex-1", "E010.annex-2", "E010.annex-3"}, {"E010.annex-1", "E010.annex-3"}


@pytest.mark.parametrize(
    ("change", "drawn"),
    [
        (boxed(0, 0, 0, 0), ALL),
        (boxed(0, 0, 14173, 28), WITHOUT_SECOND),  # 5 m by 10 mm: a line of three pixels
        (boxed(0, 0, 1, 1), WITHOUT_SECOND),
        (boxed(0, 0, 1e9, 1e9), ALL),
        (boxed(600, 800, 0, 0), ALL),
        (turned, ALL),
        (nonsense, ALL),
    ],
    ids=["no size", "five metres", "a point", "endless", "upside down", "turned", "no box"],
)
def test_a_strange_page_of_the_annex_stops_no_other(
    job: Path, change: Callable[[PdfWriter], None], drawn: set[str]
) -> None:
    made = pagepictures.of_job(*cited(job, three(change))).pictures

    assert set(made) == drawn
    assert max(max(opened(each).size) for each in made.values()) <= picture.PAGE_SIDE


def test_pages_that_are_not_there_cost_no_other(job: Path) -> None:
    # the reader of the PDF says twenty pages, so all are asked for at once, which fails
    assert set(pagepictures.of_job(*cited(job, text_pdf(pages=2))).pictures) == {
        "E010.annex-1",
        "E010.annex-2",
    }


def test_a_locked_paper_has_no_picture(job: Path) -> None:
    locked = three(lambda writer: writer.encrypt("a word that nobody told"))

    assert PdfReader(io.BytesIO(locked)).is_encrypted
    assert pagepictures.of_job(*cited(job, locked)).pictures == {}


def test_the_annex_shows_a_turned_page_as_readers_do(job: Path) -> None:
    drawn = pagepictures.of_job(*cited(job, three(turned))).pictures
    upright, lying = (opened(drawn[f"E010.annex-{page}"]).size for page in (1, 2))

    # ISO 32000-1:2008, 7.7.3.3, from memory: Rotate turns the page when it is shown
    assert lying == upright[::-1]


@pytest.mark.usefixtures("afresh")
def test_the_same_pages_give_the_same_bytes(job: Path) -> None:
    case = cited(job, text_pdf(pages=3))

    assert pagepictures.of_job(*case) == pagepictures.of_job(*case)


def test_only_a_redacted_copy_is_drawn_for_the_redacted_dossier(job: Path) -> None:
    loaded, examined = cited(job, text_pdf(b"Mr Name Name", pages=3))
    stub = ("E010.redacted.json", b"{}")
    copy = ("E010.redacted.pdf", scan(2))

    assert pagepictures.of_job(loaded, replace(examined, twins={"E010": stub})).redacted == {}
    made = pagepictures.of_job(loaded, replace(examined, twins={"E010": copy}))
    # the copy has two pages where three are cited
    assert list(made.redacted) == ["E010.redacted.annex-1", "E010.redacted.annex-2"]
    # what is black above is the copy, not the original
    assert opened(made.redacted["E010.redacted.annex-1"]).convert("L").getpixel((9, 9)) == 0
