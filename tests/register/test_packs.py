"""Packs that ship, references, and the demands that a record's bases make of its vehicle."""

from pathlib import Path

import pytest

from evidence.errors import InputError
from evidence.jsondoc import pointer
from evidence.model.names import Group, Mark
from evidence.model.pack import Pack
from evidence.record.pack_meaning import check_pack
from evidence.register.demand import Demands
from evidence.register.packs import by_reference, criteria_of, parse_reference, parse_requirement
from evidence.register.resolve import resolve
from tests.record import support

PACKS = support.shipped()
# published: Federal Specification KKK-A-1822E, clauses 4.3.5 and 4.3.6, 2002, U.S. General Services Administration
LETTER_FIELDS = 11
REPORT_FIELDS = 18


def test_the_packs_that_ship() -> None:
    assert list(PACKS) == ["common-practice@1", "en-1789-2020@1", "kkk-a-1822e@1", "sae-j3027-2016@1"]


@pytest.mark.parametrize("reference", PACKS)
def test_pack_means_something_and_its_file_is_named_after_it(reference: str) -> None:
    entry = PACKS[reference]

    assert check_pack(entry) == ()
    assert entry.source.name == f"{reference}.yaml"
    assert (entry.pack.known_as_of.isoformat(), entry.pack.review_by.isoformat()) == (
        "2026-11-01",
        "2027-05-01",
    )


@pytest.mark.parametrize("reference", PACKS)
def test_every_criterion_says_where_it_comes_from_and_has_a_title(reference: str) -> None:
    for _, clause, criterion in criteria_of({reference: PACKS[reference].pack}):
        assert criterion.mark in Mark
        assert len(criterion.source) > 10
        assert (criterion.title or {}).get("en")
        assert clause.title["en"]


def test_no_source_is_named_by_an_address() -> None:
    for entry in PACKS.values():
        assert "http" not in entry.source.text
        assert "www." not in entry.source.text


def test_evidence_clauses_of_the_federal_specification_list_every_field() -> None:
    clauses = {clause.no: clause.criteria[0].document() for clause in PACKS["kkk-a-1822e@1"].pack.clauses}

    assert [len(clauses[no]["fields"]) for no in ("4.3.5", "4.3.6")] == [
        LETTER_FIELDS,
        REPORT_FIELDS,
    ]
    assert {criterion["mark"] for criterion in clauses.values()} == {"published"}


def test_published_excursion_limit_is_fourteen_inches() -> None:
    """14 in, published: news page of SAE International on J3027, 2014-08."""
    wanted = "sae-j3027-2016@1/excursion/patient-excursion"
    found = {
        str(name): criterion
        for name, _, criterion in criteria_of({"sae-j3027-2016@1": PACKS["sae-j3027-2016@1"].pack})
    }

    assert found[wanted].mark == Mark.PUBLISHED
    assert found[wanted].document()["high"] == "14 in"


@pytest.mark.parametrize("text", ["en-1789-2020", "@1", "en@", "en@01", "en@x", "en@1@2"])
def test_reference_without_version_is_refused(text: str) -> None:
    problems = support.problems(lambda: parse_reference(text, "job.yaml:1:1"))

    assert [(p.code, p.where, p.parameters["found"]) for p in problems] == [
        ("pack-reference-malformed", "job.yaml:1:1", text)
    ]


def test_references_read_and_write_alike() -> None:
    assert str(parse_reference("en-1789-2020@12")) == "en-1789-2020@12"
    requirement = parse_requirement("profile.heron-2@C/7.2/hook-position")

    assert requirement.of_profile
    assert str(requirement) == "profile.heron-2@C/7.2/hook-position"
    assert not parse_requirement("en-1789-2020@1/5.3/test-deceleration").of_profile


@pytest.mark.parametrize("text", ["a@1/b", "a@1/b/c/d", "a/b/c", "a@1//c", ""])
def test_requirement_of_another_form_is_refused(text: str) -> None:
    problems = support.problems(lambda: parse_requirement(text))

    assert [problem.code for problem in problems] == ["requirement-malformed"]


def test_two_files_of_one_reference_are_refused() -> None:
    first = support.pack(support.base("pack.yaml"), "packs/a.yaml")
    second = support.pack(support.base("pack.yaml"), "packs/b.yaml")

    problems = support.problems(lambda: by_reference([first, second]))

    assert [(p.code, p.where, p.parameters["found"]) for p in problems] == [
        ("pack-twice", "packs/b.yaml:3:5", "sample@1")
    ]


def _packs(*more: str) -> dict[str, Pack]:
    entries = [support.pack(text) for text in more]
    return {entry.pack.reference: entry.pack for entry in [*PACKS.values(), *entries]}


def _resolved(packs: str = "[en-1789-2020@1]", *more: str, profile: str | None = None) -> Demands:
    text = support.base("job.yaml").replace("[en-1789-2020@1]", packs)
    if "sample@1" not in packs and "en-1789-2020@1" not in packs:
        text = text.replace('    routes:\n      - {clause: "5.3", route: report}\n', "")
    return resolve(support.job(text).record, support.profile(profile).profile, _packs(*more))


