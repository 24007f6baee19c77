"""Which photos are told as nearly the same, and which are not."""

import pytest

from evidence.exhibits.likeness import ALIKE, FLAT
from evidence.likenesses import ALIKE_ELSEWHERE, Picture, alike, picture
from evidence.model.exhibit import Item

BASE = int("5a" * 32, 16)


def shown(
    exhibit: str, flipped: int = 0, *, job: str = "AMB-1", sha: str = "", codes: tuple[str, ...] = ()
) -> Picture:
    """A picture that differs from the base in the lowest bits."""
    bits = BASE ^ ((1 << flipped) - 1)
    return Picture(job, exhibit, sha or exhibit, f"{bits:064x}", frozenset(codes))


def told(*found: Picture) -> list[tuple[str, str, str]]:
    return [(each.code, each.picture.exhibit, each.earlier.exhibit) for each in alike(found)]


@pytest.mark.parametrize(("flipped", "expected"), [(0, 1), (ALIKE, 1), (ALIKE + 1, 0)])
def test_the_threshold_is_the_one_of_the_bits(flipped: int, expected: int) -> None:
    assert len(told(shown("E1"), shown("E2", flipped))) == expected


@pytest.mark.parametrize(("flipped", "expected"), [(ALIKE_ELSEWHERE, 1), (ALIKE_ELSEWHERE + 1, 0)])
def test_between_vehicles_only_what_is_nearer_is_told(flipped: int, expected: int) -> None:
    """Vehicles of one build look alike from the same spot; a message for each pair would be read by nobody."""
    assert len(told(shown("E1"), shown("E2", flipped, job="AMB-2"))) == expected


def test_the_same_bytes_are_told_across_jobs_only() -> None:
    one, other = shown("E1", sha="x"), shown("E2", sha="x")

    assert told(one, other) == []
    assert told(one, shown("E2", sha="x", job="AMB-2")) == [("alike-same-file-elsewhere", "E2", "E1")]


def test_a_photo_is_told_once_in_its_job_and_once_beside_another() -> None:
    found = told(shown("E1", job="AMB-2"), shown("E2", 1), shown("E3", 2), shown("E4", 3))

    assert found == [
        ("alike-elsewhere", "E2", "E1"),
        ("alike-elsewhere", "E3", "E1"),
        ("alike-in-job", "E3", "E2"),
        ("alike-elsewhere", "E4", "E1"),
        ("alike-in-job", "E4", "E2"),
    ]


def test_two_labels_in_one_light_are_two() -> None:
    assert told(shown("E1", codes=("A",)), shown("E2", 3, codes=("B",))) == []
    assert len(told(shown("E1", codes=("A", "C")), shown("E2", 3, codes=("A",)))) == 1
    assert len(told(shown("E1", codes=("A",)), shown("E2", 3))) == 1


def test_only_pairs_with_a_new_photo_are_told() -> None:
    one, two, new = shown("E1"), shown("E2", 1), shown("E3", 2)

    assert [each.picture.exhibit for each in alike([one, two, new], told_of=[new])] == ["E3"]


@pytest.mark.parametrize(
    ("bits", "compared"), [(FLAT - 1, False), (FLAT, True), (256 - FLAT, True), (257 - FLAT, False)]
)
def test_a_plain_area_is_like_everything_and_is_not_compared(bits: int, compared: bool) -> None:  # noqa: FBT001
    item = Item.read(
        {
            "id": "E001",
            "kind": "photo",
            "media_type": "image/jpeg",
            "sha256": "0" * 64,
            "bytes": 9,
            "warnings": [],
            "photo": {"width": 9, "height": 9, "likeness": f"{(1 << bits) - 1:064x}"},
        }
    )

    assert (picture("AMB-1", "E001", item) is not None) == compared
