"""Type tests on paper: every field of every report against the vehicle, who argued, where the paper is, which edition."""

import io
import re
from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from pypdf import PdfReader

from evidence.dossier import Data, DossierInput, Paper, build
from evidence.judge import TYPES
from evidence.judge._scope import subjects
from evidence.library import editions
from evidence.model.record import JobRecord
from evidence.phrases.coverage_en import COVERAGE_PAGE
from evidence.register.demand import Demand, Demands
from evidence.typeset import Typesetter
from tests.dossier import builders, judged, records
from tests.dossier.test_build import anchors_of, parts
from tests.dossier.test_hook_position import speak, words
from tests.judge.builders import asking, case, demand
from tests.judge.builders import paper as paper_item

LONG = (
    "SERIAL-" + "0123456789" * 8 + "-AB"
)  # 90 characters: as long as a line of the record may be read aloud
LAB = {"id": "w7", "functions": ["laboratory"]}
MASS = {"claim": "test-mass", "fact": "position.carried-mass", "how": "at-least"}
TRAVEL = {"claim": "displacement", "fact": "position.free-travel", "how": "at-most"}
FLOOR = {"claim": "floor", "fact": "position.floor"}
EDITION = {"claim": "test-standard", "how": "one-of", "values": ["EN 1789:2020"]}
FIELDS: list[dict[str, Any]] = [
    EDITION,
    {"claim": "system-model", "fact": "position.system-model"},
    FLOOR,
    MASS,
    TRAVEL,
    {"claim": "directions", "how": "stated"},
]
CLAIMS = {
    "test-standard": "EN 1789:2020",
    "system-model": "Heron 2",
    "floor": "plywood-22",
    "test-mass": "255 kg",
    "directions": "front",
}
PLACE = {"floor": "steel-plate-4", "carried_mass": "250 kg", "free_travel": "60 mm"}
HELD = {
    "by": "Alder Point Handling",
    "reference": "AP-F-77",
    "sha256": "ab" * 32,
    "seen_by": "w3",
    "seen_on": "2026-02-11",
}


def covering(
    *fields: dict[str, Any], name: str = "fits", role: str = "type-test-report", **more: Any
) -> Demand:
    made = asking("covers", evidence_from=[role], fields=list(fields), id=name, title={"en": name}, **more)
    return demand(made)


def report(claims: dict[str, str], **more: Any) -> Data:
    listed = [{"name": name, "value": value, "page": "1"} for name, value in claims.items()]
    return {
        "id": "d1",
        "role": "type-test-report",
        "subject": "vehicle",
        "exhibit": "E004",
        "claims": listed,
        **more,
    }


def source(
    *demands: Demand,
    claims: dict[str, str] | None = None,
    places: tuple[dict[str, Any], ...] = (PLACE,),
    papers: list[Data] | None = None,
    arguments: tuple[Data, ...] = (),
    **options: Any,
) -> DossierInput:
    """A vehicle whose findings of coverage are really judged."""
    record = records.finished_record()
    record["positions"] = [
        {**records.POSITION, "id": f"p{number}", **each} for number, each in enumerate(places, start=1)
    ]
    record["people"] = [*record["people"], LAB]
    record["documents"] = papers if papers is not None else [report(CLAIMS if claims is None else claims)]
    record["arguments"] = list(arguments)
    given = JobRecord.read({key: value for key, value in record.items() if value is not None})
    the_case = case(given, items={"E004": paper_item("E004")}, as_of=date(2026, 3, 5))
    found = [
        TYPES["covers"](each, subject, the_case).document()
        for each in demands
        for subject in subjects(each.criterion, given)
    ]
    plain = builders.source_from(
        record,
        builders.manifest_for(record, judged.finished_findings() + found, [], builders.EUROPEAN_PACKS),
        **options,
    )
    kept = tuple(one for one in plain.demands.criteria if not one.requirement.startswith("en@1"))
    return replace(plain, demands=Demands((*kept, *demands), ()), editions=editions())


def section(given: DossierInput) -> Data:
    return next(one for one in build(given, speak)["sections"] if one["id"] == "coverage")


def rows(given: DossierInput) -> list[tuple[str, ...]]:
    """The cells of the first table of coverage as text."""
    table = next(part for part in parts(section(given)) if part.get("kind") == "table")
    return [tuple(words(cell) for cell in each["cells"]) for each in table["rows"]]


def cells(given: DossierInput, field: str) -> tuple[str, ...]:
    return next(each for each in rows(given) if each[0] == field)


def test_each_field_stands_with_report_vehicle_and_answer() -> None:
    given = source(covering(*FIELDS))

    assert [(each[0], each[3]) for each in rows(given)] == [
        ("Test standard", "met same"),
        ("System", "met same"),
        ("Floor", "not met outside"),
        ("Test mass", "met within the tested range"),
        ("Displacement", "not shown not stated"),
        ("Directions", "met stated"),
    ]
    assert cells(given, "Test mass")[1].startswith("255 kg")
    assert "p. 1" in cells(given, "Test mass")[1]
    assert cells(given, "Test mass")[2] == "tested must be at least 250 kg"
    assert cells(given, "Displacement")[1:3] == ("not stated", "tested must be at most 60 mm")
    assert cells(given, "Test standard")[2] == "asked for: EN 1789:2020"


