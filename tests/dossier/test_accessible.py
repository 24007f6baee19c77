"""What readers who do not see the pages, or see no colours, get of a dossier."""

import io
import re
from itertools import combinations, pairwise, product
from typing import Any

import pytest
from pypdf import PdfReader

from evidence import drawing
from evidence.dossier import DossierInput, build
from evidence.drawing import shares, timeline
from evidence.drawing._axes import BEYOND, PALE
from evidence.drawing._palette import PAPER
from evidence.drawing.chip import chip_svg
from evidence.drawing.plot import _STYLES
from evidence.model.names import Outcome
from tests.dossier import builders, test_hook_position, test_lock_window
from tests.dossier.sheets import below, elements
from tests.dossier.test_build import parts
from tests.dossier.test_hook_position import speak, words

TEXT, GRAPHIC = 4.5, 3.0
"""Least contrast; published: Web Content Accessibility Guidelines 2.1, 1.4.3 and 1.4.11, W3C 2018, online."""
NUMBER = re.compile(r"[0-9]+(?:\.[0-9]+)?")
GROUNDS = {
    "paper": PAPER,
    "band": drawing.BAND,
    "caution": drawing.CAUTION.ground,
    **{outcome.value: tint.ground for outcome, tint in drawing.OUTCOME_TINTS.items()},
}
INKS = {"ink": drawing.INK, "muted": drawing.MUTED, "accent": drawing.ACCENT}
OWN = [(tint.ink, tint.ground) for tint in (*drawing.OUTCOME_TINTS.values(), drawing.CAUTION)]


def luminance(colour: str) -> float:
    """Of ``#rrggbb``, from 0 to 1; published: Web Content Accessibility Guidelines 2.1, relative luminance, W3C 2018."""
    linear = []
    for start in (1, 3, 5):
        value = int(colour[start : start + 2], 16) / 255
        linear.append(value / 12.92 if value <= 0.03928 else ((value + 0.055) / 1.055) ** 2.4)
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def sources() -> dict[str, DossierInput]:
    return {
        "open": builders.open_(),
        "measured": test_hook_position.source(),
        "windows": test_lock_window.source(test_lock_window.LOCKED, test_lock_window.OPEN),
    }


def test_the_formula_gives_the_contrast_of_black_on_white() -> None:
    # published: Web Content Accessibility Guidelines 2.1, contrast ratio, W3C 2018: from 1:1 to 21:1
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#777777") == 1


@pytest.mark.parametrize(("ink", "ground"), list(product(INKS, GROUNDS)))
def test_every_ink_can_be_read_on_every_ground(ink: str, ground: str) -> None:
    assert contrast(INKS[ink], GROUNDS[ground]) >= TEXT


@pytest.mark.parametrize(("ink", "ground"), OWN)
def test_outcomes_can_be_read_on_their_own_ground_and_on_paper(ink: str, ground: str) -> None:
    assert contrast(ink, ground) >= TEXT
    assert contrast(ink, PAPER) >= TEXT


@pytest.mark.parametrize("ground", [PAPER, BEYOND])
def test_lines_of_a_plot_are_seen_on_its_grounds(ground: str) -> None:
    assert min(contrast(colour, ground) for colour in (PALE, drawing.INK, drawing.MUTED)) >= GRAPHIC


def test_letters_of_every_drawing_can_be_read() -> None:
    found = set()
    for source in sources().values():
        for drawn in build(source, speak)["svg"].values():
            for text in re.findall(r"<text[^>]*>", drawn):
                colour = re.search(r'fill="(#[0-9a-f]{6})"', text)
                assert colour is not None, text
                found.add(colour[1])
    assert found
    assert [colour for colour in found if contrast(colour, PAPER) < TEXT] == []


@pytest.mark.parametrize("name", ["finished", "open", "redacted", "hostile"])
def test_headings_never_skip_a_level_and_begin_with_the_first(pdfs: dict[str, bytes], name: str) -> None:
    kinds = [str(entry["/S"]) for entry in elements(PdfReader(io.BytesIO(pdfs[name])))]
    levels = [int(kind[2:]) for kind in kinds if re.fullmatch(r"/H[1-6]", kind)]
    assert levels[0] == 1
    assert len(levels) > 20
    assert all(after - before <= 1 for before, after in pairwise(levels))


