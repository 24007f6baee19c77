"""Packs that ship, references, and the demands that a record's bases make of its vehicle."""

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from evidence.errors import InputError
from evidence.jsondoc import pointer
from evidence.model.names import Group, Mark
from evidence.model.pack import Clause, Pack
from evidence.phrases.catalogues import TRANSLATED
from evidence.quantity import Dimension, parse
from evidence.record.pack_meaning import check_pack
from evidence.register.demand import Demands
from evidence.register.editions import read_editions
from evidence.register.packs import by_reference, criteria_of, parse_reference, parse_requirement
from evidence.register.resolve import resolve
from tests.record import support

PACKS = support.shipped()
EDITIONS = read_editions(
    (Path(__file__).resolve().parents[2] / "evidence" / "register" / "editions.yaml").read_bytes()
)
# published: Federal Specification KKK-A-1822E, clause 4.3.5, 2002-06-01, U.S. General Services Administration, public
# domain: what the letter holds, item by item, and the claims by which each is transcribed
LETTER = {
    "to whom certifying": {"certified-to"},
    "date": {"report-date"},
    "units or items": {"items"},
    "manufacturer and address": {"manufacturer", "manufacturer-address"},
    "date product tested": {"test-date"},
    "model number and specification data": {"model-number", "specification-data"},
    "specification references and test requirement": {"test-standard", "test-requirement"},
    "summary of test report": {"test-summary"},
    "certifying statement": {"certifying-statement"},
    "official signature": {"signature"},
}
# published: the same, clause 4.3.6
REPORT = {
    "for whom tested": {"tested-for"},
    "report date": {"report-date"},
    "sample name": {"sample-name"},
    "manufacturer address": {"manufacturer-address"},
    "serial and model numbers": {"sample-serial", "model-number"},
    "specification referral and amendment numbers": {"test-standard", "amendment"},
    "test requirements": {"test-requirement"},
    "facilities and location": {"test-facility", "test-place"},
    "equipment used": {"test-equipment"},
    "procedure": {"test-procedure"},
    "results": {"result"},
    "verifying data": {"verifying-data"},
    "photographs": {"photographs"},
    "conclusions": {"conclusion"},
    "witnesses": {"witness"},
    "authorised signature": {"signature"},
}
# published: the same, clauses 4.2.3, 4.2.4, 4.3.1 and 4.3.2
INSPECTIONS = {
    "4.2.3": {"workmanship-inspected", "operational-checks-done", "water-spray-tested", "handbook-examined"},
    "4.2.4": {"controls-operated", "road-driven"},
    "4.3.1": {"verifications-held"},
    "4.3.2": {"verification-booklet-held"},
}
# every number that a pack calls published, with the publication; a number that is not here has another mark
PUBLISHED_NUMBERS = {
    # published: news page of SAE International on J3027, 2014-08, United States: below 14 in
    "sae-j3027-2016@1/excursion/patient-excursion": {"high": "14 in"},
}
GRAVITY = Fraction(980665, 100000)  # m/s2; published: CGPM, 3rd meeting, 1901, Paris
MILE_PER_HOUR = Fraction(44704, 100000)  # m/s; published: NIST SP 811, 2008, Gaithersburg
Line = list[tuple[Fraction, Fraction]]


def test_the_packs_that_ship() -> None:
    assert list(PACKS) == [
        "common-practice@1",
        "en-1789-2007-a2@1",
        "en-1789-2020-a1@1",
        "en-1789-2020@1",
        "en-1865-5-2012@1",
        "iso-iec-17050-1-2004@1",
        "kkk-a-1822e@1",
        "sae-j2917-2016@1",
        "sae-j2956-2011@1",
        "sae-j3027-2016@1",
        "sae-j3044-2014@1",
        "sae-j3102-2022@1",
    ]


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


@pytest.mark.parametrize(("no", "items"), [("4.3.5", LETTER), ("4.3.6", REPORT)])
def test_evidence_clauses_of_the_federal_specification_list_every_item(
    no: str, items: dict[str, set[str]]
) -> None:
    criterion = _clause("kkk-a-1822e@1", no).criteria[0].document()

    assert sorted(criterion["fields"]) == sorted(set().union(*items.values()))
    assert criterion["mark"] == "published"


