"""The printed sheet, measured: two renderers, an edge fit, and what must stay white."""

import shutil
import subprocess
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import cv2
import numpy as np
import pytest
import typst
from numpy.typing import NDArray

from evidence.card.gauge import SOURCES, GaugeOrder, gauge_sheet
from evidence.dossier import Paper
from evidence.errors import UsageError
from evidence.gauge import artwork, geometry
from evidence.measure import edges, tags
from evidence.measure.tags import Points
from evidence.phrases import say
from evidence.typeset import Typesetter

PRINTED = datetime(2026, 3, 6, 16, 0, tzinfo=UTC)
DPI = 400
MM = 25.4 / DPI
WITHIN = 0.05  # mm
PAPERS: tuple[Paper, ...] = ("a4", "us-letter")
SHEETS = {"a4": (210.0, 297.0), "us-letter": (215.9, 279.4)}
"""mm; published: ISO 216, 2007, Geneva; from memory of ANSI Y14.1."""
CAP = 24  # letters of a serial
LONG = "GC-2026/lot_7.004-B-XXXX"


@dataclass(frozen=True)
class Shot:
    """A rendered page with what was measured on it.

    Attributes:
        grey: 8-bit.
        found: tag to corners, mm of the page.
        strip, slider: where u = v = 0 of each lies on the page, mm.
    """

    grey: NDArray[np.uint8]
    found: dict[int, Points]
    strip: NDArray[np.float64]
    slider: NDArray[np.float64]

    def line(self, start: tuple[float, float], end: tuple[float, float]) -> list[float]:
        """Middles of the dark lines between two places of the page that lie level or upright, mm from the start."""
        count = round(max(abs(end[0] - start[0]), abs(end[1] - start[1])) / MM * 4)
        places = np.linspace(np.array(start), np.array(end), count) / MM - 0.5
        read = cv2.remap(
            self.grey,
            places[None, :, 0].astype(np.float32),
            places[None, :, 1].astype(np.float32),
            cv2.INTER_LINEAR,
        )[0].astype(float)
        dark = 255 - read
        runs = np.split(np.arange(count), np.flatnonzero(np.diff(dark > 60)) + 1)
        step = float(np.hypot(*(np.array(end) - np.array(start)))) / (count - 1)
        return [float(np.average(run, weights=dark[run])) * step for run in runs if dark[run[0]] > 60]


@pytest.fixture(scope="module")
def pdfs() -> Iterator[dict[str, bytes]]:
    with Typesetter(compiles_per_worker=20) as typesetter:
        yield {
            paper: typesetter.sheets(SOURCES, gauge_sheet(GaugeOrder("GC-007", paper, PRINTED), say), PRINTED)
            for paper in PAPERS
        }


def _by_typst(pdf: bytes, folder: Path) -> Path:
    (folder / "page.pdf").write_bytes(pdf)
    source = '#set page(width: auto, height: auto, margin: 0pt)\n#image("page.pdf")'
    (folder / "page.typ").write_text(source, encoding="utf-8")
    target = folder / "page.png"
    typst.compile(folder / "page.typ", output=target, root=folder, format="png", ppi=DPI)
    return target


def _by_poppler(pdf: bytes, folder: Path) -> Path:
    if shutil.which("pdftoppm") is None:
        pytest.skip("needs poppler as second renderer")
    (folder / "page.pdf").write_bytes(pdf)
    command = ["pdftoppm", "-r", str(DPI), "-png", "-singlefile", "page.pdf", "page"]
    subprocess.run(command, cwd=folder, check=True)
    return folder / "page.png"


CASES = [(paper, renderer) for paper in PAPERS for renderer in ("typst", "poppler")]


