"""Codes in photos: found upright and turned, at half and full size; kept only where they say what a thing is."""

import io
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import pytest
import segno
import zxingcpp
from PIL import Image

from evidence import exhibits, recompute
from evidence.errors import HostileInputError, InputError, Problem
from evidence.exhibits import codes, reading
from evidence.exhibits._answer import Answer
from evidence.exhibits.personal import anonymous, without_personal
from evidence.guard import Guard
from evidence.model.exhibit import Item
from evidence.model.names import CODE_ROLES, Role
from evidence.model.people import People
from tests.exhibits.files import exif, jpeg, noise, png

DEMO = Path(__file__).resolve().parents[2] / "demo_bundle"
TICKET = "sillmark:AMB-0417:p1:7k4q2m"
ORIENTATION = 0x0112
GREY = (150, 150, 150)
_FORMATS = {
    "qr": zxingcpp.BarcodeFormat.QRCode,
    "data-matrix": zxingcpp.BarcodeFormat.DataMatrix,
    "code-39": zxingcpp.BarcodeFormat.Code39,
    "code-128": zxingcpp.BarcodeFormat.Code128,
    "ean-13": zxingcpp.BarcodeFormat.EAN13,
}


def symbol(text: str, symbology: str = "qr", scale: int = 4, *, gs1: bool = False) -> Image.Image:
    """A printed code with its quiet zone."""
    if symbology == "qr" and not gs1:
        out = io.BytesIO()
        segno.make(text, error="m", micro=False).save(out, kind="png", scale=scale, border=4)
        return Image.open(out).convert("L")
    drawn = np.array(zxingcpp.create_barcode(text, _FORMATS[symbology], gs1=gs1).to_image(scale=scale))
    printed = Image.fromarray(drawn)
    paper = Image.new("L", (printed.width + 20 * scale, printed.height + 20 * scale), 255)
    paper.paste(printed, (10 * scale, 10 * scale))
    return paper


def scene(*symbols: Image.Image, size: tuple[int, int] = (1200, 900)) -> Image.Image:
    """A grey wall with the symbols on it, side by side."""
    wall = Image.new("RGB", size, GREY)
    x = 40
    for each in symbols:
        wall.paste(each.convert("RGB"), (x, 60))
        x += each.width + 60
    return wall


def found(data: bytes, *, expected: bool = True) -> list[tuple[str, str]]:
    value: Any = (codes.expected_answer if expected else codes.answer)(data, "E001.jpg").value
    return [(code["symbology"], code["text"]) for code in value["codes"]]


@pytest.mark.parametrize(
    ("symbology", "written", "kept"),
    [
        ("qr", TICKET, TICKET),
        ("data-matrix", "HERON 2 SN 0012", "HERON 2 SN 0012"),
        ("code-39", "I1M8GDM9AXKP042788", "VIN 1M8GDM9AXKP042788"),
        ("code-128", "SN:0012", "SN 0012"),
        ("ean-13", "6291041500213", "(01)06291041500213"),
    ],
)
def test_kinds_of_codes(symbology: str, written: str, kept: str) -> None:
    assert found(jpeg(scene(symbol(written, symbology)))) == [(symbology, kept)]


@pytest.mark.parametrize("symbology", ["qr", "data-matrix", "code-128"])
def test_gs1_symbols_are_told_from_plain_ones(symbology: str) -> None:
    """published: UDI formats by FDA-accredited issuing agency, version 1.3, FDA, 27 January 2017."""
    text = "(01)51022222233336(11)141231(17)150707(10)A213B1(21)1234"

    assert found(jpeg(scene(symbol(text, symbology, 3, gs1=True)))) == [(symbology, text)]


def test_what_is_no_label_is_counted_and_not_kept() -> None:
    wall = scene(symbol("https://example.com/a"), symbol("WIFI:S:bay;P:secret;;"), symbol("BW-2231"))

    value: Any = codes.answer(jpeg(wall), "E001.jpg").value

    assert [code["text"] for code in value["codes"]] == ["BW-2231"]
    assert value["left_out"] == 2


def test_the_same_code_twice_stands_once() -> None:
    assert found(jpeg(scene(symbol("BW-2231"), symbol("BW-2231")))) == [("qr", "BW-2231")]


