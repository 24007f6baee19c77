"""Claims of files that hold a personal value are left out, or told; the value itself stands nowhere."""

import pytest

from evidence import exhibits, jsondoc
from evidence.exhibits import reading
from evidence.exhibits.personal import anonymous, personal_claims, personal_headings, without_personal
from evidence.model.exhibit import Item
from evidence.model.people import People
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