def test_demands_come_in_the_order_of_bases_then_of_the_profile() -> None:
    demands = _resolved("[common-practice@1, en-1789-2020@1]")
    sources = list(dict.fromkeys(demand.source for demand in demands.criteria))

    assert sources == ["common-practice@1", "en-1789-2020@1", "profile.heron-2@C"]
    groups = {demand.source: demand.group for demand in demands.criteria}
    assert list(groups.values()) == [Group.PRACTICE, Group.STANDARD, Group.PROFILE]
    assert len({demand.requirement for demand in demands.criteria}) == len(demands.criteria)


def test_requirement_names_pack_clause_and_criterion() -> None:
    names = [demand.requirement for demand in _resolved().criteria]

    assert "en-1789-2020@1/5.3/test-deceleration" in names
    assert "profile.heron-2@C/7.2/hook-position" in names


def test_route_of_the_record_is_chosen() -> None:
    chosen = {
        clause.clause: clause.chosen_route
        for clause in _resolved().clauses
        if clause.source == "en-1789-2020@1"
    }

    assert chosen == {"4.4.11": None, "5.3": "report"}


def test_sections_of_the_manual_are_clauses_that_need_all_their_items() -> None:
    sections = {
        clause.clause: clause.rule.all
        for clause in _resolved().clauses
        if clause.source == "profile.heron-2@C"
    }

    assert sections["8.1"] == ("screw-count", "screw-class")
    assert all(clause.title["en"] for clause in _resolved().clauses)


def test_confirmation_replaces_the_limit_and_the_mark() -> None:
    for mark, invented in ((Mark.INVENTED, True), (Mark.CONFIRMED, False)):
        text = support.base("confirmation.yaml")
        confirmation = text if invented else text.replace("invented: yes\n", "")
        demands = _resolved(
            "[sample@1, sample-confirmed@1]".replace("sample@1", "en-1789-2020@1"),
            support.base("pack.yaml"),
            confirmation.replace("sample@1/", "en-1789-2020@1/"),
        )
        demand = next(d for d in demands.criteria if d.requirement == "en-1789-2020@1/5.3/test-deceleration")

        assert (demand.criterion.document()["low"], demand.criterion.mark, demand.invented) == (
            "10.4 g",
            mark,
            invented,
        )
        assert demand.confirmation is not None
        assert demand.confirmation.page == 12
        others = [d for d in demands.criteria if d.source == "en-1789-2020@1" and d is not demand]
        assert not any(d.invented or d.confirmation for d in others)


def test_confirmation_of_an_unused_pack_changes_nothing() -> None:
    demands = _resolved(
        "[en-1789-2020@1, sample-confirmed@1]", support.base("pack.yaml"), support.base("confirmation.yaml")
    )

    assert not any(demand.confirmation for demand in demands.criteria)


def test_profile_item_with_a_page_counts_as_confirmed_or_invented() -> None:
    marks = {
        d.criterion.id: (d.criterion.mark, d.invented)
        for d in _resolved().criteria
        if d.group == Group.PROFILE
    }
    real = support.base("profile.yaml").replace("  invented: yes\n", "")
    confirmed = {
        d.criterion.id: (d.criterion.mark, d.invented)
        for d in _resolved(profile=real).criteria
        if d.group == Group.PROFILE
    }

    assert marks["hook-position"] == (Mark.INVENTED, True)
    assert marks["handed-over"] == (Mark.PRACTICE, False)
    assert confirmed["hook-position"] == (Mark.CONFIRMED, False)


def test_facts_of_clause_and_criterion_must_both_hold() -> None:
    text = support.base("pack.yaml").replace(
        "        closes: laboratory\n",
        "        applies: {vehicle.type: [C, A1], position.loading: [rear]}\n        closes: laboratory\n",
    )
    demands = _resolved("[sample@1]", text)
    applies = {
        d.criterion.id: {fact.value: values for fact, values in d.applies.items()} for d in demands.criteria
    }

    assert applies["test-deceleration"] == {"position.loading": ("rear",), "vehicle.type": ("C",)}
    assert applies["report-present"] == {"vehicle.type": ("B", "C")}


def test_unknown_packs_and_routes_are_all_named() -> None:
    text = (
        support.base("job.yaml")
        .replace("[en-1789-2020@1]", "[en-1789-2020@1, other@2, another@1]")
        .replace("route: report", "route: oral")
    )
    with pytest.raises(InputError) as caught:
        resolve(support.job(text).record, support.profile().profile, _packs())

    assert [(p.code, p.pointer, p.parameters["found"]) for p in caught.value.problems] == [
        ("pack-unknown", pointer(("bases", 0, "packs", 1)), "other@2"),
        ("pack-unknown", pointer(("bases", 0, "packs", 2)), "another@1"),
        ("route-unknown", pointer(("bases", 0, "routes", 0)), "5.3 oral"),
    ]


def test_packs_lie_where_the_package_keeps_its_data() -> None:
    folder = Path(__file__).resolve().parents[2] / "evidence" / "register" / "packs"

    assert sorted(path.name for path in folder.iterdir()) == [f"{reference}.yaml" for reference in PACKS]