def test_inspection_clauses_of_the_federal_specification_are_stated_one_by_one() -> None:
    for no, statements in INSPECTIONS.items():
        criteria = [one.document() for one in _clause("kkk-a-1822e@1", no).criteria]

        assert {one["statement"] for one in criteria if one["type"] == "attested"} == statements
        assert {one["mark"] for one in criteria} == {"published"}


def _clause(reference: str, no: str) -> Clause:
    return next(clause for clause in PACKS[reference].pack.clauses if clause.no == no)


def _every() -> Iterator[tuple[str, dict[str, Any]]]:
    packs = {reference: entry.pack for reference, entry in PACKS.items()}
    return ((str(name), criterion.document()) for name, _, criterion in criteria_of(packs))


def test_every_published_number_is_in_the_table_with_its_publication() -> None:
    numbers = ("low", "high", "months", "upper", "lower", "gaps", "cycles")
    found = {
        name: {field: document[field] for field in numbers if document.get(field)}
        for name, document in _every()
        if document["mark"] in ("published", "computed")
    }

    assert {name: limits for name, limits in found.items() if limits} == PUBLISHED_NUMBERS


def test_marks_say_what_the_sources_say() -> None:
    for name, document in _every():
        source = document["source"]
        assert ("from memory" in source) == (document["mark"] == "memory"), name
        if "trade page" in source or "test house" in source:
            assert document["mark"] in ("secondary", "memory"), name
        if document["mark"] == "practice":
            assert source == "common practice, no source"


def test_common_practice_is_many_demands_and_all_of_them_practice() -> None:
    found = [document for name, document in _every() if name.startswith("common-practice@1/")]

    assert 25 <= len(found) <= 40
    assert {document["mark"] for document in found} == {"practice"}
    assert all(document["mark"] != "practice" for name, document in _every() if "common-practice" not in name)


@pytest.mark.parametrize(
    ("reference", "edition"),
    [
        ("en-1789-2007-a2@1", "EN 1789:2007+A2:2014"),
        ("en-1789-2020@1", "EN 1789:2020"),
        ("en-1789-2020-a1@1", "EN 1789:2020+A1:2023"),
    ],
)
def test_each_edition_of_the_vehicle_standard_takes_a_report_to_itself_only(
    reference: str, edition: str
) -> None:
    tested = next(
        document
        for name, document in _every()
        if name.startswith(f"{reference}/") and "edition-tested" in name
    )

    assert tested["fields"][0]["values"] == [edition]
    assert EDITIONS.named(edition) is not None


def test_every_standard_pack_is_about_an_edition_of_the_register() -> None:
    known = {
        reference: EDITIONS.named(entry.pack.standard.designation)
        for reference, entry in PACKS.items()
        if entry.pack.standard
    }

    assert [reference for reference, edition in known.items() if edition is None] == []


def test_numbers_that_nobody_gave_are_said_to_be_missing() -> None:
    missing = [name for name, document in _every() if document.get("limit") == "not-held"]

    # open: nine break points of the frontal corridor, limits of the floor test, mass of the European test
    assert [name for name in missing if not name.startswith("en-1789-20")] == [
        "sae-j2917-2016@1/pulse/corridor",
        "sae-j3102-2022@1/method/lasting-deformation",
    ]
    assert "en-1789-2020@1/5.3/test-mass" in missing


def _line(reference: str, side: str) -> Line:
    document = dict(_every())[f"{reference}/pulse/corridor"]
    return [(Fraction(point["x"]), Fraction(point["y"])) for point in document[side]]


def _area(line: Line) -> Fraction:
    """Velocity change in mph of a polyline of decelerations in g."""
    pairs = pairwise(line)
    return -sum((y0 + y1) / 2 * (x1 - x0) for (x0, y0), (x1, y1) in pairs) * GRAVITY / MILE_PER_HOUR


def _at(line: Line, x: Fraction) -> Fraction:
    (x0, y0), (x1, y1) = next(pair for pair in pairwise(line) if pair[0][0] <= x <= pair[1][0])
    return y0 + (y1 - y0) * (x - x0) / (x1 - x0)


def _margin(channel: Line, reference: str) -> Fraction:
    """Least distance of a channel to both lines, at every break point of either where the line spans it."""
    margins = []
    for side, sign in (("upper", 1), ("lower", -1)):
        bound = _line(reference, side)
        places = {x for x, _ in (*channel, *bound) if bound[0][0] <= x <= bound[-1][0]}
        margins += [sign * (_at(bound, x) - _at(channel, x)) for x in sorted(places)]
    return min(margins)