@pytest.fixture(scope="module", params=CASES, ids="-".join)
def shot(
    request: pytest.FixtureRequest, pdfs: dict[str, bytes], tmp_path_factory: pytest.TempPathFactory
) -> Shot:
    paper, renderer = request.param
    draw = {"typst": _by_typst, "poppler": _by_poppler}[renderer]
    read = cv2.imread(str(draw(pdfs[paper], tmp_path_factory.mktemp("shot"))), cv2.IMREAD_GRAYSCALE)
    assert read is not None
    grey = np.asarray(read, dtype=np.uint8)
    wide, high = SHEETS[paper]
    assert (grey.shape[1] * MM, grey.shape[0] * MM) == pytest.approx((wide, high), abs=2 * MM)
    # the centre of the first pixel lies half a pixel from the corner of the page
    found = {tag: (corners + 0.5) * MM for tag, corners in edges.fit(grey, tags.find(grey)).tags.items()}
    first = np.array([geometry.square(geometry.tag_corner(tag)) for tag in geometry.tag_ids()])
    strip = (np.array([found[tag] for tag in geometry.tag_ids()]) - first).mean(axis=(0, 1))
    square = np.array(geometry.square((geometry.QUIET, geometry.QUIET)))
    return Shot(grey, found, strip, (found[geometry.SLIDER_TAG] - square).mean(axis=0))


def test_every_corner_lies_where_the_geometry_says(shot: Shot) -> None:
    assert sorted(shot.found) == [*geometry.tag_ids(), geometry.SLIDER_TAG]
    for tag in geometry.tag_ids():
        wanted = shot.strip + np.array(geometry.square(geometry.tag_corner(tag)))
        assert np.abs(shot.found[tag] - wanted).max() < WITHIN, tag
    wanted = shot.slider + np.array(geometry.square((geometry.QUIET, geometry.QUIET)))
    assert np.abs(shot.found[geometry.SLIDER_TAG] - wanted).max() < WITHIN


@pytest.mark.parametrize(
    ("piece", "across"),
    [("strip", geometry.STRIP[0]), ("slider", geometry.SLIDER)],
)
def test_cut_lines_and_check_lines_lie_at_the_edges(shot: Shot, piece: str, across: float) -> None:
    """Cut lines of both measuring edges, against the tags: what no tag would show if it were wrong."""
    u, v = shot.strip if piece == "strip" else shot.slider
    # between the two flights of steps, and where no patch or word is near
    middle = v + (29.5 if piece == "strip" else 17.0)
    near = shot.line((u - 2, middle), (u + 1.25, middle))
    far = shot.line((u + across + 2, middle), (u + across - 1.25, middle))

    assert near == pytest.approx([2.0, 3.0], abs=WITHIN)
    assert far == pytest.approx([2.0, 3.0], abs=WITHIN)


def test_steps_at_an_edge_are_a_tenth_apart(shot: Shot) -> None:
    u, v = shot.strip
    begin = v + 1.25
    found = [
        shot.line((u - 1, place), (u + 0.52, place))[0] - 1
        for place in (begin + (number + 0.25) * artwork.STEP_LENGTH for number in range(9))
    ]

    # the edge of u = 0 is drawn from its far end upwards, so its upper flight begins inside
    assert found == pytest.approx([0.4 - number * 0.1 for number in range(9)], abs=WITHIN)


def test_both_rulers_are_150_mm_long(shot: Shot) -> None:
    u, v = shot.strip
    level = v + geometry.STRIP[1] - artwork.CHECK - 0.85  # only the longest marks reach so high
    across = shot.line((u + 16, level), (u + 175, level))
    first = shot.line((u + 13.8, v + 59 - 0.55), (u + 15.3, v + 59 - 0.55))[-1]
    upright = shot.line((u + 185.5 + 4.2, v - 2), (u + 185.5 + 4.2, v + 152))

    ends = [13.8 + first, *(16 + place for place in across)]
    assert min(abs(place - 165) for place in ends) < WITHIN
    assert abs(ends[0] - 15) < WITHIN
    assert upright == pytest.approx([2, 52, 102, 152], abs=WITHIN)


