"""Which papers speak to a demand: each standard is asked of the reports made to it."""

from dataclasses import replace

import pytest

from evidence.judge import judge
from evidence.judge._standard import family
from evidence.model.finding import Finding
from evidence.model.names import Outcome
from evidence.register.demand import Demands
from tests.judge.builders import asking, case, clause, demand, document, record

TO_EDITION = asking(
    "covers",
    id="edition",
    evidence_from=["type-test-report"],
    fields=[{"claim": "test-standard", "how": "one-of", "values": ["EN 1789:2020"]}],
)
PEAK = asking(
    "within",
    id="peak",
    quantity="document.peak-deceleration",
    low="10 g",
    high=None,
    decision="simple",
    evidence_from=["type-test-report"],
)


def judged(*documents: dict[str, object]) -> dict[str, Finding]:
    asked = [replace(demand(one), standard="EN 1789:2020") for one in (TO_EDITION, PEAK)]
    demands = Demands(tuple(asked), (clause({"all": ["edition", "peak"]}),))
    found = judge(case(record(documents=list(documents)), demands=demands))
    return {finding.requirement.rsplit("/", 1)[1]: finding for finding in found.findings}


OWN = document("d1", "type-test-report", test_standard="BS EN 1789:2020", peak_deceleration="10.6 g")
OTHER = document("d2", "type-test-report", test_standard="EN 1865-5:2012", peak_deceleration="8 g")


def test_a_report_to_another_standard_beside_the_own_one_is_set_aside() -> None:
    found = judged(OWN, OTHER)

    assert found["peak"].outcome == Outcome.MET
    assert found["peak"].documents == ("d1",)
    assert found["edition"].documents == ("d1",)


def test_a_report_to_another_standard_alone_says_so() -> None:
    found = judged(OTHER)

    assert found["edition"].outcome == Outcome.NOT_SHOWN
    assert found["edition"].reason.code == "outside-report"


def test_a_report_that_names_no_standard_stays_asked() -> None:
    unnamed = document("d3", "type-test-report", peak_deceleration="9 g")

    assert judged(OWN, unnamed)["peak"].outcome == Outcome.NOT_MET


def test_a_report_to_both_stays_asked() -> None:
    both = document(
        "d4", "type-test-report", test_standard="EN 1865-5:2012; EN 1789:2020", peak_deceleration="9 g"
    )

    assert judged(OWN, both)["peak"].outcome == Outcome.NOT_MET


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        ("EN 1789:2020", "en 1789"),
        ("EN 1789:2007+A2:2014", "en 1789"),
        ("DIN EN 1789:2020-12", "en 1789"),
        ("BS EN 1789", "en 1789"),
        ("SAE J3027_201611", "j3027"),
        ("SAE J3027 (2016-11)", "j3027"),
        ("J3027", "j3027"),
        ("EN1789:2020", "en 1789"),
        ("NF EN-1789", "en 1789"),
        ("SAE J 3027 NOV2016", "j3027"),
        ("EN 1865-5:2012", "en 1865-5"),
        ("KKK-A-1822E", "kkk-a-1822e"),
    ],
)
def test_every_edition_belongs_to_its_family(written: str, expected: str) -> None:
    assert family(written) == expected