# computed independently with exact fractions here, on break points that a test house's page gives (secondary)
@pytest.mark.parametrize(
    ("reference", "outer", "inner", "nominal", "spread"),
    [("sae-j2956-2011@1", "24.21", "8.96", 15, "1"), ("sae-j3044-2014@1", "16.23", "5.76", 10, "0.5")],
)
def test_velocity_change_lies_between_the_areas_of_the_corridor(
    reference: str, outer: str, inner: str, nominal: int, spread: str
) -> None:
    lower, upper = _area(_line(reference, "lower")), _area(_line(reference, "upper"))
    limits = dict(_every())[f"{reference}/pulse/velocity-change"]

    assert (f"{float(lower):.2f}", f"{float(upper):.2f}") == (outer, inner)
    assert upper < nominal - Fraction(spread)
    assert nominal + Fraction(spread) < lower
    wanted = [parse(limits[side], Dimension.SPEED).base / MILE_PER_HOUR for side in ("low", "high")]
    assert wanted == [nominal - Fraction(spread), nominal + Fraction(spread)]


# computed independently with exact fractions: a trapezoid that lies inside, its worst margin and its velocity change
@pytest.mark.parametrize(
    ("reference", "pulse", "margin", "change"),
    [
        ("sae-j2956-2011@1", "0 0; 0.012 -22.5; 0.032 -22.5; 0.044 0; 0.1 0", "3.5", "15.79"),
        ("sae-j3044-2014@1", "0 0; 0.0175 -9; 0.055 -9; 0.068 0; 0.2 0", "1", "10.41"),
    ],
)
def test_a_trapezoid_lies_inside_its_corridor(reference: str, pulse: str, margin: str, change: str) -> None:
    points = [point.split() for point in pulse.split(";")]
    channel = [(Fraction(x), Fraction(y)) for x, y in points]
    doubled = [(x, 2 * y) for x, y in channel]

    assert _margin(channel, reference) == Fraction(margin)
    assert f"{float(_area(channel)):.2f}" == change
    assert _margin(doubled, reference) < 0


def test_velocity_changes_of_one_report_are_told_apart_by_direction() -> None:
    quantities = [
        document["quantity"]
        for name, document in _every()
        if name.startswith("sae-") and "velocity-change" in name
    ]

    assert quantities == [
        "document.velocity-change-frontal",
        "test.velocity-change",
        "document.velocity-change-side",
        "test.velocity-change",
        "document.velocity-change-rear",
        "document.velocity-change-rear",
        "test.velocity-change",
    ]


@pytest.mark.parametrize(
    ("reference", "direction"),
    [("sae-j2917-2016@1", "frontal"), ("sae-j2956-2011@1", "side"), ("sae-j3044-2014@1", "rear")],
)
def test_corridor_and_velocity_change_of_a_pulse_are_both_asked_of_its_channel(
    reference: str, direction: str
) -> None:
    """A pulse inside its corridor can still miss its velocity change; no limit of either is confirmed."""
    pack = dict(_every())
    corridor, change, claimed = (
        pack[f"{reference}/pulse/{name}"]
        for name in ("corridor", "velocity-change-recomputed", "velocity-change")
    )

    assert (corridor["direction"], change["direction"]) == (direction, direction)
    assert corridor["processing"]["cfc"] == "60"
    assert (change["low"], change["high"]) == (claimed["low"], claimed["high"])
    assert {each["mark"] for each in (corridor, change)} == {"secondary"}
    clause = PACKS[reference].pack.clauses[0]
    assert set(clause.rule.all) == {each.id for each in clause.criteria}


def test_regions() -> None:
    regions = {reference: entry.pack.region.value for reference, entry in PACKS.items()}

    assert {reference[:3]: region for reference, region in regions.items()} == {
        "com": "international",
        "en-": "europe",
        "iso": "international",
        "kkk": "north-america",
        "sae": "north-america",
    }


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


@pytest.mark.parametrize("language", TRANSLATED)
def test_every_title_is_there_in_every_language_of_the_dossier(language: str) -> None:
    lacking = [
        (reference, title["en"])
        for reference, entry in PACKS.items()
        for title in (
            *([entry.pack.standard.title] if entry.pack.standard else []),
            *(clause.title for clause in entry.pack.clauses),
            *(
                criterion.title
                for clause in entry.pack.clauses
                for criterion in clause.criteria
                if criterion.title
            ),
        )
        if not title.get(language)
    ]

    assert lacking == []
