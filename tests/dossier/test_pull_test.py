"""Static pulls on paper: every number with its unit, uncertainty, demand and doubt, and the curve that it comes from."""

from dataclasses import replace
from typing import Any

import pytest

from evidence.dossier import Data, DossierInput, build
from evidence.exhibits import call, pull_log, table
from evidence.exhibits._base import Reading
from evidence.exhibits.reading import read as read_file
from evidence.model.criterion import Within
from evidence.model.exhibit import Table
from evidence.model.names import Group
from evidence.model.result import LabResult, result_id
from evidence.phrases.dossier_pull_en import PULL_PAGE
from evidence.pulling import Course, course, courses
from evidence.register.demand import Demand, Demands
from evidence.typeset import Typesetter
from tests.dossier import builders, judged, records
from tests.dossier.test_build import parts, texts
from tests.dossier.test_hook_position import speak, words
from tests.lab.mme import LabChannel, Recording, set_zip
from tests.measure.pulls import TRAPEZOID, TRAVEL, at, every

TEST = {
    "id": "lt1", "kind": "static-pull", "subject": "p1", "direction": "frontal", "exhibit": "E006", "document": "d1",
    "at": "2026-02-10", "axes": "x forward", "mass": "230 kg",
    "channels": [
        {"use": "force", "name": "Kraft", "sign": "reversed", "uncertainty": "1 %"},
        {"use": "displacement", "name": "Weg"},
    ],
}  # fmt: skip
SECTION = "profile.heron-2@C/11.1"
PEAK = {"quantity": "peak-force", "use": "force", "value": "10.021", "unit": "kN", "expanded_uncertainty": "0.10021",
        "begin_s": "7.1", "end_s": "7.1"}  # fmt: skip
HOLD = {"quantity": "hold-time", "use": "force", "value": "11.4", "unit": "s", "begin_s": "6", "end_s": "17.4",
        "processing": {"kind": "continuous", "level": "8 kN", "zero": "0 1.5"}}  # fmt: skip
BENT = {"quantity": "residual-displacement", "use": "displacement", "value": "2.952123", "unit": "mm",
        "begin_s": "2.25", "end_s": "18.9"}  # fmt: skip
LIMITS = {"peak-force": {"low": "9.8 kN"}, "hold-time": {"low": "10 s", "high": "30 s"},
          "residual-displacement": {"high": "5 mm"}}  # fmt: skip


def log(factor: float = -1.0, times: list[float] | None = None) -> bytes:
    moments = times or every(0.1)
    rows = zip(moments, at(TRAPEZOID, moments), at(TRAVEL, moments), strict=True)
    lines = [f"{moment:.2f};{factor * force:.2f};{travel:.2f}" for moment, force, travel in rows]
    return "\n".join(["time [s];Kraft [kN];Weg [mm]", *lines]).encode()


def read(data: bytes) -> tuple[Table, tuple[tuple[str, ...], ...]]:
    answer = table.answer(data, "E006.csv")
    columns = tuple(tuple(blob.decode().split("\n")) for blob in answer.blobs)
    return Table.read(answer.value["table"]), columns


def number(figure: dict[str, Any], **more: Any) -> LabResult:
    """A result, asked by the profile unless it says otherwise."""
    asked = more.pop("asked", f"{SECTION}/{figure['quantity']}")
    common = {"id": result_id(asked, "lt1"), "asked": asked, "test": "lt1", "exhibit": "E006"}
    fixed = {"direction": "frontal", "channel": "Kraft", "state": "computed", "method": "pull/1"}
    return LabResult.read({**common, **fixed, **figure, **more})


def demand(result: LabResult) -> Demand:
    quantity = str(result.quantity)
    fields: dict[str, Any] = {
        "id": quantity, "type": "within", "subject": "position", "quantity": f"test.{quantity}", "direction": "frontal",
        "mark": "confirmed", "source": "fitting manual", "closes": "laboratory", **LIMITS[quantity],
    }  # fmt: skip
    if quantity == "hold-time":
        fields["processing"] = HOLD["processing"]
    return Demand(
        result.asked,
        "profile.heron-2@C",
        "11.1",
        Within.read(fields),
        Group.PROFILE,
        {},
        {"en": "Pull forward"},
    )


