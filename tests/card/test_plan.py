"""The card laid out: rows in the order of the manual, numbered page by page, and what each of them asks for."""

from itertools import groupby
from typing import Any

import pytest

from evidence.card import Plan, card, instruments_of, plan
from evidence.card._pages import CONTENT, HEAD_OF_ROWS
from evidence.dossier import Data, Paper
from evidence.model.profile import Profile
from tests.card.builders import blocks, criterion, demo_profile, group, profile, source, straining, value

PAPERS: tuple[Paper, ...] = ("a4", "us-letter")


def kinds(laid: Plan) -> list[tuple[str, str]]:
    return [(placed.row.kind, placed.row.name) for placed in laid.rows() if placed.row.kind != "again"]


def lines(the_profile: Profile) -> dict[str, Data]:
    """Rows of tables by what stands first in them."""
    return {
        row["title"]: row
        for block in blocks(source(the_profile))
        if block["kind"] == "rows"
        for row in block["rows"]
    }


def test_steps_come_in_the_order_of_the_manual() -> None:
    the_profile = demo_profile()
    laid = plan(the_profile, ("p1",), "a4")

    steps = [placed.row.name for placed in laid.rows() if placed.row.kind == "step"]
    assert steps == [step.id for step in the_profile.steps]


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("positions", [1, 2, 6])
def test_no_page_is_fuller_than_the_paper_and_rows_count_from_one(paper: Paper, positions: int) -> None:
    for the_profile in (demo_profile(), straining()):
        laid = plan(the_profile, [f"p{number}" for number in range(1, positions + 1)], paper)
        for page in laid.pages:
            heads = sum(1 for table, _ in groupby(page, key=lambda each: each.piece.table) if table)
            assert sum(each.piece.height for each in page) + HEAD_OF_ROWS * heads <= CONTENT[paper]
            numbers = [each.number for each in page if each.piece.row is not None]
            assert numbers == list(range(1, len(numbers) + 1))
        assert len({(each.page, each.number) for each in laid.rows()}) == len(list(laid.rows()))


def test_each_position_begins_a_page_of_its_own() -> None:
    laid = plan(demo_profile(), ("p1", "p2"), "a4")

    first = next(each for page in laid.pages for each in page if each.piece.subject == "p2")
    assert (first.piece.part, laid.pages[first.page - 1][0]) == ("title", first)


def test_a_step_has_the_box_of_its_value_and_its_screws_follow_it() -> None:
    the_profile = profile(
        [
            {"id": "drill", "screws": "floor"},
            {"id": "tighten", "screws": "floor", "yields": ["torque"]},
            {"id": "measure", "yields": ["hook-position"]},
            {"id": "test", "yields": ["play-lengthwise", "play-crosswise", "false-lock"]},
        ],
        [
            value("play-vertical"),
            value("hook-position"),
            value("play-lengthwise"),
            value("play-crosswise"),
            criterion("counted", "false", count="false-lock", at_least="6"),
        ],
        screws=[group(), group("wall")],
    )
    laid = plan(the_profile, ("p1",), "a4")

    assert kinds(laid) == [
        ("system", ""),
        ("step", "drill"),
        ("step", "tighten"),
        ("screws", "floor"),
        ("step", "measure"),
        ("step", "test"),
        ("value", "play-lengthwise"),
        ("value", "play-crosswise"),
        ("cycles", "false-lock"),
        ("screws", "wall"),
        ("value", "play-vertical"),
    ]
    assert laid.place("value", "p1", "hook-position") == laid.place("step", "p1", "measure")
    with pytest.raises(KeyError):
        laid.place("step", "p2", "drill")


@pytest.mark.parametrize(
    ("fields", "told"),
    [
        ({"low": "118.0 mm", "high": "122.0 mm"}, "118.0 mm to 122.0 mm"),
        ({"high": "3,0 mm"}, "at most 3.0 mm"),
        ({"low": "4 3/8 in"}, "at least 4.375 in"),
        ({"nominal": "120 mm"}, "nominal 120 mm"),
        ({"limit": "not-held"}, "limit: see manual"),
        # a number that may not bind this vehicle is not printed as if it did
        ({"high": "3 mm", "applies": {"vehicle.type": ["C"]}}, "limit: see manual"),
    ],
)
def test_the_limit_stands_beside_the_box(fields: dict[str, Any], told: str) -> None:
    row = lines(profile(items=[value("hook-position", title={"en": "Hook"}, **fields)]))["Hook"]

    assert row["record"] == [told]
    assert row["page"] == "p.\u00a014"
    assert [box["unit"] for box in row["boxes"]] in (["mm"], ["in"], [""])


def test_a_step_without_a_value_has_no_value_box_and_names_its_photos() -> None:
    step = {"id": "look", "title": {"en": "Look"}, "yields": ["overview", "test-channel"]}
    expected = [{"role": role, "per": "position"} for role in ("overview", "test-channel")]
    row = lines(profile([step], expected=expected))["Look"]

    assert (row["boxes"], row["record"], row["page"]) == ([], ["Photo: Overview"], "p.\u00a09")


def test_cycles_have_boxes_for_done_and_without_fault() -> None:
    demands = [criterion("counted", f"c{n}", count="false-lock", at_least=n) for n in ("6", "4")]
    row = lines(profile(items=demands))["False-lock test"]

    assert [box["label"] for box in row["boxes"]] == ["done", "without fault"]
    assert row["record"] == ["at least 6 times"]


