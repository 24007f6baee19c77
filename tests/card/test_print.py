"""Card and tickets as PDF, read again by independent readers: numbers at their rows, nothing cut, codes that scan."""

import io
import re
import shutil
import subprocess
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import NamedTuple

import pytest
from PIL import Image
from pypdf import PdfReader

from evidence.card import CardSource, card, clock_payload, payload, tickets
from evidence.dossier import Paper
from evidence.phrases import say
from evidence.typeset import Typesetter
from tests.card.builders import demo_profile, record, source, straining

ISSUED = datetime(2026, 3, 4, 7, 0, tzinfo=UTC)
POINTS = 72 / 25.4  # per mm
SHEETS = {
    "a4": (210.0, 297.0),
    "us-letter": (215.9, 279.4),
}  # mm; published: ISO 216, 2007, Geneva; from memory of ANSI Y14.1
TOUCHING = 0.35  # mm by which boxes of two words may overlap: fonts give a word a little more than its ink
needs_poppler = pytest.mark.skipif(shutil.which("pdftotext") is None, reason="needs poppler")


class Word(NamedTuple):
    """A word with its box in mm from the top left."""

    left: float
    top: float
    right: float
    bottom: float
    text: str


@pytest.fixture(scope="module")
def typesetter() -> Iterator[Typesetter]:
    with Typesetter(compiles_per_worker=20) as made:
        yield made


def words_of(pdf: bytes, folder: Path) -> list[list[Word]]:
    """Words of each page; independent reader: pdftotext of poppler."""
    path = folder / "card.pdf"
    path.write_bytes(pdf)
    told = subprocess.run(
        ["pdftotext", "-bbox", str(path), "-"], capture_output=True, text=True, check=True
    ).stdout
    box = re.compile(r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(.*?)</word>')
    return [
        [
            Word(float(x) / POINTS, float(y) / POINTS, float(right) / POINTS, float(bottom) / POINTS, text)
            for x, y, right, bottom, text in box.findall(page)
        ]
        for page in told.split("<page ")[1:]
    ]


CASES: dict[str, tuple[bool, int, Paper]] = {
    "demo": (False, 1, "a4"),
    "letter": (False, 3, "us-letter"),
    "long": (True, 2, "a4"),
    "long-letter": (True, 1, "us-letter"),
}


def made(name: str) -> CardSource:
    long, positions, paper = CASES[name]
    return source(straining() if long else demo_profile(), positions, paper)


@needs_poppler
@pytest.mark.parametrize("name", CASES)
def test_printed_numbers_are_those_of_the_plan(typesetter: Typesetter, tmp_path: Path, name: str) -> None:
    the_source = made(name)
    pages = words_of(typesetter.sheets("card", card(the_source), ISSUED), tmp_path)
    left = min(word.left for page in pages for word in page)

    assert len(pages) == len(the_source.plan.pages)
    seen = 0
    for placed in the_source.plan.rows():
        if placed.row.kind not in ("step", "value", "cycles"):
            continue
        page = pages[placed.page - 1]
        numbers = sorted((w.top, w.text) for w in page if w.right < left + 9 and w.text.isdigit())
        assert [text for _, text in numbers] == [str(n) for n in range(1, len(numbers) + 1)]
        first = (placed.row.title or "?").split()[0]
        tops = sorted(w.top for w in page if w.text.startswith(first) and left + 9 < w.left < left + 12)
        # a row's number stands in its middle, so it is the first one below the top of its title
        assert (
            any(next((text for y, text in numbers if y > top - 1), "") == str(placed.number) for top in tops)
            or not placed.row.title
        )
        seen += 1
    assert seen > 10


@needs_poppler
@pytest.mark.parametrize("name", CASES)
def test_nothing_leaves_the_paper_or_lies_on_something_else(
    typesetter: Typesetter, tmp_path: Path, name: str
) -> None:
    the_source = made(name)
    width, height = SHEETS[the_source.plan.paper]
    for page in words_of(typesetter.sheets("card", card(the_source), ISSUED), tmp_path):
        assert len(page) > 20
        assert min(word.left for word in page) > 12
        assert max(word.right for word in page) < width - 9
        assert min(word.top for word in page) > 8
        assert max(word.bottom for word in page) < height - 8
        assert overlaps(page) == []


@needs_poppler
@pytest.mark.parametrize("paper", SHEETS)
def test_no_word_of_a_ticket_lies_on_another(typesetter: Typesetter, tmp_path: Path, paper: Paper) -> None:
    long = record(6, id="J" * 36 + ".x_-", vehicle={"build": "BW-" * 20})
    height, width = SHEETS[paper]  # the sheet lies

    pages = words_of(typesetter.sheets("card", tickets(long, paper, say), ISSUED), tmp_path)
    assert len(pages) == 2
    for page in pages:
        # the line of big letters has much air above them, where the small word stands
        assert overlaps([word for word in page if word.bottom - word.top < 12]) == []
        assert max(word.right for word in page) < width - 9
        assert max(word.bottom for word in page) < height - 8


def overlaps(page: list[Word]) -> list[tuple[str, str]]:
    """Pairs of words of which one is printed on the other."""
    return [
        (one.text, other.text)
        for place, one in enumerate(page)
        for other in page[place + 1 :]
        if min(one.right, other.right) - max(one.left, other.left) > TOUCHING
        and min(one.bottom, other.bottom) - max(one.top, other.top) > 3 * TOUCHING
    ]


def test_long_titles_and_cautions_are_printed_whole(typesetter: Typesetter) -> None:
    the_source = made("long")
    pdf = typesetter.sheets("card", card(the_source), ISSUED)
    # independent reader: pypdf
    text = re.sub(r"\s+", "", "".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages))

    for step in the_source.profile.steps:
        assert text.count(re.sub(r"\s+", "", step.title["en"])) == 2, step.title
    assert text.count(re.sub(r"\s+", "", "Keep your hands clear of it. " * 13)) == 4


