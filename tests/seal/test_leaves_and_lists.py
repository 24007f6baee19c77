"""Leaves, sum lists, paths, salts and the signature's key, each alone."""

import hashlib
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evidence import jsondoc
from evidence.errors import InputError
from evidence.seal import leaves, paths, salt, sign, tag
from evidence.seal.layout import FileDigest
from evidence.seal.public_key import is_strict_der, read_public_key
from tests.seal import factory

D = "0" * 64
KINDS = {"E001": "photo", "E002": "document", "E003": "table"}


def test_salt_of_the_worked_example() -> None:
    """Source: computed independently with hmac and hashlib, by the formula in words: seed, path, 00, SHA-256."""
    person = {"badge": "0012", "format": "sillmark-person/0", "id": "w1", "name": "Fitter One"}
    salted = salt.salted("data/people/w1.json", person, bytes(range(32)))
    assert salted["salt"] == "2d3995f60a5710afe99242b94056d5a5"
    assert tag.write_sums({"data/people/w1.json": jsondoc.digest(jsondoc.canonical(salted))}) == (
        b"8f80fc19795909ffa79b585586cb52afe43123d58c6835d348cbdd88705ff68d  data/people/w1.json\n"
    )


def test_salt_replaces_an_older_one_and_follows_path_and_seed() -> None:
    person = {"id": "w1", "salt": "old"}
    first = salt.salted("data/people/w1.json", person, factory.SEED)
    assert salt.salted("data/people/w1.json", first, factory.SEED) == first
    assert salt.salt("data/people/w2.json", {"id": "w1"}, factory.SEED) != first["salt"]
    assert salt.salt("data/people/w1.json", {"id": "w1"}, bytes(32)) != first["salt"]
    with pytest.raises(ValueError, match="31 bytes, not 32"):
        salt.salted("x", {}, bytes(31))


def split(*names: str, kinds: dict[str, str] | None = None) -> tuple[set[str], set[str]]:
    lists = leaves.split(dict.fromkeys(names, D), KINDS if kinds is None else kinds)
    return set(lists.evidence), set(lists.personal)


def test_person_is_personal() -> None:
    assert split("data/people/w1.json", "data/manifest.json") == (
        {"data/manifest.json"},
        {"data/people/w1.json"},
    )


def test_photo_with_redacted_copy_is_personal_and_the_copy_is_not() -> None:
    evidence, personal = split(
        "data/files/E001.jpg",
        "data/derived/E001.redacted.jpg",
        "data/derived/E001.page-1.jpg",
        "data/items/E001.json",
    )
    assert personal == {"data/files/E001.jpg", "data/derived/E001.page-1.jpg"}
    assert evidence == {"data/derived/E001.redacted.jpg", "data/items/E001.json"}


def test_without_redacted_copy_nothing_is_personal() -> None:
    assert split("data/files/E001.jpg", "data/derived/E001.page-1.jpg")[1] == set()


def test_document_with_a_stub_is_personal() -> None:
    assert split("data/files/E002.pdf", "data/derived/E002.redacted.json")[1] == {"data/files/E002.pdf"}


def test_table_is_never_personal() -> None:
    names = ("data/files/E003.csv", "data/derived/E003.redacted.json")
    assert split(*names)[1] == set()
    assert leaves.wrong_twins(names, KINDS) == ("data/derived/E003.redacted.json",)


def test_exhibit_of_unstated_kind_is_never_personal() -> None:
    names = ("data/files/E001.jpg", "data/derived/E001.redacted.jpg")
    assert split(*names, kinds={})[1] == set()
    assert leaves.wrong_twins(names, {}) == ("data/derived/E001.redacted.jpg",)


def test_dossiers_of_all_languages_are_personal_where_one_is_redacted() -> None:
    names = ("data/dossier.de.pdf", "data/dossier.en.pdf", "data/dossier.en.redacted.pdf")
    assert split(*names) == ({names[2]}, {names[0], names[1]})


