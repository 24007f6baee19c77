"""Judging again from the bundle alone: what was changed and signed by somebody else's rules is told."""

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from evidence import bundle, jsondoc, recompute
from evidence.errors import HostileInputError, MissingToolError, Problem
from evidence.examining import read_or_say_why
from evidence.exhibits import Answer
from evidence.exhibits._base import Reading
from evidence.model.exhibit import Item
from evidence.model.manifest import Manifest
from evidence.recompute import differences
from tests.exhibits.files import jpeg, png
from tests.remembered import remembered_call as call


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

    assert "recompute-finding" in recomputed(sealed_with_faults, {"data/manifest.json": improve})


@pytest.mark.parametrize("field", ["reason", "rests_on"])
def test_a_ground_that_was_changed(sealed: Path, field: str) -> None:
    def change(manifest: Any) -> None:
        met = next(each for each in manifest["findings"] if each["rests_on"] == ["recorded"])
        met[field] = {"code": "within-limits", "parameters": {}} if field == "reason" else ["measured"]

    assert recomputed(sealed, {"data/manifest.json": change}) == ["recompute-finding"]


def test_a_finding_that_was_left_out(sealed: Path) -> None:
    found = recomputed(sealed, {"data/manifest.json": lambda each: each["findings"].pop()})

    assert "recompute-finding" in found


def test_a_contradiction_that_was_left_out(sealed_with_faults: Path) -> None:
    def drop(manifest: Any) -> None:
        manifest["contradictions"].pop()

    assert "recompute-contradiction" in recomputed(sealed_with_faults, {"data/manifest.json": drop})


# as_of and known_on are the question that was asked; findings and contradictions have tests of their own
GIVEN = {"format", "tool", "judge", "as_of", "known_on", "findings", "contradictions"}
MANIFEST_FIELDS = sorted(set(Manifest.model_fields) - GIVEN)


@pytest.mark.parametrize("field", MANIFEST_FIELDS)
def test_no_field_of_the_manifest_can_be_changed_unnoticed(sealed_with_faults: Path, field: str) -> None:
    """What a signer writes into the manifest must follow from record, packs, profile and files."""

    def change(manifest: Any) -> None:
        manifest[field] = altered(field, manifest[field])

    found = recomputed(sealed_with_faults, {"data/manifest.json": change})

    assert found != []


RESULT = {
    "id": "l1/d1/peak-deceleration",
    "asked": "d1/peak-deceleration",
    "test": "l1",
    "exhibit": "E001",
    "direction": "side",
    "quantity": "peak-acceleration",
    "use": "pulse",
    "state": "computed",
    "value": "10",
    "unit": "g",
    "method": "pulse/1",
}
"""A number of a test that the job does not have."""


def altered(field: str, value: Any) -> Any:
    """A value that the format still takes."""
    other = {
        "state": "complete",
        "open": 0,
        "job": "AMB-0521",
        "concessions": ["c9"],
        "record_sha256": "0" * 64,
    }
    if field in other:
        return other[field]
    if field == "results":
        return value[:-1] or [RESULT]
    if field == "summary":
        return {**value, "met": value["met"] + 1}
    if isinstance(value, dict):
        key = next(name for name in sorted(value) if isinstance(value[name], str))
        return {**value, key: "X" if key not in ("at", "by") else "w1"}
    return value[:-1]


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("concession", "c9"),
        ("group", "practice"),
        ("mark", "published"),
        ("closes", "agency"),
        ("expires", "2099-01-01"),
        ("parts", []),
        ("exhibits", []),
    ],
)
def test_no_field_of_a_finding_can_be_changed_unnoticed(
    sealed_with_faults: Path, field: str, value: Any
) -> None:
    def change(manifest: Any) -> None:
        bad = next(
            each for each in manifest["findings"] if each[field] != value and each["outcome"] == "not met"
        )
        bad[field] = value

    assert "recompute-finding" in recomputed(sealed_with_faults, {"data/manifest.json": change})


