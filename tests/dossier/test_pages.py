"""Pages with hard content: nothing leaves its margins, nothing is lost, no page is almost empty, no heading ends one."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from evidence.dossier import Data
from evidence.dossier._input import Paper
from evidence.typeset import Typesetter
from tests.dossier import builders, hard, hostile
from tests.dossier.sheets import INK_PPI, POINT, Box, Sheet, needs_poppler, sheets, squeezed
from tests.dossier.test_build import parts, texts

pytestmark = needs_poppler

LEFT, RIGHT, TOP, BOTTOM = 20 * POINT, 18 * POINT, 24 * POINT, 22 * POINT
"""Margins of the page; what the templates say."""
LINES = 6 * POINT
"""Between the text and the running lines."""
SLACK = 1.0  # points: a stroke stands half outside what it bounds
LEAST_ROWS = 6
LEAST_FIGURE = 40 * POINT
CASES = [
    (name, paper, redacted)
    for name in hard.MAKERS
    for paper, redacted in (("a4", False), ("us-letter", True), ("a4", True), ("us-letter", False))
    # those that take long are set once on each paper
    if name not in {"findings", "photos"} or redacted == (paper == "us-letter")
]


@dataclass(frozen=True)
class Printed:
    """A dossier as data and as its pages are read again."""

    data: Data
    pages: list[Sheet]

    @property
    def text(self) -> str:
        """Everything between head and foot, in the order of the file, without white space."""
        return squeezed(
            "".join(word.text for page in self.pages for word in page.words if inside(word, page))
        )


def inside(word: Box, page: Sheet) -> bool:
    """Whether a word stands between the running lines."""
    return word.bottom > TOP - LINES / 2 and word.top < page.height - BOTTOM + LINES / 2


def body(page: Sheet) -> list[Box]:
    return [row for row in page.rows() if inside(row, page)]


def words_are_inside(pages: list[Sheet]) -> None:
    """No word begins or ends in a margin."""
    for number, page in enumerate(pages, 1):
        for word in page.words:
            assert LEFT - SLACK <= word.left <= word.right <= page.width - RIGHT + SLACK, (number, word)
            assert 0 < word.top < word.bottom < page.height, (number, word)


def margins_are_clear(pages: list[Sheet], rise: float = 2.0) -> None:
    """Nothing is drawn in the margins or against the running lines; ``rise`` points above the text may be an accent's."""
    for number, page in enumerate(pages, 1):
        scale = INK_PPI / 72
        left, right = int((LEFT - 2) * scale), int((page.width - RIGHT + 2) * scale) + 1
        foot = int((page.height - BOTTOM + 2) * scale) + 1, int((page.height - BOTTOM + LINES - 2) * scale)
        assert page.ink.any(), number
        assert not page.ink[:, :left].any(), number
        assert not page.ink[:, right:].any(), number
        assert not page.ink[foot[0] : foot[1]].any(), number
        assert not page.ink[int((TOP - LINES + 2) * scale) : int((TOP - rise) * scale)].any(), number


Print = Callable[[str, Paper, bool], Printed]


@pytest.fixture(scope="module")
def printed(typesetter: Typesetter, tmp_path_factory: pytest.TempPathFactory) -> Print:
    @cache
    def made(name: str, paper: Paper, redacted: bool) -> Printed:  # noqa: FBT001
        ready = hard.ready(name, paper, redacted=redacted)
        folder: Path = tmp_path_factory.mktemp(name)
        return Printed(ready[0], sheets(typesetter.typeset(*ready, builders.ISSUED), folder))

    return made


every_case = pytest.mark.parametrize(("name", "paper", "redacted"), CASES)


@every_case
def test_words_and_figures_stay_inside_the_margins(
    printed: Print,
    name: str,
    paper: Paper,
    redacted: bool,  # noqa: FBT001
) -> None:
    made = printed(name, paper, redacted).pages
    words_are_inside(made)
    for number, page in enumerate(made, 1):
        for figure in page.figures:
            assert LEFT - SLACK <= figure.left < figure.right <= page.width - RIGHT + SLACK, (number, figure)
            assert TOP - SLACK <= figure.top < figure.bottom <= page.height - BOTTOM + SLACK, (number, figure)


@every_case
def test_nothing_is_drawn_in_the_margins_or_against_the_running_lines(
    printed: Print,
    name: str,
    paper: Paper,
    redacted: bool,  # noqa: FBT001
) -> None:
    margins_are_clear(printed(name, paper, redacted).pages)