@pytest.mark.parametrize("picture", ["E002.page-3.jpg", "E002.annex-3.jpg"])
def test_a_picture_of_a_page_is_personal_beside_a_redacted_copy(picture: str) -> None:
    names = (f"data/derived/{picture}", "data/derived/E002.redacted.json", "data/files/E002.pdf")
    assert split(*names) == ({names[1]}, {names[0], names[2]})


@pytest.mark.parametrize(
    ("name", "strange"),
    [
        ("E002.page-3.jpg", False),
        ("E002.page-4.jpg", True),
        ("E001.page-3.jpg", True),
        ("E002.page-3.png", True),
        ("E002.annex-5.jpg", False),
        ("E002.annex-6.jpg", True),
        ("E001.annex-5.jpg", True),
        ("E002.page-3.jpg.jpg", True),
        ("E002.redacted.pdf", False),
        ("E001.redacted.jpg", False),
        ("E002.redacted.json", False),
        # nothing makes these: a photo's copy is a picture, a document's a document or a stub
        ("E001.redacted.pdf", True),
        ("E001.redacted.json", True),
        ("E002.redacted.jpg", True),
        ("E001.print.jpg", True),
        ("E001.other.jpg", True),
        ("E003.page-3.jpg", True),
        ("E009.redacted.jpg", True),
        ("E002", True),
    ],
)
def test_a_derived_file_comes_from_a_photo_a_document_or_a_page_that_was_read(
    name: str, *, strange: bool
) -> None:
    read = frozenset({"E002.page-3", "E003.page-3", "E002.annex-5"})
    path = f"data/derived/{name}"

    assert leaves.strange_derived([path, "data/files/odd.name"], KINDS, read) == ((path,) if strange else ())


def test_pages_that_were_read_or_cited_come_from_the_record() -> None:
    claims = [
        {"name": "lot", "page": "3", "read_by": "w3"},
        {"name": "lot", "page": "4"},
        {"name": "lot", "read_by": "w3"},
    ]
    record = {"documents": [{"exhibit": "E002", "claims": claims}, {"held": {}, "claims": claims}, {}]}

    assert leaves.page_pictures(record) == {"E002.page-3", "E002.annex-3", "E002.annex-4"}
    assert leaves.page_pictures({"exhibits": [{"id": "E007"}]}) == {"E007.annex-1"}
    assert leaves.page_pictures({}) == leaves.page_pictures(None) == frozenset()


def test_one_exhibit_has_no_say_over_another() -> None:
    assert split("data/files/E0011.jpg", "data/derived/E001.redacted.jpg")[1] == set()


def test_kinds_come_from_items_alone() -> None:
    documents = {
        "data/items/E001.json": {"kind": "photo"},
        "data/items/E002.json": {"kind": 7},
        "data/items/E003.json": [],
        "data/people/E004.json": {"kind": "photo"},
    }
    assert leaves.kinds_of(documents) == {"E001": "photo"}


safe_part = st.from_regex(r"[A-Za-z0-9_-]{1,8}(\.[a-z]{1,3})?", fullmatch=True).filter(
    lambda part: not paths.path_fault(part)
)


@given(
    st.dictionaries(st.builds("data/{}".format, safe_part), st.from_regex(r"[0-9a-f]{64}", fullmatch=True))
)
def test_list_that_was_written_is_read_again(digests: dict[str, str]) -> None:
    found, problems = tag.read_sums(tag.write_sums(digests), "list")
    assert found == digests
    assert {problem.code for problem in problems} <= {"path-collision"}


@given(st.binary(max_size=200))
def test_any_bytes_read_without_problem_are_what_would_be_written(content: bytes) -> None:
    found, problems = tag.read_sums(content, "list")
    if not problems:
        assert tag.write_sums(found) == content


@pytest.mark.parametrize(("path", "digest"), [("../x", D), ("data/x", D.upper() + "A"), ("data/x", "0" * 63)])
def test_writer_refuses_what_the_reader_would(path: str, digest: str) -> None:
    with pytest.raises(ValueError, match="not a line of a sum list"):
        tag.write_sums({path: digest})


