"""Claims of files that hold a personal value are left out, or told; the value itself stands nowhere."""

import pytest

from evidence import exhibits, jsondoc
from evidence.exhibits import reading
from evidence.exhibits.personal import (
    anonymous,
    of_record,
    personal_claims,
    personal_headings,
    without_personal,
)
from evidence.model.exhibit import Item
from evidence.model.people import People
from evidence.model.record import JobRecord
from tests import phone
from tests.exhibits.files import exif, jpeg, text_pdf, told

PEOPLE = People.read(
    {
        "format": "sillmark-people/0",
        "people": [{"id": "w1", "name": "Ada Fitter", "badge": "00123"}, {"id": "w2", "name": "Bo"}],
        "plate": "TV-AM 417",
        "site": "Bay 2, Brackwater",
    }
)
MODEL, SOFTWARE = 0x0110, 0x0131


def photo(model: str, software: str = "Camera 7.1") -> Item:
    data = jpeg(exif=exif({MODEL: model, SOFTWARE: software}, {}))
    return reading.read(data, "photos/E001.jpg", "E001", reader=exhibits.call).item


def table(heading: str) -> Item:
    data = f"{heading},force [N]\n0.0,1.5\n".encode()
    return reading.read(data, "tests/E003.csv", "E003", reader=exhibits.call).item


@pytest.mark.parametrize(
    ("model", "software", "claims"),
    [
        ("ada fitter's phone", "Camera 7.1", ("camera",)),
        ("Pocket 3", "Fitter, Ada", ("software",)),
        ("ADA-FITTER 3", "TV AM 417", ("camera", "software")),
        ("Pocket 3 of bay 2 Brackwater", "x", ("camera",)),
        ("Pocket 3", "Adam Fitters 00123 Bo", ()),
    ],
)
def test_camera_and_software_with_a_personal_value_are_left_out(
    model: str, software: str, claims: tuple[str, ...]
) -> None:
    item = photo(model, software)
    kept = without_personal(item, PEOPLE)

    assert personal_claims(item, PEOPLE) == claims
    if not claims:
        assert kept is item
        return
    assert kept.photo is not None
    assert (kept.photo.camera, kept.photo.software, kept.photo.width) == (None, None, 64)
    assert kept.warnings == ("personal-claim-left-out",)
    assert kept == anonymous(kept) == Item.read(kept.document())
    stored = jsondoc.canonical(kept.document()).decode().casefold()
    assert [word for word in ("fitter", "am 417", "bay 2") if word in stored] == []


def test_heading_with_a_personal_value_is_told_without_the_value() -> None:
    (problem,) = personal_headings(table("torque Ada Fitter"), PEOPLE, "tests/E003.csv")

    assert (problem.code, problem.where) == ("personal-heading", "tests/E003.csv:1")
    assert problem.parameters == {"column": "1"}
    assert "Fitter" not in told(problem)
    assert personal_headings(table("torque adamant"), PEOPLE, "tests/E003.csv") == ()


def test_other_kinds_claim_nothing_personal() -> None:
    item = reading.read(text_pdf(), "documents/E002.pdf", "E002", reader=exhibits.call).item

    assert (personal_claims(item, PEOPLE), personal_headings(item, PEOPLE, "x")) == ((), ())
    assert without_personal(item, PEOPLE) is anonymous(item) is item


def test_without_people_everything_stays() -> None:
    nobody = People.read({"format": "sillmark-people/0"})

    assert personal_claims(photo("Ada Fitter"), nobody) == ()


RECORD = JobRecord.read(
    phone.record(1).document()
    | {
        "vehicle": {"build": "BW-2231", "module_serial": "M-000417", "fleet_number": "TV 17"},
        "instruments": [{"id": "tw-1", "kind": "torque-wrench", "serial": "TW-204-77"}],
        "screws": [
            {
                "id": "g1",
                "group": "rail",
                "subject": "p1",
                "thread": "M8",
                "property_class": "8.8",
                "lot": "L-77",
                "count": "4",
                "instrument": "tw-1",
                "by": "w1",
                "at": {"state": "to come"},
            }
        ],
    }
)


@pytest.mark.parametrize(
    ("text", "stays"),
    [
        *((each, True) for each in ("BW-2231", "bw-2231", "M-000417", "TV 17", "0001p1", "HC-0001p1")),
        *((each, True) for each in ("TW-204-77", "L-77", "SN 99", "VIN 0BW2231TARN000417")),
        *(
            (each, False)
            for each in ("Jane Doe", "0171 1234567", "jane.doe 4711", "BW-22310", "0BW-2231", "w1")
        ),
    ],
)
def test_a_plain_code_stays_only_as_a_number_of_the_record(text: str, stays: bool) -> None:  # noqa: FBT001
    """An item is never withheld, and who stands in a free code is nobody's business."""
    code = {"symbology": "qr", "text": text, "corners": [0] * 8}
    fields = photo("Pocket 3").document()
    item = Item.read(fields | {"photo": {**fields["photo"], "codes": [code], "codes_left_out": 1}})

    kept = of_record(item, RECORD)

    assert kept.photo is not None
    assert [each.text for each in kept.photo.codes] == ([text] if stays else [])
    assert kept.photo.codes_left_out == (1 if stays else 2)
    assert (text in jsondoc.canonical(kept.document()).decode()) == stays
    assert of_record(kept, RECORD) == kept


def test_a_document_has_no_codes_to_leave_out() -> None:
    item = reading.read(text_pdf(), "documents/E002.pdf", "E002", reader=exhibits.call).item

    assert of_record(item, RECORD) is item
