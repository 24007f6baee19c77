"""Anchorage worksheets in a dossier: only where one is there, with who decides first and last."""

import io
import re
from dataclasses import replace

import pytest
from pypdf import PdfReader

from evidence.anchoring import Sheet, computed
from evidence.dossier import Data, DossierInput, Paper, build
from evidence.measure.anchorage import NOT_COVERED
from evidence.phrases import say
from evidence.typeset import Typesetter
from tests.dossier import builders
from tests.dossier.test_build import anchors_of, parts
from tests.dossier.test_hook_position import speak, words
from tests.measure.sheets import WHOLE, sheet

TIGHT = (
    "plate: {front: 300 mm, rear: -300 mm, left: -200 mm, right: 200 mm}\n"
    "tightening:\n  - {thread: M10, torque: 90 N·m, nut_factor_low: 0.15, nut_factor_high: 0.20, nut_factor_source: data sheet}\n"
)


def source(*texts: str, subject: str = "vehicle", name: str = "anchorage.yaml") -> DossierInput:
    sheets = tuple(Sheet(name, subject, text.encode(), computed(text.encode(), name)) for text in texts)
    return replace(builders.finished(), anchorages=sheets)


def section(given: DossierInput) -> Data:
    return next(one for one in build(given, speak)["sections"] if one["id"] == "anchorage")


def test_a_job_without_a_sheet_has_no_such_section() -> None:
    assert "anchorage" not in [one["id"] for one in build(builders.finished(), speak)["sections"]]


def test_it_stands_after_the_pull_test_and_never_on_the_front_sheet() -> None:
    data = build(source(WHOLE), speak)
    order = [one["id"] for one in data["sections"]]
    front = data["sections"][0]

    assert order.index("coverage") < order.index("anchorage") < order.index("photos")
    assert "Heron 2 floor plate" not in words(front)
    assert "worksheet" not in words(front).lower()


def test_every_bolt_of_every_direction_has_its_row_and_its_place_in_the_drawing() -> None:
    given = source(WHOLE)
    found = given.anchorages[0].found
    tables = [part for part in parts(section(given)) if part.get("kind") == "table"]
    plots = [part for part in parts(section(given)) if part.get("kind") == "plot"]

    assert [len(each["rows"]) for each in tables] == [len(case.bolts) for case in found.cases]
    assert len(plots) == len(found.cases)
    for plot, case in zip(plots, found.cases, strict=True):
        for load in case.bolts:
            assert f"{load.bolt.id} pull {round(load.tension_n)} N" in plot["alt"]
        assert str(case.level) in plot["alt"]


# computed by hand: 24517 N at 500 mm over a square of four bolts 100 and 500 mm from the front edge, equal areas:
# T = M d / sum(d^2), 12258.3 N·m * 0.5 m / (2 * (0.25 + 0.01) m^2) = 11787 N
def test_a_number_worked_out_by_hand_stands_in_the_table() -> None:
    table = next(part for part in parts(section(source(sheet()))) if part.get("kind") == "table")
    rows = {words(row["cells"][0]): [words(cell) for cell in row["cells"]] for row in table["rows"]}

    assert rows["B3"][2] == "11787"


def test_who_decides_is_said_before_and_after_the_figures_and_what_was_not_looked_at() -> None:
    said = words(section(source(WHOLE)))
    decides = say("anchorage-decides")

    assert said.count(decides) == 2
    assert said.index(decides) < said.index("Forward, 10 g") < said.rindex(decides)
    assert all(say(code) in said for code in NOT_COVERED)
    assert "Computed by anchorage/1 from anchorage.yaml" in said
    assert not re.search(r"\b(approved|compliant|certified|safe)\b", said)


def test_a_small_reserve_a_high_preload_and_a_gaping_joint_are_cautions_with_what_to_do() -> None:
    said = words(section(source(sheet(levels="forward 90 g", more=TIGHT))))

    for code in ("anchorage-below-one", "anchorage-preload-high", "anchorage-joint-opens"):
        assert say(code, {"thread": "M10"}) in said
    assert "licensed engineer" in said


def test_a_sheet_of_one_place_says_so_and_each_sheet_has_its_heading() -> None:
    assert "Floor plate, position p1" in words(
        section(source(sheet(), subject="p1", name="anchorage-p1.yaml"))
    )
    heads = [part for part in parts(section(source(WHOLE, sheet()))) if part.get("level") == 2]

    assert len(heads) == 2


def test_links_stay_whole_beside_it() -> None:
    data = build(source(WHOLE), speak)

    assert {part["to"] for part in parts(data) if "to" in part} <= set(anchors_of(data))


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_the_section_is_set_with_sixty_bolts(typesetter: Typesetter, paper: Paper) -> None:
    places = tuple((x, y) for x in range(-290, 300, 20) for y in (-100, 100))
    given = replace(source(sheet(places=places)), paper=paper)
    pdf = typesetter.typeset(*builders.ready(given, speak), builders.ISSUED)
    pages = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages)

    assert len(places) == 60
    assert "B60" in pages
    assert "Anchorage worksheet" in pages
