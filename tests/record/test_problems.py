"""Every code of the record's readers and checks, raised once at an exact place, and said in words."""

import ast
import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from evidence.errors import InputError, Problem
from evidence.phrases import hint, knows, say
from evidence.phrases.record_en import RECORD
from evidence.record.meaning import check_record
from evidence.record.pack_meaning import check_pack
from evidence.record.personal import Personal
from evidence.record.profile_meaning import check_profile
from evidence.record.reader import read_job, read_pack, read_people, read_profile
from evidence.record.yamltext import MAX_BYTES, MAX_NODES, read_yaml
from tests.record import cases, support
from tests.record.cases import JOB, PACK, PEOPLE, PROFILE, Case
from tests.record.cases_of_meaning import MEANING

PACKAGE = Path(__file__).resolve().parents[2] / "evidence"
READERS: dict[str, Callable[[bytes, str], object]] = {
    JOB: read_job,
    PEOPLE: read_people,
    PROFILE: read_profile,
    PACK: read_pack,
}
# the mark of the changed text stands where no text was added: the place is the mapping that is left
PLACES = {
    "window-without-colours": "windows:\n  - §{id: lock-window",
    "pack-without-standard": "kind: §standard",
    "criterion-not-in-rule": "id: §test-deceleration\n",
    "retyped-of-nothing": "retyped:\n  - {of: §v1, field",
    "cycles-without-use": "§type: valid_on\n      id: torque-tool",
    "window-read-by-nobody": "reads: §locked",
    "criterion-without-limit": "criterion: §{type: ordered, id: step-order",
}


def _id(case: Case) -> str:
    return f"{case.code}-{case.file}{case.pointer}"


def _text(case: Case) -> tuple[str, str]:
    text = support.base(case.file)
    if support.MARK in case.new:
        return support.changed(text, case.old, case.new)
    text, _ = support.changed(text, case.old, case.new)
    marked = PLACES[case.code]
    return support.changed(text, marked.replace(support.MARK, ""), marked)


def _said(problem: Problem) -> None:
    """The catalogue has a sentence that takes the problem's own parameters, and says what to do."""
    assert say(problem.code, problem.parameters).strip()
    assert hint(problem.code).strip()


@pytest.mark.parametrize("case", cases.SHAPE, ids=_id)
def test_fault_of_shape_is_the_only_problem_and_stands_at_its_place(case: Case) -> None:
    text, place = _text(case)

    problems = support.problems(lambda: READERS[case.file](text.encode(), case.file))

    found = [(problem.code, problem.where, problem.pointer) for problem in problems]
    assert found == [(case.code, f"{case.file}:{place}", case.pointer)]
    assert case.parameters.items() <= problems[0].parameters.items()
    _said(problems[0])


def _check(case: Case, text: str) -> tuple[Problem, ...]:
    if case.file == PROFILE:
        return check_profile(support.profile(text))
    if case.file == PACK:
        return check_pack(support.pack(text, PACK))
    job = support.job(text if case.file == JOB else None)
    people = support.people(text if case.file == PEOPLE else None)
    return check_record(job, support.profile(), people, support.shipped())


@pytest.mark.parametrize("case", MEANING, ids=_id)
def test_fault_of_meaning_stands_at_its_place(case: Case) -> None:
    text, place = _text(case)
    if case.code == "exhibits-not-last":
        text += "answers: []\n"
        text = text.replace(
            'answers:\n  - {contradiction: "photo-outside-work:E003:0a1b2c3d", by: w3, at: 2026-03-06T12:00, note: n1}\n',
            "",
        )
        place = f"{int(place.split(':')[0]) - 2}:1"
    if case.code == "profile-kind-unanswered":
        text = text.replace("id: play, answers: play,", "id: play,")

    problems = _check(case, text)

    found = [problem for problem in problems if (problem.code, problem.pointer) == (case.code, case.pointer)]
    assert [problem.where for problem in found] == [f"{case.file}:{place}"]
    assert case.parameters.items() <= found[0].parameters.items()
    for problem in problems:
        _said(problem)