STORED = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_90,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_270,
}
"""EXIF orientation to how such a camera stores an upright scene, from memory of CIPA DC-008."""


@pytest.mark.parametrize("turned", range(1, 9))
def test_corners_are_those_of_the_upright_picture(turned: int) -> None:
    upright = scene(symbol(TICKET))
    stored = upright.transpose(STORED[turned]) if turned in STORED else upright

    value: Any = codes.answer(jpeg(stored, exif=exif({ORIENTATION: turned})), "E001.jpg").value

    (code,) = value["codes"]
    assert code["text"] == TICKET
    # the symbol begins four modules of four pixels inside its paper, which lies at 40 and 60
    assert code["corners"][0] == pytest.approx(1000 * (40 + 16) / 1200, abs=3)
    assert code["corners"][1] == pytest.approx(1000 * (60 + 16) / 900, abs=3)


def large(text: str, scale: int) -> Image.Image:
    """A photo of 12 million pixels with a code."""
    return scene(symbol(text, scale=scale), size=(4000, 3000))


def test_a_small_code_in_a_large_photo_needs_the_full_size() -> None:
    data = jpeg(large(TICKET, 1), quality=97)

    assert found(data, expected=True) == [("qr", TICKET)]
    assert found(data, expected=False) == []
    assert found(jpeg(large(TICKET, 8)), expected=False) == [("qr", TICKET)]
    assert found(png(large(TICKET, 8)), expected=False) == [("qr", TICKET)]


def test_a_code_that_is_not_kept_does_not_end_the_search() -> None:
    wall = scene(symbol("https://example.com/a", scale=8), symbol(TICKET, scale=1), size=(4000, 3000))
    data = jpeg(wall, quality=97)

    assert found(data, expected=False) == []
    assert found(data, expected=True) == [("qr", TICKET)]


def test_nothing_there_gives_nothing() -> None:
    value: Any = codes.expected_answer(jpeg(noise((400, 300))), "E001.jpg").value

    assert value == {"codes": [], "left_out": 0}


def test_a_damaged_photo_is_refused() -> None:
    with pytest.raises(InputError) as caught:
        codes.answer(jpeg(scene(symbol(TICKET)))[:4000], "E001.jpg")

    assert [problem.code for problem in caught.value.problems] == ["exhibit-truncated"]


def test_only_roles_that_expect_a_code_are_searched() -> None:
    asked = {role: reading.code_reader(role) for role in Role}

    assert {role for role, name in asked.items() if name} == CODE_ROLES
    assert asked[Role.OVERVIEW] == "codes"
    assert asked[Role.HOOK_POSITION] == "codes-expected"
    assert set(filter(None, asked.values())) <= set(exhibits.GUARDED)


def test_an_item_holds_the_codes_that_were_asked_for() -> None:
    data = jpeg(scene(symbol(TICKET), symbol("https://example.com/a")))
    with Guard() as guard:
        asked = reading.read(data, "E001.jpg", "E001", reader=guard.run, codes="codes").item
        plain = reading.read(data, "E001.jpg", "E001", reader=guard.run).item

    assert asked.photo is not None
    assert plain.photo is not None
    assert [(code.symbology, code.text) for code in asked.photo.codes] == [("qr", TICKET)]
    assert (asked.photo.codes_left_out, plain.photo.codes, plain.photo.codes_left_out) == (1, (), 0)


def _answering(value: Any) -> Any:
    def run(name: str, data: bytes, where: str) -> Answer:
        return exhibits.call(name, data, where) if name == "photo" else Answer(value)

    return run


def _giving_up(name: str, data: bytes, where: str) -> Answer:
    if name == "photo":
        return exhibits.call(name, data, where)
    raise HostileInputError((Problem("reader-gave-up", where, "", {"cause": "wall-time"}),))


def test_a_search_that_gives_up_spoils_no_photo() -> None:
    item = reading.read(jpeg(), "E001.jpg", "E001", reader=_giving_up, codes="codes").item

    assert item.kind == "photo"
    assert "photo-codes-unread" in item.warnings