def source(
    *results: LabResult, data: bytes | None = None, test: dict[str, Any] = TEST, **options: Any
) -> DossierInput:
    """The finished vehicle with one pull, its numbers, and the findings that use them."""
    record = records.finished_record()
    record["tests"] = [test]
    asked = [each for each in results if each.asked.startswith("profile")]
    found = judged.finished_findings() + [
        judged.finding(
            each.asked,
            "p1",
            "met",
            ("evidence-there", {"found": "1"}),
            group="profile",
            type="within",
            records=["lt1"],
        )
        for each in asked
    ]
    plain = builders.source_from(
        record, builders.manifest_for(record, found, [], builders.EUROPEAN_PACKS), **options
    )
    kept = tuple(each for each in plain.demands.criteria if not each.requirement.startswith(SECTION))
    made = course(plain.record.tests[0], pull_log.of_table(*read(log() if data is None else data), "E006"))
    return replace(
        plain,
        manifest=plain.manifest.model_copy(update={"results": results}),
        demands=Demands((*kept, *map(demand, asked)), plain.demands.clauses),
        pulls={} if made is None else {"lt1": made},
    )


def section(given: DossierInput) -> Data:
    return next(one for one in build(given, speak)["sections"] if one["id"] == "pull_test")


def alts(given: DossierInput) -> list[str]:
    return [part["alt"] for part in parts(section(given)) if part.get("kind") == "plot"]


ALL = (number(PEAK), number(HOLD), number(BENT))


def test_every_number_stands_with_unit_uncertainty_limit_and_way() -> None:
    said = words(section(source(*ALL)))

    for expected in (
        "Pull lt1: forward, filed for position p1",
        "column Kraft; all signs turned, as the record says ; uncertainty 1 % of the value (95 %)",
        "column Weg; signs as recorded ; no uncertainty stated",
        "10.02 kN ± 0.10 kN", "at 7.1 s", "at least 9.8 kN", "greatest value of a row",
        "11.4 s", "from 6 s to 17.4 s", "10 s to 30 s",
        "longest stretch at or above 8 kN; mean force from 0 s to 1.5 s taken away first",
        "2.952 mm", "at most 5 mm", "within 1 % of the peak",
        "230 kg", "x forward", "pull/1", "2026-02-10",
    ):  # fmt: skip
        assert expected in said


def test_numbers_lead_to_their_findings_their_file_and_their_paper() -> None:
    page = section(source(*ALL))
    to = {part["to"] for part in parts(page) if "to" in part}

    assert {"item-E006", "document-d1"} <= to
    assert len([name for name in to if name.startswith("finding-")]) == 3
    assert "pull-lt1" in [name for part in parts(page) for name in part.get("anchors", [])]


def test_findings_lead_back_to_the_pull() -> None:
    data = build(source(*ALL), speak)
    matrix = next(one for one in data["sections"] if one["id"] == "matrix")

    assert "pull-lt1" in {part["to"] for part in parts(matrix) if "to" in part}


def test_the_drawings_say_what_they_show() -> None:
    over_time, over_travel = alts(source(*ALL))

    assert over_time == (
        "Curve of 251 rows; greatest force 10 kN. It runs from 0 s to 25 s. Demanded: 8 kN. "
        "Shaded from 6 s to 17.4 s: held 11.4 s."
    )
    assert over_travel.startswith(
        "Curve of 251 rows; greatest force 10 kN. The displacement lies between 1 mm and 23 mm."
    )
    assert over_travel.endswith(": stayed 2.952 mm.")


def test_a_claim_is_told_beside_what_was_computed() -> None:
    record = records.finished_record()
    claims = record["documents"][0]["claims"]
    claims.append({"name": "displacement", "value": "3 mm", "page": "8"})
    given = source(number(BENT, asked="d1/displacement"))
    documents = builders.source_from(
        record, builders.manifest_for(record, judged.finished_findings(), [], builders.EUROPEAN_PACKS)
    ).record.documents
    said = words(section(replace(given, record=given.record.model_copy(update={"documents": documents}))))

    assert "stated by the paper as displacement" in said.replace("Displacement", "displacement")
    assert " 3 mm" in said


@pytest.mark.parametrize(
    ("more", "expected"),
    [
        (
            {"doubts": [{"code": "pull-sampled-coarsely"}]},
            "Undecided because of this: The log has too few samples",
        ),
        ({"notices": [{"code": "pull-gap"}]}, "The log has a gap while the load was on"),
        (
            {"state": "not-computed", "value": None, "unit": None, "reason": {"code": "pull-ends-loaded"}},
            "Undecided because of this: The log ends under load. Ask for the whole log",
        ),
    ],
)
def test_doubts_and_notices_are_told_with_what_to_do(more: dict[str, Any], expected: str) -> None:
    figure = {key: value for key, value in {**BENT, **more}.items() if value is not None}

    assert expected in words(section(source(number(figure))))


def test_a_reason_of_several_numbers_is_told_once() -> None:
    doubt = [{"code": "pull-force-negative"}]
    said = words(section(source(number(PEAK, doubts=doubt), number(BENT, doubts=doubt))))

    assert said.count("greater below nought than above it") == 1


