"""Codes of labels in the photo log: the part of the photo, what it says, and what the record says of it."""

from dataclasses import replace

import pytest

from evidence.dossier import Data, DossierInput, build
from evidence.dossier._label_crops import MOST
from evidence.model.finding import Contradiction
from evidence.model.manifest import Manifest
from evidence.typeset import Typesetter
from tests.dossier import builders
from tests.dossier.test_build import parts
from tests.dossier.test_hook_position import speak, words

VIN = "0BW2231TARN000417"


def source(
    role: str, *codes: str, corners: tuple[int, ...] = (400, 400, 500, 400, 500, 500, 400, 500)
) -> DossierInput:
    """The finished vehicle whose E002 is a label's photo with these codes."""
    made = builders.finished()
    document = made.manifest.document()
    for entry in document["exhibits"]:
        if entry["id"] == "E002":
            entry.update({"role": role, "subject": "p1"})
    item = made.items["E002"]
    photo = item.document()["photo"]
    photo["codes"] = [{"symbology": "qr", "text": text, "corners": list(corners)} for text in codes]
    items = {**made.items, "E002": type(item).read({**item.document(), "photo": photo})}
    return replace(made, manifest=Manifest.read(document), items=items)


def card(given: DossierInput, exhibit: str = "E002") -> Data:
    blocks = next(one["blocks"] for one in build(given, speak)["sections"] if one["id"] == "photos")
    found: Data = next(one for one in blocks if one.get("picture") == exhibit)
    return found


def said(given: DossierInput) -> list[str]:
    return [words(crop["said"]) for crop in card(given)["crops"]]


@pytest.mark.parametrize(
    ("role", "code"),
    [
        ("label-system", "HERON 2 SN H2-004711"),
        ("label-stretcher", "HERON CARRIER SN HC-2291"),
        ("label-stretcher", "HERON CARRIER SN HC-0100"),
    ],
)
def test_a_number_that_the_record_has_too_is_called_the_same(role: str, code: str) -> None:
    (found,) = said(source(role, code))
    assert found.startswith("Label code: HERON")
    assert found.endswith("The record has the same number.")


def test_the_vehicles_own_number_is_called_the_same() -> None:
    given = source("label-vehicle", f"VIN {VIN}")
    vehicle = given.record.vehicle.model_copy(update={"vin": VIN})
    assert said(replace(given, record=given.record.model_copy(update={"vehicle": vehicle})))[0].endswith(
        f"VIN {VIN} The record has the same number."
    )


@pytest.mark.parametrize(
    ("role", "code"),
    [
        ("label-system", "HERON 2 SN H2-004712"),
        ("label-system", "HERON CARRIER SN HC-2291"),
        ("label-system", "HERON 3 SN H2-004711"),
        ("label-system", "BW-9"),
        ("label-vehicle", "VIN 0BW2231TARN000418"),
    ],
)
def test_anything_else_is_not_called_the_same(role: str, code: str) -> None:
    assert said(source(role, code))[0].endswith("Not compared with the record.")


def test_a_contradiction_is_told_beside_its_code_only() -> None:
    given = source("label-system", "HERON 2 SN H2-004712", "HERON 2 SN H2-004711")
    differs = Contradiction.read(
        {
            "id": "label-differs.p1", "rule": "label-differs", "severity": "contradiction",
            "between": [{"where": "p1.serial", "value": "H2-004711"}, {"where": "E002.label", "value": "H2-004712"}],
            "exhibits": ["E002"],
            "reason": {
                "code": "label-differs",
                "parameters": {"exhibit": "E002", "subject": "p1", "recorded": "H2-004711", "found": "H2-004712"},
            },
        }
    )  # fmt: skip
    given = replace(given, manifest=given.manifest.model_copy(update={"contradictions": (differs,)}))
    first, second = said(given)
    assert (
        "Contradiction: The code on the label in photo E002 says H2-004712; the record says H2-004711"
        in first
    )
    assert second.endswith("The record has the same number.")
    assert "contradiction-1" in {part["to"] for part in parts(card(given)["crops"]) if "to" in part}


def test_a_foreign_ticket_beside_a_label_is_told() -> None:
    given = source("label-system", "sillmark:AMB-0999:p1:7k4q2m")
    other = Contradiction.read(
        {
            "id": "photo-of-another-vehicle.E002", "rule": "photo-of-another-vehicle", "severity": "contradiction",
            "between": [{"where": "E002.ticket", "value": "AMB-0999 p1"}, {"where": "E002.subject", "value": "AMB-0417"}],
            "exhibits": ["E002"],
            "reason": {
                "code": "photo-of-another-vehicle",
                "parameters": {"exhibit": "E002", "found": "AMB-0999 p1", "expected": "AMB-0417"},
            },
        }
    )  # fmt: skip
    given = replace(given, manifest=given.manifest.model_copy(update={"contradictions": (other,)}))
    assert "Contradiction:" in said(given)[0]


def test_the_printed_part_holds_the_code_and_stays_in_the_photo() -> None:
    given = source("label-system", "SN H2-004711", corners=(900, 900, 1000, 900, 1000, 1000, 900, 1000))
    (crop,) = card(given)["crops"]
    left, top, right, bottom = crop["box"]
    assert left < 9000
    assert top < 9000
    assert (right, bottom) == (10000, 10000)
    assert crop["photo_alt"] == "Part of photo E002 with the code that says: label code: serial H2-004711"


def test_only_labels_show_parts_and_what_is_shown_is_not_told_twice() -> None:
    given = source("label-system", "SN H2-004711")
    assert "Shows" not in {row["label"] for row in card(given)["rows"]}
    assert card(given, "E003")["crops"] == []
    assert "Shows" in {row["label"] for row in card(given, "E003")["rows"]}
    many = source("label-system", *(f"SN H2-00471{digit}" for digit in range(MOST + 2)))
    told = {row["label"]: words(row["value"]) for row in card(many)["rows"]}
    assert len(card(many)["crops"]) == MOST
    assert told["Shows"] == "label code: serial H2-004716; label code: serial H2-004717"


def test_it_can_be_set() -> None:
    given = source("label-system", "HERON 2 SN H2-004711", "HERON 2 SN 0012")
    with Typesetter() as typesetter:
        pdf = typesetter.typeset(*builders.ready(given, speak), builders.ISSUED)
    assert pdf.startswith(b"%PDF")