@every_case
def test_no_page_is_almost_empty(printed: Print, name: str, paper: Paper, redacted: bool) -> None:  # noqa: FBT001
    for number, page in enumerate(printed(name, paper, redacted).pages[:-1], 1):
        figure = max((one.bottom - one.top for one in page.figures), default=0.0)
        assert len(body(page)) >= LEAST_ROWS or figure >= LEAST_FIGURE, number


@every_case
def test_no_heading_and_no_table_head_ends_a_page(
    printed: Print,
    name: str,
    paper: Paper,
    redacted: bool,  # noqa: FBT001
) -> None:
    made = printed(name, paper, redacted)
    heads = headings(made.data)
    assert len(heads) > 10
    for number, page in enumerate(made.pages, 1):
        last = body(page)[-1].text
        under = max((one.bottom for one in page.figures), default=0.0) > body(page)[-1].bottom
        assert under or last not in heads, number


def headings(data: Data) -> set[str]:
    """What may not be the last row of a page, without white space."""
    found = {str(section["title"]) for section in data["sections"] if "hero" not in section}
    for part in parts(data):
        if part.get("kind") == "heading":
            found.add(str(part["text"]))
        if part.get("kind") == "table":
            found.add("".join(column["head"] for column in part["columns"]))
        if part.get("kind") == "matrix":
            found.add("".join(part["heads"]))
            found |= {
                "".join(span["t"] for span in [*clause["title"], *clause["outcomes"]])
                for clause in part["clauses"]
            }
    return {squeezed(text) for text in found}


@every_case
def test_what_the_data_says_stands_whole_on_the_pages(
    printed: Print,
    name: str,
    paper: Paper,
    redacted: bool,  # noqa: FBT001
) -> None:
    made = printed(name, paper, redacted)
    text, sought = made.text, matrix_texts(made.data)
    assert len(sought) >= (2 * hard.FINDINGS if name == "findings" else 2)
    assert [each for each in sought if squeezed(as_printed(each)) not in text] == []
    assert "\u200b" not in text
    assert "\u00ad" not in text


def as_printed(text: str) -> str:
    """A text of the hostile dossier as it must be found."""
    for typed, found in hostile.STRINGS.items():
        text = text.replace(typed, found)
    return text


def matrix_texts(data: Data) -> list[str]:
    """Title and reason of each requirement."""
    rows = [
        row
        for part in parts(data)
        if part.get("kind") == "matrix"
        for clause in part["clauses"]
        for row in clause["rows"]
    ]
    return [
        span["t"]
        for row in rows
        for span in (*row["title"], row["reason"][0])
        if "t" in span and "chip" not in span
    ]


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_serials_and_names_stand_whole_on_the_pages(printed: Print, paper: Paper) -> None:
    text = printed("groups", paper, False).text  # noqa: FBT003
    for number in range(1, hard.POSITIONS + 1):
        assert text.count(hard.serial(number)) >= 1
        assert hard.serial(number + 100) in text
    assert [each for each in hard.NAMES if squeezed(each) not in text] == []
    assert hostile.LONG in printed("hostile", paper, False).text  # noqa: FBT003


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_contents_of_many_headings_take_one_page(printed: Print, paper: Paper) -> None:
    made = printed("groups", paper, False)  # noqa: FBT003
    ids = [section["id"] for section in made.data["sections"]]
    after = made.data["sections"][ids.index("contents") + 1]
    assert sum(part.get("kind") == "heading" for part in parts(made.data)) > 90
    assert body(made.pages[2])[0].text == squeezed(str(after["title"]))


def test_every_reason_can_be_told_from_the_others(printed: Print) -> None:
    text = printed("findings", "a4", False).text  # noqa: FBT003
    missing = [n for n in range(hard.FINDINGS) if squeezed(f"Reason {n:04d} rests on") not in text]
    assert missing == []
    assert squeezed(hard.said(0, hard.LONG_REASON)) in text


def test_all_photos_are_shown_and_none_is_cut(printed: Print) -> None:
    made = printed("photos", "a4", False)  # noqa: FBT003
    large = [one for page in made.pages for one in page.figures if one.bottom - one.top >= LEAST_FIGURE]
    assert len(large) >= hard.PHOTOS
    sides = np.array([(one.right - one.left) / (one.bottom - one.top) for one in large if "F0" in one.text])
    assert len(sides) >= hard.PHOTOS
    assert np.allclose(sides, 4 / 3, atol=0.02)


def test_a_redacted_dossier_has_no_name(printed: Print) -> None:
    for name in ("groups", "empty"):
        made = printed(name, "a4", True)  # noqa: FBT003
        assert "Παπαδοπούλου" not in made.text
        assert "Παπαδοπούλου" not in texts(made.data)
