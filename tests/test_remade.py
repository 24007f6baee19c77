"""Numbers of tests in a sealed bundle, computed again from its channels: what a signer changed is told."""

import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from evidence import pipeline
from evidence.model.result import LabResult
from evidence.remade import _computes_alike
from tests import labcases as lab
from tests.conftest import DEMO, ISSUED, TEST_KEY
from tests.test_recompute import recomputed

MANIFEST = "data/manifest.json"
ENTRY = "  - {id: E090, role: test-channel, subject: p1, file: tests/E090.csv}\n"
TEST = (
    "tests:\n  - {id: l90, kind: dynamic, subject: p1, direction: side, exhibit: E090, document: d1, at: 2024-05-28, "
    "channels: [{use: pulse, name: sled unfiltered, uncertainty: 2 %}]}\ndocuments:\n"
)


def with_a_test(folder: Path) -> Path:
    """A copy of the demonstration job with a sled run of its own and the side pulse's pack."""
    job = Path(shutil.copytree(DEMO / "job", folder / "job"))
    shape = lab.trapezoid(-10.6, 0.01, 0.0834, 0.0934)
    (job / "tests" / "E090.csv").write_bytes(lab.table({"sled unfiltered [g]": shape}, end=0.2))
    text = (job / "job.yaml").read_text(encoding="utf-8")
    assert text.count("\ndocuments:\n") == 1
    text = text.replace("common-practice@1]", "common-practice@1, sae-j2956-2011@1]", 1)
    if "\ntests:\n" in text:
        text = text.replace("\ntests:\n", "\n" + TEST.removesuffix("documents:\n"), 1)
    else:
        text = text.replace("\ndocuments:\n", "\n" + TEST, 1)
    (job / "job.yaml").write_text(text.rstrip("\n") + "\n" + ENTRY, encoding="utf-8")
    return job


@pytest.fixture(scope="module")
def bundle_with_a_test(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("with-a-test")
    order = pipeline.AssembleOrder(folder / "out", ISSUED, "option")
    return pipeline.assemble_job(with_a_test(folder), order, TEST_KEY).written.path


def test_a_bundle_with_a_test_recomputes_to_itself(bundle_with_a_test: Path) -> None:
    assert recomputed(bundle_with_a_test) == []


def _edit(**changes: Any) -> Callable[[Any], None]:
    def change(manifest: Any) -> None:
        result = next(each for each in manifest["results"] if each["asked"].endswith("/corridor"))
        result |= changes

    return change


@pytest.mark.parametrize(
    "changes",
    [
        {"value": "3.5"},
        {"unit": "m/s²"},
        {"begin_s": "0.02"},
        {"end_s": "0.02"},
        {"expanded_uncertainty": "9"},
        {"channel": "another"},
        {"sign": "reversed"},
        {"bound": "lower"},
        {"doubts": [{"code": "figure-near-end", "parameters": {}}]},
        {"notices": []},
        {"processing": {"cfc": "180", "form": "j211"}},
        {"axes": "iso-6487"},
    ],
    ids=lambda changes: next(iter(changes)),
)
def test_a_number_that_a_signer_changed(bundle_with_a_test: Path, changes: dict[str, Any]) -> None:
    assert "recompute-result" in recomputed(bundle_with_a_test, {MANIFEST: _edit(**changes)})


def test_a_number_that_was_left_out_or_called_not_computed(bundle_with_a_test: Path) -> None:
    def drop(manifest: Any) -> None:
        manifest["results"] = []

    def refuse(manifest: Any) -> None:
        result = manifest["results"][0]
        for field in ("value", "unit", "expanded_uncertainty"):
            result.pop(field, None)
        result |= {"state": "not-computed", "reason": {"code": "pulse-too-slow", "parameters": {}}}

    assert "recompute-result" in recomputed(bundle_with_a_test, {MANIFEST: drop})
    assert "recompute-result" in recomputed(bundle_with_a_test, {MANIFEST: refuse})


def test_an_outcome_that_the_channels_would_not_give(bundle_with_a_test: Path) -> None:
    def improve(manifest: Any) -> None:
        _edit(value="3.5")(manifest)

    found = recomputed(bundle_with_a_test, {MANIFEST: improve})

    assert {"recompute-result", "recompute-finding"} <= set(found)


@pytest.mark.parametrize(
    ("value", "uncertainty", "again", "alike"),
    [
        ("22.5", None, "22.5000225", True),
        ("22.5", None, "22.50003", False),
        ("22.500", "0.450", "22.545", True),
        ("22.500", "0.450", "22.546", False),
    ],
)
def test_how_far_machines_may_differ(value: str, uncertainty: str | None, again: str, alike: bool) -> None:  # noqa: FBT001 - the question
    # by hand: a millionth of 22.5 is 0.0000225; a tenth of U is 0.045
    made = lab.only(
        lab.case([lab.within("peak-acceleration", low="1 g")], [SLED], [lab.lab_test()]),
    )
    stored = LabResult.read({**made.document(), "value": value, "expanded_uncertainty": uncertainty})
    computed = stored.model_copy(update={"value": again})

    assert _computes_alike(stored, computed) == alike
    assert not _computes_alike(None, computed)


SLED = lab.reading(lab.table({"sled unfiltered [g]": lab.trapezoid(-22.5, 0.012, 0.032, 0.044)}, end=0.1))