def test_what_is_open_on_the_vehicles_side_says_so() -> None:
    given = source(covering(MASS), places=({"floor": "steel-plate-4"},))

    assert cells(given, "Test mass")[2:4] == (
        "unknown",
        "not shown open on the vehicle's side",
    )


def test_tests_of_which_only_some_reach_and_values_that_cannot_be_used() -> None:
    some = report({"test-mass": "240 kg"})
    some["claims"].append({"name": "test-mass", "value": "255 kg"})
    torn = report({})
    torn["claims"].append({"name": "test-mass", "value": {"state": "illegible"}})

    assert (
        cells(source(covering(MASS), papers=[some]), "Test mass")[3] == "undecided not every test reaches it"
    )
    assert (
        cells(source(covering(MASS), papers=[torn]), "Test mass")[3]
        == "undecided paper or value cannot be used"
    )


def test_a_demand_that_nobody_confirmed_is_compared_only() -> None:
    given = source(covering(FLOOR, mark="secondary"))

    assert cells(given, "Floor")[3] == "not shown outside compared only: the demand is not confirmed"


def test_places_that_have_the_same_are_one_row_and_others_are_told_apart() -> None:
    alike = source(covering(FLOOR), places=(PLACE, PLACE))
    unlike = source(covering(FLOOR), places=(PLACE, {**PLACE, "floor": "plywood-22"}))

    assert cells(alike, "Floor")[2] == "steel-plate-4 position p1, position p2"
    assert [(each[2], each[3]) for each in rows(unlike)] == [
        ("steel-plate-4 position p1", "not met outside"),
        ("plywood-22 position p2", "met same"),
    ]


def test_several_demands_that_ask_alike_share_a_row_and_lead_to_each() -> None:
    given = source(covering(FLOOR), covering(FLOOR, EDITION, name="again"))
    data = build(given, speak)
    row = next(
        each for each in parts(section(given)) if "cells" in each and words(each["cells"][0]) == "Floor"
    )
    linked = [part["to"] for part in parts(row["cells"][5]) if "to" in part]

    assert len(linked) == 2
    for anchor in linked:
        line = next(part for part in parts(data) if anchor in part.get("anchors", ()))
        assert {part.get("to") for part in parts(line)} & set(row["anchors"])


def test_every_link_has_exactly_one_target() -> None:
    argument = {
        "id": "r1",
        "document": "d1",
        "claim": "floor",
        "subject": "p1",
        "by": "w7",
        "at": "2026-03-02",
        "exhibit": "E005",
        "note": "n1",
    }
    for redacted in (False, True):
        data = build(source(covering(*FIELDS), arguments=(argument,), redacted=redacted), speak)
        anchors = anchors_of(data)

        assert {part["to"] for part in parts(data) if "to" in part} <= set(anchors)
        assert len(anchors) == len(set(anchors))


@pytest.mark.parametrize(
    ("taken", "answer", "told"),
    [
        (("laboratory",), "met argued, not tested", "counts in place of the test"),
        ((), "not met outside", "told, does not count"),
    ],
)
def test_an_argument_stands_beside_its_field_with_author_and_day(
    taken: tuple[str, ...], answer: str, told: str
) -> None:
    argument = {
        "id": "r1",
        "document": "d1",
        "claim": "floor",
        "subject": "p1",
        "by": "w7",
        "at": "2026-03-02",
    }
    given = source(covering(FLOOR, argued_by=taken), arguments=(argument,))

    assert cells(given, "Floor")[3:5] == (answer, f"r1 w7 (laboratory) 2026-03-02 {told}")
    assert "Floor, position p1, d1" in words(section(given))
    assert "filed nowhere" in words(section(given))


def test_a_report_held_elsewhere_is_labelled_wherever_it_appears() -> None:
    away = report(CLAIMS, exhibit=None, held=HELD)
    data = build(source(covering(FLOOR), papers=[{k: v for k, v in away.items() if v}]), speak)
    for name in ("coverage", "matrix", "documents"):
        said = words(next(one for one in data["sections"] if one["id"] == name))

        assert "Held by Alder Point Handling" in said, name
        assert "ref. AP-F-77" in said, name
        assert "abababababababab" in said, name
        assert "seen by w3" in said, name
        assert re.search(r"not in (the|this) dossier", said, re.IGNORECASE), name


# published: catalogues of national standards bodies, which give 2020-09 and 2023-12 for the two editions
@pytest.mark.parametrize(
    ("named", "label"),
    [
        (
            "EN 1789:2020",
            "Superseded edition. On 2026-03-20 EN 1789:2020+A1:2023 stood in place of EN 1789:2020",
        ),
        (
            "SAE J3027_201407",
            "Superseded edition. On 2026-03-20 SAE J3027_202206 stood in place of SAE J3027_201407",
        ),
        ("EN 1789:2020+A1:2023", ""),
        ("House rule 7", ""),
    ],
)
def test_a_superseded_edition_is_a_label_and_no_outcome(named: str, label: str) -> None:
    given = source(covering(FLOOR), claims={"test-standard": named, "floor": "steel-plate-4"})
    said = words(section(given))

    assert ("Superseded edition." in said) == bool(label)
    assert label in said
    assert cells(given, "Floor")[3] == "met same"