def test_nothing_dark_stands_near_a_tag(shot: Shot) -> None:
    for tag, corners in shot.found.items():
        low, high = corners.min(axis=0) / MM, corners.max(axis=0) / MM
        reach, blur = artwork.CLEAR / MM, 2
        left, top = np.floor(low - reach).astype(int)
        right, bottom = np.ceil(high + reach).astype(int)
        ring = shot.grey[top:bottom, left:right].copy()
        inner_left, inner_top = np.floor(low - blur).astype(int) - (left, top)
        inner_right, inner_bottom = np.ceil(high + blur).astype(int) - (left, top)
        ring[inner_top:inner_bottom, inner_left:inner_right] = 255
        assert ring.min() > 250, tag


def test_patches_have_the_stated_grey(shot: Shot) -> None:
    u, v = shot.strip
    for place, value in (((u + 177.4, v + 11), artwork.GREY), ((u + 177.4, v + 22), 255)):
        x, y = (round(each / MM) for each in place)
        assert abs(int(shot.grey[y, x]) - value) <= 1
    tile_u, tile_v = u + 135, v + 68.5
    for place, value in (((tile_u + 12, tile_v + 15), artwork.GREY), ((tile_u + 35, tile_v + 15), 255)):
        x, y = (round(each / MM) for each in place)
        assert abs(int(shot.grey[y, x]) - value) <= 1


@pytest.mark.parametrize("paper", PAPERS)
def test_nothing_comes_near_the_edge_of_the_paper(pdfs: dict[str, bytes], tmp_path: Path, paper: str) -> None:
    grey = cv2.imread(str(_by_typst(pdfs[paper], tmp_path)), cv2.IMREAD_GRAYSCALE)
    assert grey is not None
    rows, columns = np.nonzero(np.asarray(grey) < 250)
    least = 6.35  # mm, a quarter of an inch that many printers leave white; common practice, no source

    assert columns.min() * MM > least
    assert rows.min() * MM > least
    assert (grey.shape[1] - columns.max()) * MM > least
    assert (grey.shape[0] - rows.max()) * MM > least


@pytest.mark.usefixtures("afresh")
def test_the_same_sheet_gives_the_same_bytes(pdfs: dict[str, bytes]) -> None:
    data = gauge_sheet(GaugeOrder("GC-007", "a4", PRINTED), say)
    with Typesetter() as typesetter:
        assert typesetter.sheets(SOURCES, data, PRINTED) == pdfs["a4"]


def test_without_a_serial_the_minute_of_printing_makes_one() -> None:
    assert GaugeOrder(None, "a4", PRINTED).shown_serial == "GC-20260306-1600"


def test_a_card_is_used_for_a_year_at_most() -> None:
    data = gauge_sheet(GaugeOrder("GC-007", "a4", PRINTED), say)

    assert "2027-03-06" in data["expiry"]


@pytest.mark.parametrize(
    "serial", ["", " ", "GC 7", "GC-\u00fc", "GC-\u202e7", "-7", "GC\n7", LONG + "X", "\u6f22"]
)
def test_a_serial_that_cannot_be_printed_or_typed_again_is_refused(serial: str) -> None:
    with pytest.raises(UsageError) as caught:
        gauge_sheet(GaugeOrder(serial, "a4", PRINTED), say)

    assert [problem.code for problem in caught.value.problems] == ["gauge-serial-unusable"]


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="needs poppler")
def test_the_longest_serial_is_printed_whole_on_strip_and_slider(tmp_path: Path) -> None:
    assert len(LONG) == CAP
    data = gauge_sheet(GaugeOrder(LONG, "a4", PRINTED), say)
    with Typesetter() as typesetter:
        (tmp_path / "page.pdf").write_bytes(typesetter.sheets(SOURCES, data, PRINTED))
    told = subprocess.run(
        ["pdftotext", "-bbox", "page.pdf", "-"], cwd=tmp_path, capture_output=True, text=True, check=True
    ).stdout
    words = [line for line in told.splitlines() if LONG in line and "<word" in line]

    assert len(words) == 3  # title, strip, slider
    # independent reader: pdftotext of poppler; the slider ends 42 mm from the left of the page
    right = float(words[-1].split('xMax="')[1].split('"')[0]) * 25.4 / 72
    assert right < 8 + geometry.SLIDER - artwork.CHECK