@pytest.mark.parametrize(
    "value",
    [
        None,
        {"codes": []},
        {"codes": [], "left_out": 0, "more": 1},
        {"codes": [{"symbology": "qr", "text": "a\u202eb", "corners": [0] * 8}], "left_out": 0},
        {"codes": [{"symbology": "qr", "text": "x" * 201, "corners": [0] * 8}], "left_out": 0},
        {"codes": [{"symbology": "qr", "text": "x", "corners": [0] * 7 + [1001]}], "left_out": 0},
        {"codes": [{"symbology": "stamp", "text": "x", "corners": [0] * 8}], "left_out": 0},
        {"codes": [], "left_out": -1},
    ],
)
def test_an_answer_outside_its_form_is_refused(value: Any) -> None:
    with pytest.raises(HostileInputError):
        reading.read(jpeg(), "E001.jpg", "E001", reader=_answering(value), codes="codes")


PEOPLE = People.read(
    {"format": "sillmark-people/0", "people": [{"id": "w1", "name": "Ada Fitter"}], "plate": "TV-AM 417"}
)


def _shown(item: Item) -> list[str]:
    assert item.photo is not None
    return [code.text for code in item.photo.codes]


@pytest.mark.parametrize("personal", ["ADA FITTER", "TV-AM 417", "Locker SN TV_AM_417"])
def test_codes_of_free_form_go_where_one_of_them_is_personal(personal: str) -> None:
    data = jpeg(scene(symbol(TICKET), symbol(personal), symbol("SN 0012")))
    item = reading.read(data, "E001.jpg", "E001", reader=exhibits.call, codes="codes").item

    kept = without_personal(item, PEOPLE)

    assert sorted(_shown(item)) == sorted([TICKET, personal, "SN 0012"])
    assert _shown(kept) == [TICKET]
    assert kept.photo is not None
    assert kept.photo.codes_left_out == 2
    assert set(kept.warnings) - set(item.warnings) == {"personal-code-left-out"}
    assert anonymous(item, kept.warnings) == kept == anonymous(kept, kept.warnings)


def test_codes_that_name_nobody_stay() -> None:
    data = jpeg(scene(symbol(TICKET), symbol("SN 0012")))
    item = reading.read(data, "E001.jpg", "E001", reader=exhibits.call, codes="codes").item

    assert without_personal(item, PEOPLE) is item


@pytest.mark.parametrize(
    ("job", "photo", "ticket"),
    [
        *(("job", photo, TICKET) for photo in ("E001", "E003", "E004", "E005")),
        *(("job-with-faults", photo, "sillmark:AMB-0520:p1:c9x3tf") for photo in ("E001", "E003", "E005", "E006")),
        *(("job-with-faults", photo, "sillmark:AMB-0520:p2:c9x3tf") for photo in ("E004", "E007")),
    ],
)  # fmt: skip
def test_tickets_of_the_demonstration_are_read(job: str, photo: str, ticket: str) -> None:
    """Computed independently with OpenCV, wherever its own detector finds the ticket."""
    data = (DEMO / job / "photos" / f"{photo}.jpg").read_bytes()
    grey = cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_GRAYSCALE)
    assert grey is not None
    _, texts, _, _ = cv2.QRCodeDetector().detectAndDecodeMulti(grey)

    assert ("qr", ticket) in found(data)
    assert {text for text in texts if text.startswith("sillmark:")} <= {ticket}


def test_recomputing_compares_what_a_code_says_and_not_where_it_stands() -> None:
    item = reading.read(
        jpeg(scene(symbol(TICKET))), "E001.jpg", "E001", reader=exhibits.call, codes="codes"
    ).item
    assert item.photo is not None
    (code,) = item.photo.codes

    def with_code(**changes: Any) -> Item:
        photo = item.photo.model_copy(update={"codes": (code.model_copy(update=changes),)})  # type: ignore[union-attr]
        return item.model_copy(update={"photo": photo})

    moved, other = with_code(corners=(0,) * 8), with_code(text="sillmark:AMB-0417:p2:7k4q2m")

    assert recompute._comparable(moved) == recompute._comparable(item)
    assert recompute._comparable(other) != recompute._comparable(item)
