"""Attachments of a plainly written PDF are those that the library finds; everything else is left to the library."""

import re
import zlib

import pytest

from evidence.errors import InputError
from evidence.exhibits import _plain_pdf, attachment
from evidence.exhibits._plain_pdf import NotPlainError
from tests.conftest import DEMO

DOSSIERS = sorted(DEMO.glob("**/dossier.*.pdf"))
LISTED = b"[(a.json)2 0 R(b.pdf)4 0 R]"
CONTENT = b"two words" * 9


def plain(**changes: bytes) -> bytes:
    """A PDF with two attachments, one compressed and one not; ``changes`` replace parts of it."""
    parts = {
        "one": b"<</Type/Filespec/F(a.json)/UF(a.json)/EF<</F 3 0 R/UF 3 0 R>>/Desc(with \\) and \xfe)>>",
        "two": b"<</Type/Filespec/F(b.pdf)/UF(b.pdf)/EF<</F 5 0 R>>>>",
        "listed": LISTED,
        "catalogue": b"",
        "filter": b"/Filter/FlateDecode",
        "packed": zlib.compress(CONTENT),
        "trailer": b"",
        "after": b"",
        **changes,
    }
    packed = parts["packed"]
    objects = (
        b"<</Type/Catalog/Pages 6 0 R/Names<</EmbeddedFiles<</Names%s>>>>%s>>"
        % (parts["listed"], parts["catalogue"]),
        parts["one"],
        b"<</Type/EmbeddedFile%s/Length %d>>\nstream\n%s\nendstream" % (parts["filter"], len(packed), packed),
        parts["two"],
        b"<</Type/EmbeddedFile/Length 3>>\nstream\nraw\nendstream",
        b"<</Type/Pages/Count 0/Kids[]>>",
    )
    data, places = b"%PDF-1.7\n", []
    for number, each in enumerate(objects, start=1):
        places.append(len(data))
        data += b"%d 0 obj\n%s\nendobj\n" % (number, each)
    table = len(data)
    data += b"xref\n0 %d\n0000000000 65535 f\r\n" % (len(objects) + 1)
    data += b"".join(b"%010d 00000 n\r\n" % place for place in places)
    data += b"trailer\n<</Size %d/Root 1 0 R%s>>\n" % (len(objects) + 1, parts["trailer"])
    return data + parts["after"] + b"startxref\n%d\n%%%%EOF\n" % table


def test_what_our_typesetter_writes_is_plain_and_read_alike() -> None:
    """Every dossier of the demonstration: same names and same bytes as pypdf finds."""
    assert DOSSIERS
    for path in DOSSIERS:
        data = path.read_bytes()
        # computed independently with pypdf
        assert dict(_plain_pdf.attached(data)) == attachment._by_the_library(data, "x"), path


def test_compressed_and_plain_attachments() -> None:
    data = plain()
    assert _plain_pdf.attached(data) == (("a.json", CONTENT), ("b.pdf", b"raw"))
    # computed independently with pypdf
    assert attachment._by_the_library(data, "x") == {"a.json": CONTENT, "b.pdf": b"raw"}


@pytest.mark.parametrize("listed", [b"[]", b"[(a.json)2 0 R]"])
def test_fewer_attachments(listed: bytes) -> None:
    data = plain(listed=listed)
    assert dict(_plain_pdf.attached(data)) == attachment._by_the_library(data, "x")


@pytest.mark.parametrize(
    "changes",
    [
        {"listed": b"[(a.json)2 0 R"},
        {"listed": b"[(a.json)2 0 R(b.pdf)]"},
        {"listed": b"[(a.json)9 0 R]"},
        {"listed": b"[(a.json)<</F(a.json)/UF(a.json)/EF<</F 3 0 R>>>>]"},
        {"listed": b"[(other.json)2 0 R]"},
        {"listed": b"[%\n(a.json)2 0 R]"},
        {"listed": b"[(a.json)2 0 R]/Kids[]"},
        {"listed": b"[" * 99},
        {"catalogue": b"/Names<<>>"},
        {"catalogue": b"/N#61mes<<>>"},
        {"catalogue": b"/Lang(open"},
        {"one": b"<</F(a.json)/UF(b.json)/EF<</F 3 0 R>>>>"},
        {"one": b"<</F(a.json)/UF(a.json)/EF<</F 3 0 R/UF 5 0 R>>>>"},
        {"one": b"<</F(a.json)/UF(a.json)/EF<</F 3 0 R/Unix 5 0 R>>>>"},
        {"one": b"<</F(a.json)/UF(a.json)>>"},
        {"one": b"<</F(a.json)/UF(a.json)/EF<</F(x)>>>>"},
        {"one": b"[(a.json)]"},
        {"one": b"<</F(a.json)/UF(a.json)/EF<</F 2 0 R>>>>"},
        {"filter": b"/Filter/ASCIIHexDecode"},
        {"filter": b"/Filter[/FlateDecode]"},
        {"filter": b"/Filter/FlateDecode/DecodeParms<</Predictor 12>>"},
        {"filter": b"/F(elsewhere)/Filter/FlateDecode"},
        {"filter": b"/Length 4/Filter/FlateDecode"},
        {"packed": b"no such thing"},
        {"packed": zlib.compress(CONTENT)[:-2]},
        {"packed": zlib.compress(CONTENT) + b"more"},
        {"trailer": b"/Prev 10"},
        {"trailer": b"/Encrypt 6 0 R"},
        {"trailer": b"/Root 6 0 R"},
        {"after": b"1 0 obj"},
    ],
    ids=repr,
)
def test_everything_else_is_left_to_the_library(changes: dict[str, bytes]) -> None:
    """Written twice, with escapes, with a change behind it, or damaged: nothing to be quick about."""
    with pytest.raises(NotPlainError):
        _plain_pdf.attached(plain(**changes))


def test_names_that_are_no_plain_ascii_are_left_to_the_library() -> None:
    for name in (rb"(a\)b)", b"(a\xfcb)", b"()"):
        one = b"<</F%s/UF%s/EF<</F 3 0 R>>>>" % (name, name)
        with pytest.raises(NotPlainError):
            _plain_pdf.attached(plain(one=one, listed=b"[%s 2 0 R]" % name))


def test_what_unpacks_to_more_than_is_looked_at_is_left_to_the_library(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(_plain_pdf, "MAX_BYTES", len(CONTENT) - 1)
    with pytest.raises(NotPlainError):
        _plain_pdf.attached(plain())


def test_two_of_one_name_are_refused_in_a_plain_pdf_too() -> None:
    data = plain(listed=b"[(a.json)2 0 R(a.json)2 0 R]")
    assert len(_plain_pdf.attached(data)) == 2  # so it was not the library that refused
    with pytest.raises(InputError, match="pdf-attachment-twice"):
        attachment.attachments(data, "x")


def test_a_damaged_byte_never_makes_another_answer() -> None:
    """Wherever one byte of the structure is another one, the answer is none, or that of the library."""
    data = plain()
    structure = [match.start() for match in re.finditer(rb"[\[\]<>/()]", data)]
    for place in structure:
        damaged = data[:place] + b"#" + data[place + 1 :]
        try:
            quick = dict(_plain_pdf.attached(damaged))
        except NotPlainError:
            continue
        # computed independently with pypdf
        assert quick == attachment._by_the_library(damaged, "x"), place