def test_every_screw_has_its_box_with_the_limits_of_its_group() -> None:
    torque = {"quantity": "screws.torque"}
    the_profile = profile(
        items=[
            criterion("within", "m8", "screws", **torque, low="22 N·m", applies={"screws.thread": ["M8"]}),
            criterion("within", "m6", "screws", **torque, high="9 N·m", applies={"screws.thread": ["M6"]}),
        ],
        screws=[group(count=30), group("wall", 120, thread="M6")],
    )
    screws = [block for block in blocks(source(the_profile)) if block["kind"] == "screws"]

    boxes = [(block["boxes"][0], block["boxes"][-1]) for block in screws]
    assert boxes == [("1", "24"), ("25", "30"), ("1", "24"), ("25", "48"), ("49", "72"), ("73", "96")]
    assert [block["limits"] for block in screws[:3]] == [
        "at least 22 N·m, p.\u00a014",
        "at least 22 N·m, p.\u00a014",
        "at most 9 N·m, p.\u00a014",
    ]
    assert {block["unit"] for block in screws} == {"N·m"}
    assert [block["more"] for block in screws] == [
        "",
        "",
        "",
        "",
        "",
        "24 more screws: write them on a copy of this page.",
    ]
    assert [bool(block["fields"]) for block in screws] == [True, False, True, False, False, False]


def test_photos_stand_with_their_position_and_papers_apart() -> None:
    expected = [
        {"role": "witness-marks", "per": "screws"},
        {"role": "overview", "per": "position"},
        {"role": "work-card", "per": "vehicle"},
        {"role": "which-vehicle", "per": "vehicle"},
        {"role": "test-channel", "per": "position"},
    ]
    made = blocks(source(profile(expected=expected)))

    assert [block["roles"] for block in made if block["kind"] == "photos"] == [
        ["Witness marks", "Overview"],
        ["Measured curve"],
        ["Which vehicle"],
    ]
    heads = [(block["text"], "ticket" in block["note"]) for block in made if block["kind"] == "photos-title"]
    assert heads == [("Photos", True), ("Logs and papers", False), ("Photos", True)]


def test_the_head_names_vehicle_manual_and_card_and_leaves_squares_for_a_vin() -> None:
    the_source = source(demo_profile())
    (head,) = [block for block in blocks(the_source) if block["kind"] == "header"]
    facts = {fact["label"]: fact["value"] for fact in head["facts"]}

    assert (facts["Job"], facts["Build number"]) == ("AMB-0417", "BW-2231")
    assert facts["Manual"] == "APH-H2-FIT, revision C, issued 2025-10-20"
    assert facts["Fitting profile"] == "heron-2@C"
    assert head["vin"]["letters"] == [" "] * 17
    assert head["card"] == f"card {the_source.plan.id}"
    known = source(demo_profile(), vehicle={"vin": "1M8GDM9AXKP042788"})
    assert "".join(blocks(known)[0]["vin"]["letters"]) == "1M8GDM9AXKP042788"


def test_north_america_reads_cot() -> None:
    expected = [{"role": "label-stretcher", "per": "position"}]
    the_profile = profile(expected=expected)

    roles = {
        paper: next(b for b in blocks(source(the_profile, paper=paper)) if b["kind"] == "photos")["roles"]
        for paper in PAPERS
    }
    assert roles == {"a4": ["Label of the stretcher"], "us-letter": ["Label of the cot"]}


def test_the_same_card_has_the_same_id_and_another_layout_another() -> None:
    laid = [
        plan(demo_profile(), ("p1",), "a4"),
        plan(demo_profile(), ("p1",), "a4"),
        plan(demo_profile(), ("p1",), "us-letter"),
        plan(demo_profile(), ("p1", "p2"), "a4"),
        plan(straining(), ("p1",), "a4"),
    ]

    assert laid[0] == laid[1]
    assert len({each.id for each in laid}) == 4


def test_pages_say_their_number_and_whose_rows_they_hold() -> None:
    pages = card(source(demo_profile(), positions=2))["pages"]

    assert [page["number"] for page in pages] == [
        f"Page {n} of {len(pages)}" for n in range(1, len(pages) + 1)
    ]
    assert pages[0]["subjects"] == "Position p1"
    assert pages[-1]["subjects"].endswith("Whole vehicle")


def test_cycles_called_like_a_photo_ask_for_no_photo() -> None:
    the_profile = profile(
        [{"id": "test", "yields": ["charging", "overview", "label-system"], "title": {"en": "Test"}}],
        [criterion("counted", "lamp", count="charging", at_least="2", title={"en": "Lamp"})],
        expected=[{"role": "overview", "per": "position"}],
    )

    # the label is asked by a demand, the overview is expected, of charging only cycles are
    assert lines(the_profile)["Test"]["record"] == ["Photo: Overview", "Photo: Label of the fastening system"]


def test_an_instrument_is_printed_for_every_value_and_the_record_has_the_same() -> None:
    the_profile = profile(items=[value("hook-position"), value("release-force", low="1 N", high="2 N")])

    who = next(block for block in blocks(source(the_profile)) if block["kind"] == "who")

    kinds = [row["kind"] for row in who["instruments"]["rows"]]
    assert kinds == ["Caliper", "Torque wrench", "Force gauge", ""]
    assert [kind.value for kind in instruments_of(the_profile)] == ["caliper", "torque-wrench", "force-gauge"]