def test_list_is_what_sha256sum_writes() -> None:
    """Source: FIPS 180-4 digest of the empty message, computed independently with hashlib."""
    assert tag.write_sums({"data/x": hashlib.sha256(b"").hexdigest()}) == (
        b"e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855  data/x\n"
    )


@pytest.mark.parametrize(
    ("path", "fault"),
    [
        ("", "empty"),
        ("a//b", "empty"),
        ("a/", "empty"),
        ("a" * 201, "too-long"),
        ("/".join("abcdefghi"), "too-long"),
        ("a\nb", "control-character"),
        ("a\u202eb", "control-character"),
        ("a\ud800", "control-character"),
        ("a\\b", "backslash"),
        ("C:x", "drive-letter"),
        ("/a", "absolute"),
        ("a/../b", "parent-folder"),
        ("./a", "hidden"),
        (".a", "hidden"),
        ("a.", "trailing-dot"),
        ("a ", "trailing-space"),
        (" a", "trailing-space"),
        ("com1.txt", "reserved-name"),
        ("AUX", "reserved-name"),
        (unicodedata.normalize("NFD", "é"), "not-nfc"),
        ("ab:c", "character"),
        ("a/b-c_d.e1", ""),
        ("com10", ""),
    ],
)
def test_path_faults(path: str, fault: str) -> None:
    assert paths.path_fault(path) == fault
    assert paths.path_fault(path, bundle=False) == fault


@pytest.mark.parametrize("path", ["a b", "é", "a+b", "写真.jpg"])
def test_outside_a_bundle_names_may_be_any_text(path: str) -> None:
    assert paths.path_fault(path, bundle=False) == ""
    assert paths.path_fault(path) == "character"


@pytest.mark.parametrize(("one", "other"), [("a/B", "a/b"), ("\u00e9", "e\u0301"), ("straße", "STRASSE")])
def test_collisions(one: str, other: str) -> None:
    problems = [p for p in paths.path_problems((one, other), bundle=False) if p.code == "path-collision"]
    assert len(problems) == 1


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (b"", "key-malformed"),
        (b"-----BEGIN PUBLIC KEY-----\nAAAA\n-----END PUBLIC KEY-----\n", "key-malformed"),
        (b"x" * 5000, "key-malformed"),
    ],
)
def test_key_that_is_none(content: bytes, code: str) -> None:
    with pytest.raises(InputError, match=f"here: {code}"):
        read_public_key(content, "here")


def test_signature_is_checked_in_strict_form() -> None:
    mark = factory.SIGNER.sign(b"data")
    key = factory.SIGNER.public
    assert key.verifies(mark, b"data")
    assert not key.verifies(mark, b"date")
    for other in (b"", mark + b"\0", mark[:-1], b"\x30\x81" + mark[1:]):
        assert not is_strict_der(other)
        assert not key.verifies(other, b"data")


def request_for(**changes: FileDigest | None) -> dict[str, FileDigest]:
    base: dict[str, FileDigest | None] = {
        "data/manifest.json": FileDigest(D, 1),
        "data/dossier.en.pdf": FileDigest(D, 1),
        **changes,
    }
    return {path: each for path, each in base.items() if each is not None}


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"data/manifest.json": None}, "data/manifest.json: missing"),
        ({"data/dossier.en.pdf": None}, "dossier.<language>.pdf: missing"),
        ({"other/x": FileDigest(D, 1)}, "other/x: outside data/"),
        ({"data/../x": FileDigest(D, 1)}, "path-not-allowed"),
        ({"data/X": FileDigest(D, 1), "data/x": FileDigest(D, 1)}, "path-collision"),
        ({"data/derived/E009.redacted.jpg": FileDigest(D, 1)}, "redacted copy of what has none"),
    ],
)
def test_what_verify_would_refuse_is_not_sealed(changes: dict[str, FileDigest | None], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        sign.tag_files(request_for(**changes), {}, factory.REQUEST, b"recipe", factory.SIGNER.sign)


def test_signature_of_another_key_is_not_sealed() -> None:
    with pytest.raises(ValueError, match="not made by the key that the seal names"):
        sign.tag_files(request_for(), {}, factory.REQUEST, b"recipe", factory.STRANGER.sign)