@pytest.mark.parametrize(("code", "marked"), cases.YAML)
def test_text_that_is_no_record_is_refused_at_its_place(code: str, marked: str) -> None:
    text, place = support.marked(marked)

    problems = support.problems(lambda: read_yaml(text.encode(), "job.yaml"))

    assert [(problem.code, problem.where) for problem in problems] == [(code, f"job.yaml:{place}")]
    _said(problems[0])


@pytest.mark.parametrize(
    ("code", "data", "where"),
    [
        ("yaml-too-large", b"#" * (MAX_BYTES + 1), "job.yaml"),
        ("yaml-not-utf8", b"a: 1\nb: \xe9\n", "job.yaml:2:1"),
        ("yaml-not-utf8", "a: 1\n".encode("utf-16"), "job.yaml:1:1"),
        ("yaml-too-many-values", b"- x\n" * MAX_NODES, f"job.yaml:{MAX_NODES}:3"),
    ],
)
def test_file_that_is_no_text_is_refused(code: str, data: bytes, where: str) -> None:
    problems = support.problems(lambda: read_yaml(data, "job.yaml"))

    assert [(problem.code, problem.where) for problem in problems] == [(code, where)]
    _said(problems[0])


def test_invented_needs_an_invented_manual() -> None:
    text, place = support.changed(support.base(PROFILE), "      mark: practice\n", "      mark: §invented\n")
    assert check_profile(support.profile(text)) == ()

    text = text.replace("  invented: yes\n", "")
    problems = check_profile(support.profile(text))

    line, column = place.split(":")
    assert [(p.code, p.where) for p in problems] == [
        ("mark-not-allowed", f"profile.yaml:{int(line) - 1}:{column}")
    ]


def test_confirmation_must_come_from_a_person_of_the_record() -> None:
    packs = support.shipped()
    text, place = support.changed(support.base("confirmation.yaml"), "by: w3", "by: §p1")
    entry = support.pack(text, "packs/own.yaml")
    packs[entry.pack.reference] = entry
    job = support.job(support.base(JOB).replace("[en-1789-2020@1]", "[en-1789-2020@1, sample-confirmed@1]"))

    problems = check_record(job, support.profile(), support.people(), packs)

    assert [(p.code, p.where) for p in problems] == [("id-unknown", f"packs/own.yaml:{place}")]


def test_base_files_mean_something() -> None:
    job, profile, people = support.job(), support.profile(), support.people()

    assert check_record(job, profile, people, support.shipped()) == ()
    assert check_profile(profile) == ()
    assert check_pack(support.pack(support.base(PACK))) == ()
    assert check_pack(support.pack(support.base("confirmation.yaml"))) == ()


def test_notes_without_people_yaml_miss_that_file() -> None:
    problems = check_record(support.job(), support.profile(), None, support.shipped())

    assert [problem.code for problem in problems] == ["note-without-people"] * 3


def test_confirmations_do_not_stand_among_clauses() -> None:
    confirmations = support.base("confirmation.yaml").partition("confirmations:")[2]
    text, place = support.marked(support.base(PACK) + "§confirmations:" + confirmations)

    problems = check_pack(support.pack(text, PACK))

    assert [(p.code, p.where, p.parameters["kind"]) for p in problems] == [
        ("pack-kind-differs", f"{PACK}:{place}", "standard")
    ]


def test_root_that_is_a_list_is_a_mismatch_and_other_faults_are_told_too() -> None:
    problems = support.problems(lambda: read_job(b"- a\n- !tag b\n"))

    assert [(p.code, p.where) for p in problems] == [
        ("type-mismatch", "job.yaml:1:1"),
        ("yaml-tag", "job.yaml:2:3"),
    ]
    assert problems[0].parameters == {"found": "list", "expected": "mapping"}


def test_all_problems_come_at_once_and_in_the_order_of_the_file() -> None:
    text = support.base(JOB)
    for old, new in (
        ("loading: rear", "loading: roof"),
        ("count: 2\n", "count: two\n"),
        ("id: AMB-0900", "id: A B"),
        ("fleet_number: TV-17", "fleet_number:"),
    ):
        text, _ = support.changed(text, old, new)

    problems = support.problems(lambda: read_job(text.encode()))

    assert [problem.code for problem in problems] == [
        "id-malformed",
        "value-empty",
        "word-not-allowed",
        "count-unreadable",
    ]
    lines = [int(problem.where.split(":")[1]) for problem in problems]
    assert lines == sorted(lines)


