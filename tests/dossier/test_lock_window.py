"""The lock window on paper: both states side by side, their shares, and why a photo decides nothing."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

import pytest

from evidence.dossier import Data, DossierInput, build
from evidence.measure import window as reader
from evidence.model.criterion import Present
from evidence.model.finding import Contradiction, Finding
from evidence.model.manifest import Manifest, ManifestSlot
from evidence.model.names import Group
from evidence.model.profile import Profile
from evidence.phrases.dossier_windows_en import WINDOWS_PAGE
from evidence.register.demand import Demand, Demands
from evidence.typeset import Typesetter
from tests.dossier import builders, judged, records
from tests.dossier.test_build import FORBIDDEN_ON_PAPER, parts
from tests.dossier.test_hook_position import speak, words

FRAME = "400,300,600,300,600,400,400,400"
COLOURS = {"id": "w", "shows": "colour", "locked": "#265cb2", "open": "#eca020", "page": "16"}
LOCKED = {
    "state": "locked", "fractions": {"locked": "0.972", "open": "0.000", "unknown": "0.028"},
    "exhibits": ["E002", "E007"], "open_exhibit": "E007",
}  # fmt: skip
OPEN = {
    "state": "open",
    "fractions": {"locked": "0.004", "open": "0.981", "unknown": "0.015"},
    "exhibits": ["E007"],
}
ASKED = "profile.heron-2@C/7.3/window-locked"


def undecided(code: str, **parameters: str) -> dict[str, Any]:
    """A reading of the locked photo that decides nothing."""
    return {
        "state": "undecided",
        "reason": {"code": code, "parameters": parameters},
        "exhibits": ["E002"],
    }


def source(
    *readings: Mapping[str, Any],
    windows: tuple[Mapping[str, Any], ...] = (COLOURS,),
    reason: str = "window-shows-locked",
    opened: bool = True,
    **locked: str,
) -> DossierInput:
    """The finished vehicle with a photo of each state, what was read from them, and a finding that asks for it."""
    record = records.finished_record()
    for entry in record["exhibits"]:
        if entry["id"] == "E002":
            entry.update({"frame": FRAME, **locked})
            if not entry["frame"]:
                del entry["frame"]
    if opened:
        photo = {
            "id": "E007", "role": "lock-window-open", "subject": "p1", "file": "photos/E007.jpg", "frame": FRAME,
        }  # fmt: skip
        record["exhibits"].append(photo)
    plain = builders.source_from(
        record, builders.manifest_for(record, judged.finished_findings(), [], builders.EUROPEAN_PACKS)
    )
    manifest = plain.manifest.document()
    manifest["windows"] = [
        {"id": f"lock-window.{each['exhibits'][0]}", "subject": "p1", "reading": {"window": "w", **each}}
        for each in readings
    ]
    read = Manifest.read(manifest)
    findings = (*read.findings, _finding(reason))
    profile = Profile.read({**records.PROFILE, "windows": [dict(each) for each in windows]})
    demands = Demands((*plain.demands.criteria, _demand()), ())
    return replace(
        plain, manifest=read.model_copy(update={"findings": findings}), profile=profile, demands=demands
    )


def _finding(reason: str) -> Finding:
    told = {
        "window-shows-locked": {"locked": "97", "open": "0", "unknown": "3", "exhibits": ["E002"]},
        "window-not-read": {"asked": "locked", "cause": "window-frame-missing", "exhibits": ["E002"]},
    }
    return Finding.read(
        judged.finding(
            ASKED,
            "p1",
            "met" if reason == "window-shows-locked" else "not shown",
            (reason, told[reason]),
            group="profile",
            exhibits=["E002"],
        )
    )


def _demand() -> Demand:
    criterion = Present.read(
        {
            "id": "window-locked", "type": "present", "title": {"en": "Photo of the locked window"}, "subject": "position",
            "evidence_from": ["lock-window-locked"], "shows": "locked", "mark": "confirmed", "source": "manual",
            "page": "16", "closes": "fitter",
        }
    )  # fmt: skip
    return Demand(
        requirement=ASKED,
        source="profile.heron-2@C",
        clause="7.3",
        criterion=criterion,
        group=Group.PROFILE,
        applies={},
        title={"en": "Lock window"},
        invented=False,
    )


def coming() -> DossierInput:
    """No photo of the open state, and one that is to come."""
    given = source(undecided("window-open-photo-missing"), opened=False)
    slot = {"id": "E030", "role": "lock-window-open", "subject": "p1", "state": "to come"}
    slots = (ManifestSlot.read(slot),)
    return replace(given, manifest=given.manifest.model_copy(update={"open_exhibits": slots}))


def contradicted() -> DossierInput:
    """A person saw the open state where the photo shows the locked one."""
    given = source(LOCKED, OPEN, reads="open", by="w1")
    against = Contradiction.read(
        {
            "id": "window-against-reading.E002", "rule": "window-against-reading", "severity": "contradiction",
            "between": [{"where": "E002.reads", "value": "open"}, {"where": "E002.measured", "value": "locked"}],
            "exhibits": ["E002", "E007"],
            "reason": {
                "code": "window-against-reading",
                "parameters": {"exhibit": "E002", "found": "locked", "person": "w1", "recorded": "open"},
            },
        }
    )  # fmt: skip
    manifest = given.manifest.model_copy(update={"contradictions": (against,)})
    return replace(given, manifest=manifest)


def without_locked() -> DossierInput:
    """A photo of the open state alone."""
    given = source(OPEN)
    exhibits = tuple(one for one in given.manifest.exhibits if one.id != "E002")
    return replace(given, manifest=given.manifest.model_copy(update={"exhibits": exhibits}))


def section(given: DossierInput) -> Data:
    return next(one for one in build(given, speak)["sections"] if one["id"] == "lock_window")


def panels(given: DossierInput) -> list[Data]:
    return [each for one in section(given)["blocks"] if one["kind"] == "window" for each in one["panels"]]


def rows(given: DossierInput) -> dict[str, str]:
    """Facts below the photos."""
    found = next(one for one in section(given)["blocks"] if one["kind"] == "facts")
    return {row["label"]: words(row["value"]) for row in found["rows"]}


def test_both_states_stand_side_by_side_with_their_shares() -> None:
    data = build(source(LOCKED, OPEN), speak)
    block = next(part for part in parts(data) if part.get("kind") == "window")
    locked, opened = block["panels"]
    assert block["anchors"] == ["window-p1"]
    assert (locked["picture"], opened["picture"]) == ("E002", "E007")
    assert locked["shares"]["alt"] == (
        "Shares of the window in E002: locked colour 97 %, open colour 0 %, neither 3 %"
    )
    assert [(key["label"], key["value"]) for key in opened["shares"]["keys"]] == [
        ("locked colour", "0 %"), ("open colour", "98 %"), ("neither", "2 %"),
    ]  # fmt: skip
    assert words(locked["said"]).startswith(
        "The indicator shows the locked colour at this moment (97 % of its window). Held against the open state in E007"
    )
    assert words(opened["said"]).startswith("The indicator shows the open colour at this moment")


def test_the_printed_part_holds_the_marked_frame_and_its_surroundings() -> None:
    locked = panels(source(LOCKED, OPEN))[0]
    left, top, right, bottom = locked["box"]
    assert left < 4000
    assert right > 6000
    assert top < 3000
    assert bottom > 4000
    # the builders' photos have 4000 by 3000 pixels
    assert locked["width"] / locked["height"] == pytest.approx(
        (right - left) * 4 / ((bottom - top) * 3), abs=0.01
    )
    assert right - left < 4000


def test_requirement_photos_and_section_lead_to_each_other() -> None:
    data = build(source(LOCKED, OPEN), speak)
    to = {one["id"]: {part["to"] for part in parts(one) if "to" in part} for one in data["sections"]}
    assert "window-p1" in to["matrix"]
    assert "window-p1" in to["photos"]
    assert {"item-E002", "item-E007"} <= to["lock_window"]
    assert any(name.startswith("finding-") for name in to["lock_window"])
    told = next(one for one in data["sections"] if one["id"] == "photos")
    assert "Indicator locked colour at this moment" in words(told)


def test_colours_page_and_method_are_named() -> None:
    found = rows(source(LOCKED, OPEN))
    assert found["Declared colours"].replace("\u00a0", " ").strip() == (
        "locked colour #265cb2 open colour #eca020 (manual, p. 16)"
    )
    assert found["Method"].startswith("lock-window-colour/1: ")
    assert [part["swatch"] for part in parts(section(source(LOCKED))) if "swatch" in part] == [
        "#265cb2", "#eca020",
    ]  # fmt: skip
    for limit in (reader.OWN_FRACTION, reader.OTHER_FRACTION, reader.UNKNOWN_FRACTION):
        assert f"{limit * 100:.0f} %" in found["Method"]


@pytest.mark.parametrize(
    ("given", "expected"),
    [
        (lambda: source(OPEN, frame=""), "nobody marked the window's frame in this photo. Mark its four corners"),
        (lambda: source(windows=({"id": "w", "shows": "pin", "page": "16"},)), "a pin and not a colour"),
        (lambda: source(windows=({"id": "w", "shows": "lever", "page": "16"},)), "a lever and not a colour"),
        (lambda: source(windows=({"id": "w", "shows": "lamp", "page": "16"},)), "a lamp and not a colour"),
        (lambda: source(windows=(COLOURS, {**COLOURS, "id": "v"})), "the manual describes several windows"),
        (lambda: source(windows=()), "the fitting profile describes no lock window"),
        (source, "the frame is marked, but the file could not be read as a photo"),
        (
            lambda: source(undecided("colours-too-close", found="21.3", expected="35")),
            "21.3 apart, where 35 is the least. A person must look at the window",
        ),
        (
            lambda: source(undecided("window-open-photo-missing"), opened=False),
            "There is no photo of the same lock window in the open state. Open the lock, take a photo",
        ),
        (
            lambda: source(undecided("window-gloss", found="31")),
            "A reflection covers the lock window; 31 % of it is nearly white. Move a step aside",
        ),
    ],
)  # fmt: skip
def test_a_photo_that_decides_nothing_says_why_and_what_to_do(
    given: Callable[[], DossierInput], expected: str
) -> None:
    locked = panels(given())[0]
    assert expected in words(locked["said"]).replace("\u00a0", " ")
    assert locked["shares"] is None


def test_an_undecided_photo_says_so_first() -> None:
    found = words(panels(source(undecided("window-gloss", found="31")))[0]["said"])
    assert found.startswith("The photo does not decide what the indicator shows. A reflection")


def test_an_undecided_photo_that_was_looked_at_has_its_bar() -> None:
    shares = {"locked": "0.700", "open": "0.250", "unknown": "0.050"}
    reading = undecided("window-between", locked="70", open="25", unknown="5")
    locked = panels(source({**reading, "fractions": shares}))[0]
    assert [key["value"] for key in locked["shares"]["keys"]] == ["70 %", "25 %", "5 %"]


def test_a_further_photo_of_the_open_state_stands_alone_and_misses_nothing() -> None:
    given = source(LOCKED, OPEN)
    record, manifest = given.record, given.manifest
    entry = next(one for one in record.exhibits if one.id == "E007").model_copy(update={"id": "E008"})
    exhibit = next(one for one in manifest.exhibits if one.id == "E007").model_copy(update={"id": "E008"})
    more = replace(
        given,
        record=record.model_copy(update={"exhibits": (*record.exhibits, entry)}),
        manifest=manifest.model_copy(update={"exhibits": (*manifest.exhibits, exhibit)}),
    )
    first, second, third, fourth = panels(more)
    assert (first["picture"], second["picture"]) == ("E002", "E007")
    assert (third["title"], third["said"], third["picture"]) == ([], [], None)
    assert words(fourth["title"]).startswith("Open state E008")


def test_a_pin_is_named_where_colours_would_stand() -> None:
    found = rows(source(windows=({"id": "w", "shows": "pin", "page": "16"},)))
    assert found["Indicator"].replace("\u00a0", " ") == "A pin, no colour (manual, p. 16)"
    assert not {"Declared colours", "Method"} & set(found)


def test_who_has_looked_at_a_pin_is_not_asked_again() -> None:
    pin = ({"id": "w", "shows": "pin", "page": "16"},)
    asked, read = panels(source(windows=pin))[0], panels(source(windows=pin, reads="locked", by="w1"))[0]
    assert words(asked["said"]).endswith("A person looks at it and writes into the record what it showed.")
    assert words(read["said"]).endswith("the indicator is a pin and not a colour.")


def test_without_a_frame_the_whole_photo_is_shown() -> None:
    locked = panels(source(OPEN, frame=""))[0]
    assert locked["box"] == [0, 0, 10000, 10000]
    assert words(locked["caption"]) == "The whole of E002; no frame is marked in it."


def test_a_state_without_a_photo_says_so_or_what_is_to_come() -> None:
    given = source(undecided("window-open-photo-missing"), opened=False)
    missing = panels(given)[1]
    assert missing["picture"] is None
    assert words(missing["said"]).startswith("No photo of the open state was filed for this place. Unlock")
    assert words(panels(coming())[1]["said"]).startswith("Still to come: E030")


def test_a_person_who_looked_is_named_and_a_contradiction_too() -> None:
    found = rows(contradicted())
    assert found["Read by"].startswith("E002")
    assert found["Read by"].endswith("who saw the open state")
    assert "Photo of the lock window against what a person read" in found["Contradicted"]
    assert "the photo shows the locked colour" in found["Contradicted"]


def test_why_a_demand_is_open_stands_beside_it() -> None:
    found = rows(source(OPEN, frame="", reason="window-not-read"))["Requirement"]
    assert "no frame is marked in the photo" in found
    assert "at this moment" not in rows(source(LOCKED, OPEN))["Requirement"]


def test_no_demand_is_said_too() -> None:
    given = source(LOCKED, OPEN)
    plain = replace(given, demands=Demands((), ()))
    assert rows(plain)["Requirement"] == "No requirement asks what this window shows."


def test_every_word_is_said_and_none_is_of_the_code() -> None:
    heard: set[str] = set()

    def listen(code: str, parameters: Mapping[str, object]) -> str:
        heard.add(code)
        return speak(code, parameters)

    kinds = ("pin", "lever", "lamp")
    given = [source(windows=({"id": "w", "shows": kind, "page": "16"},)) for kind in kinds]
    given += [source(windows=()), source(windows=(COLOURS, {**COLOURS, "id": "v"})), source(LOCKED, OPEN)]
    given += [source(frame=""), source(opened=False), without_locked(), contradicted(), coming()]
    given += [replace(given[5], demands=Demands((), ()))]
    for each in given:
        build(each, listen)
        assert not FORBIDDEN_ON_PAPER.search(words(section(each)))
    # what stands beside the codes of labels is in test_label_crops.py
    unsaid = [
        code for code in WINDOWS_PAGE if f"dossier-{code}" not in heard and not code.startswith("label-")
    ]
    assert unsaid == []


def test_without_a_photo_of_the_locked_state_its_side_says_so() -> None:
    first, second = panels(without_locked())
    assert words(first["said"]).startswith("No photo of the locked state was filed for this place. Lock")
    assert second["picture"] == "E007"


@pytest.mark.parametrize(
    "given",
    [
        lambda: source(LOCKED, OPEN),
        lambda: source(undecided("colours-too-close", found="21.3", expected="35"), frame="", opened=False),
    ],
)
def test_both_kinds_can_be_set(given: Callable[[], DossierInput]) -> None:
    with Typesetter() as typesetter:
        pdf = typesetter.typeset(*builders.ready(given(), speak), builders.ISSUED)
    assert pdf.startswith(b"%PDF")