@pytest.mark.parametrize("name", ["finished", "open", "redacted", "hostile"])
def test_every_table_names_its_columns(pdfs: dict[str, bytes], name: str) -> None:
    tables = [entry for entry in elements(PdfReader(io.BytesIO(pdfs[name]))) if entry["/S"] == "/Table"]
    assert len(tables) > 5
    for table in tables:
        head = next(entry for entry in below(table["/K"]) if entry["/S"] == "/TR")
        cells = list(below(head["/K"]))
        assert {str(cell["/S"]) for cell in cells} == {"/TH"}
        assert {str(scope(cell)) for cell in cells} == {"/Column"}


@pytest.mark.parametrize("name", ["finished", "open", "redacted", "hostile"])
def test_no_row_of_values_is_told_as_the_foot_of_its_table(pdfs: dict[str, bytes], name: str) -> None:
    kinds = [str(entry["/S"]) for entry in elements(PdfReader(io.BytesIO(pdfs[name])))]
    assert kinds.count("/TBody") > 5
    assert kinds.count("/TFoot") == 0


def scope(cell: Any) -> Any:
    """Which cells a head cell speaks of."""
    given = cell["/A"] if isinstance(cell["/A"], list) else [cell["/A"]]
    return next(one.get_object()["/Scope"] for one in given if "/Scope" in one.get_object())


@pytest.mark.parametrize("name", ["finished", "open", "redacted", "hostile"])
def test_every_figure_and_the_document_say_what_they_are(pdfs: dict[str, bytes], name: str) -> None:
    reader = PdfReader(io.BytesIO(pdfs[name]))
    root = reader.trailer["/Root"].get_object()
    figures = [entry for entry in elements(reader) if entry["/S"] == "/Figure"]
    assert len(figures) > 3
    assert [entry for entry in figures if len(str(entry.get("/Alt", ""))) < len("E001")] == []
    assert root["/Lang"] == "en"  # type: ignore[index]
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]  # type: ignore[index]


@pytest.mark.parametrize("name", ["open", "measured", "windows"])
def test_the_alternative_text_of_a_drawing_gives_the_numbers_beside_it(name: str) -> None:
    checked = 0
    for part in parts(build(sources()[name], speak)):
        if "alt" not in part or "svg" not in part:
            continue
        shown = [part.get("low", ""), part.get("high", "")]
        shown += [words(lane["value"]) for lane in part.get("lanes", ())]
        shown += [key["value"] for key in part.get("keys", ())]
        shown += [words(row["value"]) for row in part.get("rows", ()) if row.get("label") == "Torques"]
        told = NUMBER.findall(part["alt"])
        numbers = [number for text in shown for number in NUMBER.findall(text)]
        assert [number for number in numbers if number not in told] == [], part["alt"]
        assert not re.search(r"(^|[;,:]) [a-z]+ [;,]", part["alt"]), part["alt"]
        checked += len(numbers)
    assert checked > 10


def without_colour(svg: str) -> str:
    """A drawing in which only shape is left."""
    return re.sub(r"#[0-9a-f]{6}", "", svg)


def test_outcomes_differ_by_shape() -> None:
    shapes = [without_colour(chip_svg(outcome)) for outcome in Outcome]
    assert len(set(shapes)) == len(shapes) == 5


def test_what_the_timeline_has_a_key_for_differs_by_shape() -> None:
    kinds: tuple[timeline.Kind, ...] = ("step", "redo", "check", "photo", "wait", "valid")
    shapes = [
        without_colour(timeline.key_svg(kind, wrong=wrong)) for kind in kinds for wrong in (False, True)
    ]
    assert len(set(shapes)) == len(shapes)


def test_the_states_of_a_lock_window_differ_by_shape() -> None:
    shapes = [without_colour(key) for key in shares.key_svgs(("#123456", "#654321"))]
    assert len(set(shapes)) == len(shapes) == 3


def test_curves_of_a_plot_differ_without_colour() -> None:
    for (_, width, dashes), (_, other_width, other_dashes) in combinations(_STYLES, 2):
        assert dashes != other_dashes or abs(width - other_width) >= 0.5