def test_the_foot_says_what_a_card_is(typesetter: Typesetter) -> None:
    the_source = made("letter")
    pages = PdfReader(io.BytesIO(typesetter.sheets("card", card(the_source), ISSUED))).pages

    for number, page in enumerate(pages, start=1):
        text = page.extract_text()
        assert "Recorded values, not a certificate. The maker's manual and local rules come first." in text
        assert f"Page {number} of {len(pages)}" in text
        assert f"card {the_source.plan.id}" in text


@pytest.mark.usefixtures("afresh")
def test_the_same_card_gives_the_same_bytes(typesetter: Typesetter) -> None:
    assert typesetter.sheets("card", card(made("demo")), ISSUED) == typesetter.sheets(
        "card", card(made("demo")), ISSUED
    )


@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="needs poppler")
@pytest.mark.parametrize(
    ("job", "positions", "paper"),
    [("AMB-0417", 1, "a4"), ("AMB-0417", 6, "us-letter"), ("J" * 36 + ".x_-", 2, "a4")],
)
def test_every_code_scans_to_exactly_its_payload(
    typesetter: Typesetter, tmp_path: Path, job: str, positions: int, paper: Paper
) -> None:
    zxingcpp = pytest.importorskip("zxingcpp")
    the_record = record(positions, id=job)
    pdf = tmp_path / "tickets.pdf"
    pdf.write_bytes(typesetter.sheets("card", tickets(the_record, paper, say), ISSUED))
    subprocess.run(["pdftoppm", "-r", "110", "-png", str(pdf), str(tmp_path / "sheet")], check=True)

    pages = sorted(tmp_path.glob("sheet*.png"))
    # independent readers: pdftoppm of poppler and zxing-cpp
    read = [code for path in pages for code in zxingcpp.read_barcodes(Image.open(path))]
    wanted = [payload(job, ticket) for ticket in the_record.tickets]
    wanted.append(clock_payload(job, the_record.tickets[0].nonce))
    assert sorted(code.text for code in read) == sorted(wanted)
    assert len(pages) == (len(wanted) + 3) // 4
    for code in read:
        side = code.position.bottom_right.x - code.position.top_left.x
        assert side / 110 * 25.4 > 34  # mm; a phone two metres away still sees its modules


@needs_poppler
def test_a_ticket_says_in_clear_what_its_code_says(typesetter: Typesetter, tmp_path: Path) -> None:
    the_record = record(2)
    pdf = typesetter.sheets("card", tickets(the_record, "a4", say), ISSUED)
    page = words_of(pdf, tmp_path)[0]
    texts = [word.text for word in page]

    for ticket in the_record.tickets:
        assert payload("AMB-0417", ticket) in texts
    assert clock_payload("AMB-0417", the_record.tickets[0].nonce) in texts
    for position in ("p1", "p2"):
        largest = max(
            (word for word in page if word.text == position), key=lambda word: word.bottom - word.top
        )
        assert largest.bottom - largest.top > 20  # mm of a line in big letters
    text = " ".join(texts)
    assert "Photograph this ticket once with every phone beside the clock" in text
    for box in ("Time to the second", "Radio clock or network time", "Read by"):
        assert box in text


def test_a_vehicle_that_only_has_its_vin_is_named_by_it() -> None:
    vin = "1M8GDM9AXKP042788"
    sheet = tickets(record(vehicle={"vin": vin}), "a4", say)

    assert {ticket["vehicle"] for page in sheet["pages"] for ticket in page} == {f"VIN {vin}"}


def test_without_tickets_there_is_nothing_to_print() -> None:
    with pytest.raises(ValueError, match="no tickets"):
        tickets(record(tickets=[]), "a4", say)
