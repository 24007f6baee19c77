"""The manifest agrees with itself, or says where it does not."""

import json
from pathlib import Path

import pytest

from evidence.errors import Problem
from evidence.manifest import _position, inner_problems
from evidence.model.manifest import Manifest
from evidence.model.record import Position


@pytest.fixture(scope="module")
def manifest(sealed_with_faults: Path) -> Manifest:
    return Manifest.read(json.loads((sealed_with_faults / "data/manifest.json").read_bytes()))


def codes(problems: tuple[Problem, ...]) -> list[str]:
    return sorted({problem.code for problem in problems})


def test_a_made_manifest_agrees_with_itself(manifest: Manifest) -> None:
    assert inner_problems(manifest) == ()


def test_a_finding_that_stands_twice(manifest: Manifest) -> None:
    doubled = manifest.model_copy(update={"findings": (*manifest.findings, manifest.findings[0])})

    assert "manifest-repeated" in codes(inner_problems(doubled))


def test_an_exhibit_that_is_not_there(manifest: Manifest) -> None:
    without = manifest.model_copy(update={"exhibits": manifest.exhibits[1:]})

    assert codes(inner_problems(without)) == ["manifest-dangling"]


def test_a_basis_stated_by_nobody(manifest: Manifest) -> None:
    without = manifest.model_copy(update={"people": ()})

    assert codes(inner_problems(without)) == ["manifest-dangling"]


@pytest.mark.parametrize("change", [{"open": 0}, {"state": "complete"}, {"summary": {}}])
def test_counts_that_do_not_follow(manifest: Manifest, change: dict[str, object]) -> None:
    assert codes(inner_problems(manifest.model_copy(update=change))) == ["manifest-miscounted"]


def test_open_places_are_listed_with_their_state(manifest: Manifest) -> None:
    assert [(slot.id, slot.state) for slot in manifest.open_exhibits] == [
        ("E017", "to come"),
        ("E019", "to come"),
    ]


def test_model_and_serial_of_full_length_fit_together() -> None:
    longest = {"model": "M" * 90, "serial": "S" * 90}
    stretchers = {"tested_with": [longest], "delivered_with": [longest]}
    system = {"model": "Heron 2", "serial": "H2"}
    made = _position(
        Position.read({"id": "p1", "system": system, "loading": "rear", "stretchers": stretchers})
    )

    expected = (f"{'M' * 90} {'S' * 90}",)
    assert (made.stretchers_tested_with, made.stretchers_delivered_with) == (expected, expected)