def test_a_number_without_time_says_so() -> None:
    peak = {key: value for key, value in PEAK.items() if not key.endswith("_s")}
    bare = "\n".join(line.split(";", 1)[1] for line in log().decode().splitlines()).encode()
    given = source(number(peak), data=bare)

    assert "the log has no times" in words(section(given))
    assert len(alts(given)) == 1


def test_a_pull_of_several_stretches_marks_none_of_them() -> None:
    hold = {**HOLD, "processing": {"kind": "cumulative", "level": "8 kN"}}
    given = source(number(hold))

    assert "all stretches at or above" in words(section(given))
    assert "Shaded" not in alts(given)[0]


def test_without_numbers_or_curve_the_page_says_which() -> None:
    said = words(section(replace(source(), pulls={})))

    assert "Nothing asks for a number of this pull" in said
    assert "The log is not drawn" in said


def test_a_job_without_a_pull_has_no_such_section() -> None:
    assert "pull_test" not in [one["id"] for one in build(builders.finished(), speak)["sections"]]


def test_a_course_is_turned_as_the_record_says_and_needs_a_force() -> None:
    given = source(*ALL)
    made = given.pulls["lt1"]
    other = {**TEST, "channels": [{"use": "force", "name": "Last"}]}

    assert isinstance(made, Course)
    assert (made.unit, made.travel_unit, float(made.pull.force.max())) == ("kN", "mm", 10.0)
    assert source(test=other).pulls == {}


def test_courses_of_a_job_leave_out_logs_that_cannot_be_read() -> None:
    given = source(*ALL)
    item = given.items["E006"]
    for data, expected in ((log(), ["lt1"]), (log(times=[0.0, 5.0, 3.0, 20.0]), [])):
        found, columns = read(data)
        reading = Reading(item.model_copy(update={"table": found}), values=columns)
        assert list(courses(given.record, {"E006": reading})) == expected
    assert courses(given.record, {}) == {}


def test_a_pull_that_is_filed_as_a_set_of_channels_is_drawn_too() -> None:
    forces = [0.0, -4.0, -9.0, -9.0, -2.0, 0.0]
    recording = Recording("MTH-24-131", "Pull forward", "2026-02-10", 10, 0)
    channels = [
        LabChannel("Load", "20STCR000000FOX0", "kN", forces, 2),
        LabChannel("Travel", "20STCR000000DSX0", "mm", [0.0, 8.0, 19.0, 20.0, 6.0, 3.0], 2),
    ]
    found = read_file(set_zip(recording, channels), "tests/E006.zip", "E006", reader=call)
    uses = [
        {"use": "force", "name": "20STCR000000FOX0", "sign": "reversed"},
        {"use": "displacement", "name": "20STCR000000DSX0"},
    ]
    made = courses(source(*ALL, test={**TEST, "channels": uses}).record, {"E006": found})["lt1"]

    assert (made.unit, made.travel_unit) == ("kN", "mm")
    assert made.pull.force.tolist() == [-force for force in forces]
    assert made.pull.times is not None
    assert made.pull.times.tolist() == pytest.approx([0.0, 0.1, 0.2, 0.3, 0.4, 0.5])
    given = replace(source(*ALL), pulls={"lt1": made})
    assert alts(given)[0].startswith("Curve of 6 rows; greatest force 9 kN.")


def test_every_word_of_the_page_is_said() -> None:
    heard: set[str] = set()

    def listen(code: str, parameters: Any) -> str:
        heard.add(code)
        return speak(code, parameters)

    peak = {key: value for key, value in PEAK.items() if not key.endswith("_s")}
    cumulative = {**HOLD, "processing": {"kind": "cumulative", "level": "8 kN"}}
    none = {key: value for key, value in BENT.items() if key not in ("value", "unit")}
    moved = {**BENT, "quantity": "excursion", "begin_s": "0"}
    for given in (
        source(*ALL),
        source(number(peak), number(cumulative)),
        source(number({**none, "state": "not-computed", "reason": {"code": "pull-no-travel"}})),
        source(number(moved, asked="d1/displacement")),
        replace(source(), pulls={}),
    ):
        build(given, listen)
    assert [code for code in PULL_PAGE if f"dossier-{code}" not in heard] == []


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_the_page_is_set_and_its_words_can_be_read(typesetter: Typesetter, paper: Any) -> None:
    given = replace(
        source(number(PEAK), number(HOLD, doubts=[{"code": "pull-gap"}]), number(BENT)), paper=paper
    )
    ready = builders.ready(given, speak)
    made = typesetter.typeset(*ready, builders.ISSUED)

    assert made.startswith(b"%PDF")
    assert "Force over displacement from E006" in texts(ready[0])
