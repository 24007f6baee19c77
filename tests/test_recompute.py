"""Judging again from the bundle alone: what was changed and signed by somebody else's rules is told."""

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from evidence import bundle, jsondoc
from evidence.exhibits import call
from evidence.recompute import differences


@dataclass
class Altered:
    """A bundle in which some files read differently."""

    inner: bundle.FolderView
    changed: dict[str, bytes]

    def __getattr__(self, name: str) -> Any:
        return getattr(self.inner, name)

    def read(self, path: str, cap: int) -> bytes:
        """The changed bytes, else those of the bundle."""
        return self.changed.get(path) or self.inner.read(path, cap)


def recomputed(folder: Path, changes: dict[str, Callable[[Any], None]] | None = None) -> list[str]:
    view = bundle.open_view(folder)
    changed = {}
    for path, change in (changes or {}).items():
        document = json.loads(view.read(path, 10**8))
        change(document)
        changed[path] = jsondoc.canonical(document)
    found = differences(Altered(view, changed), call)
    return sorted({problem.code for problem in found})


def test_a_bundle_recomputes_to_itself(sealed: Path, sealed_with_faults: Path) -> None:
    assert recomputed(sealed) == []
    assert recomputed(sealed_with_faults) == []


def test_an_outcome_that_was_improved(sealed_with_faults: Path) -> None:
    def improve(manifest: Any) -> None:
        bad = next(each for each in manifest["findings"] if each["outcome"] == "not met")
        bad["outcome"] = "met"

    assert recomputed(sealed_with_faults, {"data/manifest.json": improve}) == ["recompute-finding"]


@pytest.mark.parametrize("field", ["reason", "rests_on"])
def test_a_ground_that_was_changed(sealed: Path, field: str) -> None:
    def change(manifest: Any) -> None:
        met = next(each for each in manifest["findings"] if each["rests_on"] == ["recorded"])
        met[field] = {"code": "within-limits", "parameters": {}} if field == "reason" else ["measured"]

    assert recomputed(sealed, {"data/manifest.json": change}) == ["recompute-finding"]


def test_a_finding_that_was_left_out(sealed: Path) -> None:
    assert recomputed(sealed, {"data/manifest.json": lambda each: each["findings"].pop()}) == [
        "recompute-finding"
    ]


def test_a_contradiction_that_was_left_out(sealed_with_faults: Path) -> None:
    def drop(manifest: Any) -> None:
        manifest["contradictions"].pop()

    assert recomputed(sealed_with_faults, {"data/manifest.json": drop}) == ["recompute-contradiction"]


def test_an_item_that_says_something_else(sealed: Path) -> None:
    def change(item: Any) -> None:
        item["photo"]["taken"] = "2026-03-04T09:01:00"

    assert "recompute-item" in recomputed(sealed, {"data/items/E006.json": change})


def test_a_record_that_was_changed_after_judging(sealed: Path) -> None:
    def change(record: Any) -> None:
        record["vehicle"]["fleet_number"] = "TV-18"

    assert recomputed(sealed, {"data/inputs/record.json": change}) == ["recompute-record"]


def test_a_record_that_no_model_takes(sealed: Path) -> None:
    assert recomputed(sealed, {"data/inputs/record.json": lambda each: each.pop("positions")}) == [
        "recompute-impossible"
    ]
