"""A set of channels as evidence: told by its content, described without what a laboratory typed freely."""

import io
import zipfile
from array import array
from fractions import Fraction

import pytest
from jsonschema import Draft202012Validator

from evidence import exhibits, jsondoc
from evidence.errors import HostileInputError, InputError
from evidence.exhibits import Answer, _channel_item, _mme_parts, reading, sniff
from evidence.exhibits._base import Reading
from evidence.exhibits._channel import Channel, ChannelSet
from evidence.exhibits.personal import anonymous, without_personal
from evidence.model.exhibit import Item
from evidence.model.people import People
from evidence.phrases import knows, say
from evidence.phrases.pulse_en import NOTICES, PROBLEMS
from tests.exhibits.mme_files import BELT, HEADER, SLED, channel, sine, sled_set, zipped

GOOD = zipped(sled_set(channel(sine(-200)), channel(sine(3000), code=BELT, unit="N")))
PEOPLE = People.read(
    {
        "format": "sillmark-people/0",
        "people": [{"id": "w1", "name": "Ada Fitter"}],
        "site": "Bay 2, Brackwater",
    }
)


def read(data: bytes, where: str = "tests/E005.zip") -> Reading:
    return reading.read(data, where, "E005", reader=exhibits.call)


def refused(data: bytes) -> str:
    with pytest.raises(InputError) as caught:
        read(data)
    (problem,) = caught.value.problems
    assert say(problem.code, problem.parameters)
    return problem.code


def test_a_set_is_read_with_its_item_and_its_samples() -> None:
    found = read(GOOD)

    assert (found.item.kind, found.item.media_type, found.item.warnings) == (
        "channels",
        "application/zip",
        (),
    )
    assert found.item.channels is not None
    assert [each.document() for each in found.item.channels.channels] == [
        {
            "name": name,
            "unit": unit,
            "samples": 1201,
            "interval_s": "0.0001",
            "start_s": "-0.02",
            "recorded": "unfiltered",
            "doubts": [],
        }
        for name, unit in ((SLED, "m/s²"), (BELT, "N"))
    ]
    assert found.channels is not None
    assert reading.channel_set(found) is found.channels
    assert min(found.channels.channels[0].values) == -200
    assert found.channels.title == HEADER["Title"]


def test_the_item_survives_its_own_document_and_the_schema() -> None:
    item = read(GOOD).item
    data = jsondoc.canonical(item.document())

    assert item == Item.read(jsondoc.decode_canonical(data, "items/E005.json"))
    assert not list(Draft202012Validator(Item.model_json_schema()).iter_errors(item.document()))


def test_what_a_laboratory_typed_freely_is_not_in_the_item() -> None:
    plain = channel(sine(-200), code=None, Name_of_the_channel="Sled of Ada Fitter", Reference_system="local")
    item = read(zipped(sled_set(plain, channel(sine(5), code=BELT, unit="N"), codes=["no code", BELT]))).item

    assert item.channels is not None
    assert [each.name for each in item.channels.channels] == ["1", BELT]
    text = jsondoc.canonical(item.document()).decode()
    for typed in (
        "Ada",
        "Sled of",
        *(value for key, value in HEADER.items() if key in ("Title", "Laboratory name")),
    ):
        assert typed not in text


def test_contradictions_stand_in_the_item_by_their_codes() -> None:
    wrong = channel(sine(3000), code=BELT, unit="N", First_global_maximum_value="99")
    found = read(zipped(sled_set(channel(sine(-200)), wrong, codes=[SLED, BELT, "S0SLED000000ACY0"])))

    assert found.item.channels is not None
    assert [each.doubts for each in found.item.channels.channels] == [(), ("mme-extreme-differs",)]
    assert found.item.channels.problems == ("mme-channel-missing", "mme-extreme-differs")
    assert found.channels is not None
    assert sorted(each.where for each in found.channels.problems) == [
        "tests/E005.zip/T1/Channel/T1.002:12",
        "tests/E005.zip/T1/Channel/T1.chn:5",
    ]


def test_what_was_passed_over_is_a_warning_of_the_item() -> None:
    item = read(zipped(sled_set(channel(sine(-200), Time_of_first_sample=None))[2:]), "tests/E005.csv").item

    assert item.warnings == (
        "exhibit-extension",
        "mme-header-missing",
        "mme-list-missing",
        "mme-start-missing",
    )
    assert all(knows(code) for code in item.warnings)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (Fraction(1, 10_000), "0.0001"),
        (Fraction(-1, 20), "-0.05"),
        (Fraction(1, 3), "0.333333333333333"),
        (Fraction(0), "0"),
        (Fraction(10**29), "1" + "0" * 29),
        (Fraction(1, 10**20), "0"),
    ],
)
def test_times_are_decimals(value: Fraction, text: str) -> None:
    assert _channel_item.seconds(value) == text


def test_times_that_no_recorder_has_fit_the_item() -> None:
    far = ChannelSet(
        (Channel("x", "", "u" * 40, None, Fraction(-(10**29)), Fraction(1, 10**18), array("d", [1.0])),)
    )
    fields = {"kind": "channels", "channels": _channel_item.fields_of(far), "warnings": []}
    identity = {"id": "E005", "media_type": "application/zip", "sha256": "0" * 64, "bytes": 1}

    (entry,) = (Item.read({**fields, **identity}).channels or pytest.fail("no channels")).channels

    assert (entry.start_s, entry.interval_s, entry.unit) == ("-1" + "0" * 29, "0", "u" * 20)