def test_without_a_register_nothing_is_said_of_editions() -> None:
    given = replace(source(covering(FLOOR)), editions=None)

    assert "Superseded" not in words(section(given))


def test_withdrawn_and_doubtful_editions_have_their_words() -> None:
    held = editions()
    given = source(covering(FLOOR), claims={"test-standard": "EN 1789:2020"})
    edition = held.named("EN 1789:2020")
    assert edition is not None
    gone = edition.model_copy(
        update={
            "withdrawn": tuple(one.model_copy(update={"jurisdiction": None}) for one in edition.withdrawn)
        }
    )
    others = tuple(one for one in held.editions if one.id != edition.id)
    withdrawn = held.model_copy(update={"editions": (*others, gone)})
    unsure = held.model_copy(update={"editions": (*others, edition.model_copy(update={"published": None}))})

    assert "Withdrawn edition. EN 1789:2020 on 2026-03-20" in words(
        section(replace(given, editions=withdrawn))
    )
    assert "Edition perhaps superseded." in words(section(replace(given, editions=unsure)))


def test_a_paper_that_nothing_asks_about_is_still_listed() -> None:
    lone = {"id": "d1", "role": "floor-test-report", "subject": "vehicle", "exhibit": "E004"}
    said = words(section(source(papers=[lone])))

    assert "Floor test report d1" in said
    assert "No demand on this vehicle compares a field of this paper." in said
    assert "Issued by not recorded" in said


def test_what_the_place_is_to_take_stands_in_the_record_of_the_work() -> None:
    system = {"model": "Heron 2", "variant": "long rail", "serial": "0012"}
    data = build(source(places=({**PLACE, "system": system},)), speak)
    said = words(next(one for one in data["sections"] if one["id"] == "installation"))

    assert "variant long rail" in said
    assert "carries at most 250 kg" in said
    assert "free travel 60 mm" in said


def test_what_no_report_answers_is_listed_with_its_reason() -> None:
    given = source(covering(FLOOR, role="floor-test-report"))
    said = words(section(given))

    assert "Asked, and no report answers" in said
    assert "No test report on the floor" in said


def test_a_vehicle_without_reports_and_demands_has_no_such_section() -> None:
    assert "coverage" not in [one["id"] for one in build(source(papers=[]), speak)["sections"]]


def test_every_word_is_in_the_catalogue_once_said() -> None:
    others = ("coverage-answer-", "coverage-past", "anchorage-")  # each in a test of its own
    used = {name for name in COVERAGE_PAGE if not name.startswith(others)}
    said: set[str] = set()

    def listen(code: str, parameters: Any) -> str:
        said.add(code.removeprefix("dossier-"))
        return speak(code, parameters)

    argument = {
        "id": "r1",
        "document": "d1",
        "claim": "floor",
        "subject": "p1",
        "by": "w7",
        "at": "2026-03-02",
    }
    noted = {**argument, "id": "r2", "note": "n1"}
    away = {key: value for key, value in report(CLAIMS).items() if key != "exhibit"} | {
        "id": "d3",
        "held": HELD,
    }
    lone = {"id": "d2", "role": "floor-test-report", "subject": "vehicle", "exhibit": "E005"}
    for taken in ((), ("laboratory",)):
        given = source(
            covering(*FIELDS, mark="secondary", argued_by=taken),
            covering(FLOOR, name="told", mark="published"),
            covering(FLOOR, role="type-test-certificate", name="open"),
            papers=[report(CLAIMS), lone, away],
            places=({**PLACE, "system": {"model": "Heron 2", "variant": "long rail", "serial": "0012"}},),
            arguments=(argument, noted),
        )
        build(given, listen)
    states = {"coverage-withdrawn", "coverage-uncertain", "title-anchorage"}
    assert used - said - states - {"coverage-counts"} == set()


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_thirty_fields_and_long_serials_stay_inside_their_columns(
    typesetter: Typesetter, paper: Paper
) -> None:
    system = {"model": LONG, "serial": LONG}
    fields: list[dict[str, Any]] = [
        {"claim": name, "fact": f"position.{name}"} for name in ("system-model", "system-serial")
    ]
    asked = [f"{number} {LONG}"[:90] for number in range(28)]
    fields += [{"claim": "directions", "how": "one-of", "values": [each]} for each in asked]
    given = replace(
        source(
            covering(*fields),
            claims={"system-model": LONG, "system-serial": LONG.lower()},
            places=({**PLACE, "system": system}, {**PLACE, "system": {**system, "model": "Heron 2"}}),
        ),
        paper=paper,
    )
    pdf = typesetter.typeset(*builders.ready(given, speak), builders.ISSUED)
    pages = [page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages]

    assert LONG in re.sub(r"\s+", "", "".join(pages))
    assert sum("The report says" in page for page in pages) > 2