@pytest.mark.parametrize("as_of", ["never", "0001-01-01", "9999-99-99"])
def test_a_day_that_is_none_stops_recomputing_without_a_crash(sealed: Path, as_of: str) -> None:
    def change(manifest: Any) -> None:
        manifest["as_of"] = as_of

    assert recomputed(sealed, {"data/manifest.json": change}) == ["recompute-impossible"]


def test_an_item_that_says_something_else(sealed: Path) -> None:
    def change(item: Any) -> None:
        item["photo"]["taken"] = "2026-03-04T09:01:00"

    assert "recompute-item" in recomputed(sealed, {"data/items/E006.json": change})


def test_a_record_that_was_changed_after_judging(sealed: Path) -> None:
    def change(record: Any) -> None:
        record["vehicle"]["fleet_number"] = "TV-18"

    assert recomputed(sealed, {"data/inputs/record.json": change}) == ["recompute-manifest"]


def test_a_record_that_no_model_takes(sealed: Path) -> None:
    assert recomputed(sealed, {"data/inputs/record.json": lambda each: each.pop("positions")}) == [
        "recompute-impossible"
    ]


@pytest.mark.parametrize("media", ["image/heic", "image/jpeg"])
@pytest.mark.parametrize("side", ["recompute-extra-missing", "recompute-sealed-unread"])
def test_an_item_that_only_one_side_could_read_is_named(
    sealed: Path, side: str, media: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is no difference, and everything else is still judged again with the stored word."""
    inner = bundle.open_view(sealed)
    manifest = Manifest.read(json.loads(inner.read("data/manifest.json", 10**8)))
    exhibit = next(each for each in manifest.exhibits if each.role == "overview")
    stored = json.loads(inner.read(f"data/{exhibit.item}", 10**8)) | {"media_type": media}
    unread = {name: stored[name] for name in ("format", "id", "sha256", "bytes", "media_type", "salt")}
    unread |= {"kind": "unreadable", "unreadable": {"code": "heic-extra-missing"}, "warnings": []}
    theirs, ours = (stored, unread) if side == "recompute-extra-missing" else (unread, stored)

    def reading(data: bytes, where: str, known: Any, reader: Any) -> Reading:
        if where == exhibit.file:
            return Reading(Item.read(ours))
        return read_or_say_why(data, where, known, reader)

    monkeypatch.setattr(recompute, "read_or_say_why", reading)
    sealed_as = [
        each.model_copy(update={"media_type": media}) if each is exhibit else each
        for each in manifest.exhibits
    ]
    told = manifest.model_copy(update={"exhibits": tuple(sealed_as)})
    changed = {
        f"data/{exhibit.item}": jsondoc.canonical(theirs),
        "data/manifest.json": jsondoc.canonical(told.document()),
    }
    found = differences(Altered(inner, changed), call)

    if media != "image/heic":  # no extra is wanted for it, so whoever says so hides what it shows
        assert "recompute-item" in {problem.code for problem in found}
        assert side not in {problem.code for problem in found}
        return
    named = [problem for problem in found if problem.code.startswith("recompute-") and problem.code == side]
    assert [problem.parameters["found"] for problem in named] == [exhibit.id]
    assert "recompute-item" not in {problem.code for problem in found}
    if side == "recompute-extra-missing":
        assert found == tuple(named)


def _left_out(item: Any) -> None:
    """What a signer writes who would rather not show a label's number."""
    item["photo"]["codes_left_out"] = len(item["photo"]["codes"])
    item["photo"]["codes"] = []
    item["warnings"] = sorted([*item["warnings"], "personal-code-left-out"])


def test_a_label_that_the_signer_calls_personal(sealed: Path) -> None:
    """The names lie in the bundle, so whether a code holds one is looked up and not believed."""
    found = recomputed(sealed, {"data/items/E006.json": _left_out})

    assert "recompute-item" in found
    assert "recompute-people-withheld" not in found


class Withheld(Altered):
    """The same without the files of people."""

    @property
    def sizes(self) -> dict[str, int]:
        """Without what is withheld."""
        return {path: size for path, size in self.inner.sizes.items() if not path.startswith("data/people/")}


def test_what_is_left_out_as_personal_is_told_where_the_names_are_withheld(sealed: Path) -> None:
    view = bundle.open_view(sealed)
    item = json.loads(view.read("data/items/E006.json", 10**8))
    _left_out(item)
    found = differences(Withheld(view, {"data/items/E006.json": jsondoc.canonical(item)}), call)

    told = [problem for problem in found if problem.code == "recompute-people-withheld"]
    assert [problem.parameters["found"] for problem in told] == ["E006"]
    assert "recompute-item" not in {problem.code for problem in found}
    assert differences(Withheld(view, {}), call) == ()


def _gave_up(item: Any) -> None:
    item["photo"]["codes"], item["photo"]["codes_left_out"] = [], 0
    item["warnings"] = sorted([*item["warnings"], "photo-codes-unread"])


def test_a_search_for_codes_that_gave_up_on_one_side_is_told(sealed: Path) -> None:
    """How long the search takes hangs on the machine; no other difference hides behind it."""

    def another_time(item: Any) -> None:
        _gave_up(item)
        item["photo"]["taken"] = "2026-03-04T09:01:00"

    found = recomputed(sealed, {"data/items/E006.json": _gave_up})
    assert "recompute-codes-unread" in found
    assert "recompute-item" not in found
    hidden = recomputed(sealed, {"data/items/E006.json": another_time})
    assert "recompute-item" in hidden
    assert "recompute-codes-unread" not in hidden


def test_a_search_that_gives_up_here_changes_nothing_else(sealed: Path) -> None:
    def slow(name: str, data: bytes, where: str) -> Any:
        if name.startswith("codes"):
            raise HostileInputError((Problem("reader-gave-up", where, "", {"cause": "time"}),))
        return call(name, data, where)

    found = differences(bundle.open_view(sealed), slow)

    assert {problem.code for problem in found} == {"recompute-codes-unread"}


PAGE = "data/derived/E011.page-1.jpg"


@dataclass
class WithFiles(Altered):
    """The same with other files below ``data/derived/`` as well."""

    @property
    def sizes(self) -> dict[str, int]:
        """With what was put there."""
        return {**self.inner.sizes, **{path: len(data) for path, data in self.changed.items()}}


@pytest.mark.parametrize(
    ("path", "data"),
    [
        (PAGE, b"\xff\xd8\xff no picture \xff\xd9"),
        (PAGE, png()),
        (PAGE, jpeg(Image.new("L", (2481, 16)))),
        ("data/derived/E011.page-9.jpg", jpeg()),
        ("data/derived/E011.page-0.jpg", jpeg()),
        ("data/derived/E012.page-1.jpg", jpeg()),
        ("data/derived/E099.page-1.jpg", jpeg()),
        ("data/derived/E011.annex-1.jpg", png()),
        ("data/derived/E009.annex-3.jpg", jpeg()),
        # the workshop's own card, and a photo
        ("data/derived/E015.annex-1.jpg", jpeg()),
        ("data/derived/E001.annex-1.jpg", jpeg()),
    ],
)
def test_a_picture_of_a_page_that_cannot_be_one(sealed: Path, path: str, data: bytes) -> None:
    view = bundle.open_view(sealed)
    found = differences(WithFiles(view, {path: data}), call)

    assert [(problem.code, problem.where) for problem in found] == [("recompute-page-picture", path)]


def test_a_picture_of_a_page_that_was_swapped_is_not_noticed(sealed: Path) -> None:
    """What recomputing does not promise: it makes no page again, and says so."""
    assert differences(WithFiles(bundle.open_view(sealed), {PAGE: jpeg()}), call) == ()
    assert "picture of a page is only held" in (differences.__doc__ or "")


def _window(manifest: Any, exhibit: str) -> Any:
    return next(each["reading"] for each in manifest["windows"] if each["reading"]["exhibits"][0] == exhibit)


def test_a_window_that_is_read_a_little_otherwise_is_the_same(sealed: Path) -> None:
    """Another processor may round a cell to the other side; whole percents are what a finding tells."""

    def nudge(manifest: Any) -> None:
        _window(manifest, "E005")["fractions"] = {"locked": "0.996", "open": "0.000", "unknown": "0.004"}

    assert recomputed(sealed, {"data/manifest.json": nudge}) == []


def test_shares_of_a_window_that_were_changed(sealed: Path) -> None:
    def change(manifest: Any) -> None:
        _window(manifest, "E005")["fractions"] = {"locked": "0.950", "open": "0.000", "unknown": "0.050"}

    assert "recompute-measurement" in recomputed(sealed, {"data/manifest.json": change})


def test_a_window_that_is_said_to_show_what_its_photo_does_not(sealed: Path) -> None:
    """Reading and finding agree with each other, and the photo with neither."""

    def tamper(manifest: Any) -> None:
        told = {"locked": "0.000", "open": "1.000", "unknown": "0.000"}
        _window(manifest, "E005").update({"state": "open", "fractions": told})
        found = next(each for each in manifest["findings"] if each["reason"]["code"] == "window-shows-locked")
        parameters = {"asked": "locked", "exhibits": ["E005"], "locked": "0", "open": "100", "unknown": "0"}
        found["outcome"] = "not met"
        found["reason"] = {"code": "window-shows-other", "parameters": parameters}

    found = recomputed(sealed, {"data/manifest.json": tamper})
    assert "recompute-measurement" in found
    assert "recompute-measured-outcome" in found
    assert "recompute-finding" not in found


def test_a_window_that_was_left_out(sealed: Path) -> None:
    def leave_out(manifest: Any) -> None:
        manifest["windows"] = [each for each in manifest["windows"] if each["id"] != "lock-window.E005"]

    found = recomputed(sealed, {"data/manifest.json": leave_out})
    assert {"recompute-measurement", "recompute-measured-outcome"} <= set(found)


def test_a_window_of_a_photo_that_is_not_there(sealed: Path) -> None:
    def rename(manifest: Any) -> None:
        reading = _window(manifest, "E005")
        reading["open_exhibit"] = "E099"
        reading["exhibits"] = ["E005", "E099"]

    assert "manifest-dangling" in recomputed(sealed, {"data/manifest.json": rename})


def test_a_window_that_stands_twice(sealed: Path) -> None:
    def repeat(manifest: Any) -> None:
        manifest["windows"].append(manifest["windows"][0])

    assert "manifest-repeated" in recomputed(sealed, {"data/manifest.json": repeat})


@pytest.mark.parametrize(
    ("role", "measuring"), [("lock-window-locked", "measure-window"), ("hook-position", "measure-view")]
)
def test_what_rests_on_a_photo_that_no_extra_reads_here_stands_as_stored(
    sealed: Path, role: str, measuring: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is named with its photo, and is no difference."""
    inner = bundle.open_view(sealed)
    manifest = json.loads(inner.read("data/manifest.json", 10**8))
    exhibit = next(each for each in manifest["exhibits"] if each["role"] == role)
    exhibit["media_type"] = "image/heic"
    stored = json.loads(inner.read(f"data/{exhibit['item']}", 10**8)) | {"media_type": "image/heic"}
    unread = {name: stored[name] for name in ("format", "id", "sha256", "bytes", "media_type", "salt")}
    unread |= {"kind": "unreadable", "unreadable": {"code": "heic-extra-missing"}, "warnings": []}

    def reading(data: bytes, where: str, known: Any, reader: Any) -> Reading:
        if where == exhibit["file"]:
            return Reading(Item.read(unread))
        return read_or_say_why(data, where, known, reader)

    def without_extra(name: str, data: bytes, where: str, /) -> Answer:
        # the photo of the open state alone can be read
        if name == measuring and b'"held":false' not in data.partition(b"\n")[0]:
            raise MissingToolError.one("heic-extra-missing", where)
        return call(name, data, where)

    monkeypatch.setattr(recompute, "read_or_say_why", reading)
    changed = {
        f"data/{exhibit['item']}": jsondoc.canonical(stored),
        "data/manifest.json": jsondoc.canonical(manifest),
    }
    found = differences(Altered(inner, changed), without_extra)

    assert [(each.code, each.parameters["found"]) for each in found] == [
        ("recompute-extra-missing", exhibit["id"])
    ]