def test_axes_with_a_name_of_the_job_are_left_out() -> None:
    named = channel(sine(-200), Reference_system="Ada Fitter's own")
    item = read(zipped(sled_set(named))).item
    assert item.channels is not None
    assert item.channels.channels[0].axes == "ada fitter's own"

    bare = without_personal(item, PEOPLE)

    assert bare.channels is not None
    assert (bare.channels.channels[0].axes, bare.channels.channels[0].unit) == (None, "m/s²")
    assert bare.warnings == ("personal-axes-left-out",)
    assert anonymous(item, bare.warnings) == anonymous(bare, bare.warnings) == bare
    assert without_personal(read(GOOD).item, PEOPLE) == read(GOOD).item


# ── which zips are sets ─────────────────────────────────────────────────────────────────────────────────────


def archive(*members: tuple[str, bytes], stored: bool = True) -> bytes:
    return zipped(members, stored=stored)


BOOK = archive(("[Content_Types].xml", b"x"), ("xl/workbook.xml", b"x"))


def test_a_set_with_a_workbook_among_its_papers_is_a_set() -> None:
    data = archive(*sled_set(channel(sine(-200))), ("T1/Document/times.xlsx", BOOK))

    assert sniff.media_type(data, "x.zip") == sniff.ZIP
    assert read(data).item.kind == "channels"


def test_a_workbook_stays_one() -> None:
    assert sniff.media_type(BOOK, "x") == sniff.XLSX


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (archive(("IMG_1.jpg", b"x")), "exhibit-archive"),
        (archive(("word/document.xml", b"x")), "exhibit-office"),
        (archive(("T1.zip", GOOD)), "exhibit-archive"),
        (archive(("__MACOSX/T1.mme", b"x")), "exhibit-archive"),
        (archive(), "exhibit-archive"),
        (archive(("a.mme", b""), ("b.mme", b"")), "mme-several-tests"),
        (archive(("report.001", b"no header here")), "mme-absent"),
        (archive(("T1/T1.mme", b"Title:x")), "mme-no-channels"),
        (archive(("../T1.001", b"1")), "archive-name"),
        (archive(("T1.001", b"1"), ("t1.001", b"1")), "archive-name-twice"),
        (archive(*((f"a/{at}.001", b"1") for at in range(5001))), "archive-too-many"),
        (archive(("T1.001", b"0\n" * 6_000_000), stored=False), "archive-ratio"),
        (GOOD[:-200], "archive-damaged"),
        (GOOD[:40], "archive-damaged"),
        (b"", "exhibit-empty"),
    ],
)
def test_other_zips_are_refused_by_what_they_are(data: bytes, code: str) -> None:
    assert refused(data) == code


def test_a_zip_with_a_password() -> None:
    data = bytearray(GOOD)
    at = data.find(b"PK\x01\x02")
    while at >= 0:
        data[at + 8] |= 1
        at = data.find(b"PK\x01\x02", at + 4)

    assert refused(bytes(data)) == "archive-password"


def test_names_are_looked_at_in_any_zip(monkeypatch: pytest.MonkeyPatch) -> None:
    assert _mme_parts.holds_parts(GOOD)
    assert not _mme_parts.holds_parts(b"PK\x03\x04")
    assert not _mme_parts.holds_parts(b"PK\x05\x06" + bytes(18))
    monkeypatch.setattr(_mme_parts, "MAX_LOOKED_AT", 2)
    assert not _mme_parts.holds_parts(archive(("a", b""), ("b", b""), ("c.mme", b"")))
    assert not _mme_parts.holds_parts(archive(("a", b""), ("b", b""), ("c.mme", b""))[:-60])


def test_a_zip_with_a_comment_and_one_that_was_streamed() -> None:
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w") as writer:
        writer.comment = b"made by hand" * 20
        for name, content in sled_set(channel(sine(-200))):
            writer.writestr(name.replace("/", "\\"), content)

    assert read(target.getvalue()).item.kind == "channels"


# ── a reader that an attack has taken over ──────────────────────────────────────────────────────────────────


@pytest.mark.parametrize(
    "change",
    [{"channels": []}, {"title": None, "channels": 1}, {"problems": [["mme-sample"]]}, {"notices": "mme"}],
)
def test_an_answer_of_another_form_is_no_set(change: dict[str, object]) -> None:
    plain = exhibits.call("mme", GOOD, "x")
    assert isinstance(plain.value, dict)
    bad = Answer({**plain.value, **change}, plain.blobs)

    with pytest.raises(HostileInputError):
        reading.read(GOOD, "x", "E005", reader=lambda *_: bad)


@pytest.mark.parametrize("code", sorted(code for code in PROBLEMS if code.startswith("mme-")))
def test_what_is_wrong_with_a_set_can_be_said_where_only_the_code_is_known(code: str) -> None:
    """Pages and reasons have codes alone, and no sentence may wait for a number then."""
    assert say(f"cause-{code}")


def test_every_notice_has_a_sentence() -> None:
    assert all(say(code) for code in NOTICES if code.startswith("mme-"))