def test_a_flood_of_problems_is_cut_and_counted() -> None:
    text = support.base(JOB) + "".join(f"k{number}: x\n" for number in range(700))

    problems = support.problems(lambda: read_job(text.encode()))

    assert len(problems) == 501
    assert problems[0].code == "problems-not-listed"
    assert problems[0].parameters == {"found": "200"}
    _said(problems[0])


def test_newer_format_is_the_only_thing_said_about_a_newer_file() -> None:
    text = (
        support.base(JOB)
        .replace("sillmark-job/0", "sillmark-job/12")
        .replace("loading: rear", "loading: roof")
    )

    assert [p.code for p in support.problems(lambda: read_job(text.encode()))] == ["format-newer"]


def test_names_in_firms_and_sites_in_addresses_are_no_personal_values() -> None:
    text = support.base(JOB).replace("name: Brackwater Coachworks", "name: Fitter One Coachworks, Bay 2")
    text = text.replace("4 Slipway Lane", "Bay 2, Slipway Lane").replace("place: Brackwater", "place: Bay 2")

    assert check_record(support.job(text), support.profile(), support.people(), support.shipped()) == ()


def test_short_names_and_parts_of_words_are_no_personal_values() -> None:
    people = support.people(
        support.base(PEOPLE).replace("Fitter One", "B").replace("Signatory Three", "Orque")
    )
    assert check_record(support.job(), support.profile(), people, support.shipped()) == ()
    assert Personal.of(people.people).names == ("orque",)


def test_a_message_about_an_unknown_pack_names_every_pack_there_is() -> None:
    job = support.job(support.base(JOB).replace("[en-1789-2020@1]", "[en-1798-2020@1]"))

    problems = check_record(job, support.profile(), support.people(), {}, ("en-1789-2020@1", "cen-x@2"))

    assert [(p.code, p.parameters["meant"], p.parameters["expected"]) for p in problems] == [
        ("pack-misspelt", "en-1789-2020@1", "cen-x@2, en-1789-2020@1")
    ]


CODED = {
    "refuse",
    "problem",
    "_note",
    "_stop",
    "_fail",
    "one",
    "Problem",
    "_refuse",
    "QuantityError",
    "twice",
    "_text",
    "text_of",
    "_fullmatch",
}
CODE = re.compile(r"[a-z]+(-[a-z0-9]+)+")


def _codes() -> Iterator[str]:
    """Every text of the form of a code that is handed to something that makes a problem of it."""
    files = [PACKAGE / "quantity.py", PACKAGE / "jsondoc.py"]
    for stage in ("model", "record", "register"):
        files += sorted((PACKAGE / stage).glob("*.py"))
    for path in files:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.Call):
                continue
            name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            if name in CODED:
                texts = [argument.value for argument in node.args if isinstance(argument, ast.Constant)]
                yield from (text for text in texts if isinstance(text, str) and CODE.fullmatch(text))


def test_every_code_of_the_sources_has_words() -> None:
    assert [code for code in sorted(set(_codes())) if not knows(code)] == []


def test_every_code_with_words_stands_in_the_sources() -> None:
    sources = "\n".join(
        path.read_text(encoding="utf-8")
        for stage in ("model", "record", "register")
        for path in sorted((PACKAGE / stage).glob("*.py"))
    )
    sources += (PACKAGE / "quantity.py").read_text(encoding="utf-8") + (PACKAGE / "jsondoc.py").read_text(
        encoding="utf-8"
    )

    assert [code for code in RECORD if f'"{code}"' not in sources] == []


def test_every_sentence_ends_and_every_advice_is_given() -> None:
    for code, (sentence, advice) in RECORD.items():
        assert sentence.endswith("."), code
        assert advice.endswith((".", '".', "].")), code


def test_input_error_carries_its_problems_in_words() -> None:
    with pytest.raises(InputError) as caught:
        read_job(b"format: sillmark-job/0\n")

    assert "job.yaml:1:1: field-missing" in str(caught.value)
