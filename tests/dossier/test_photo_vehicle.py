"""What the photo log says about which vehicle a photo is of."""

from dataclasses import replace
from typing import Any

import pytest

from evidence.dossier import DossierInput, build
from evidence.model.exhibit import Code
from evidence.model.names import Role
from evidence.model.record import Ticket
from tests.dossier import builders
from tests.dossier.test_build import parts

NONCE = "7k4q2m"
TICKET = Ticket(subject="p1", nonce=NONCE)


def source(*codes: str, role: str = "hook-position") -> DossierInput:
    """A dossier whose first photo has that role and shows these codes; one ticket was printed for its place."""
    made = builders.finished()
    item = made.items["E001"]
    assert item.photo is not None
    found = tuple(Code(symbology="qr", text=text, corners=(1, 1, 9, 1, 9, 9, 1, 9)) for text in codes)
    photo = item.photo.model_copy(update={"codes": found})
    exhibits = tuple(
        one.model_copy(update={"role": Role(role)}) if one.id == "E001" else one
        for one in made.record.exhibits
    )
    return replace(
        made,
        items={**made.items, "E001": item.model_copy(update={"photo": photo})},
        record=made.record.model_copy(update={"exhibits": exhibits, "tickets": (TICKET,)}),
    )


def told(made: DossierInput) -> str:
    data: Any = build(made, builders.say)
    card = next(part for part in parts(data) if part.get("kind") == "photo" and part["picture"] == "E001")
    (row,) = (row for row in card["rows"] if row["label"] == "Of this vehicle?")
    return "".join(span["t"] for span in row["value"])


@pytest.mark.parametrize(
    ("codes", "expected"),
    [
        (
            (f"sillmark:AMB-0417:p1:{NONCE}",),
            "the ticket of this job lies in the picture; a ticket is paper and can be carried, so it shows what was meant",
        ),
        # a ticket of another job, and one that nobody printed
        (
            (f"sillmark:AMB-0001:p1:{NONCE}",),
            "no code in it tells this vehicle; only whoever filed the photo says so",
        ),
        (
            ("sillmark:AMB-0417:p1:222222",),
            "no code in it tells this vehicle; only whoever filed the photo says so",
        ),
        (
            ("HERON 2 SN H2-004711",),
            "a label in the picture has a code that the record has, which tells the part",
        ),
        (
            ("HERON 2 SN H2-004712",),
            "no code in it tells this vehicle; only whoever filed the photo says so",
        ),
        ((), "no code in it tells this vehicle; only whoever filed the photo says so"),
    ],
)
def test_a_code_says_which_vehicle_a_photo_is_of(codes: tuple[str, ...], expected: str) -> None:
    assert told(source(*codes)) == expected


def test_where_no_code_is_looked_for_nothing_more_is_claimed() -> None:
    assert (
        told(source(role="screws")) == "no code is looked for in such a photo; only whoever filed it says so"
    )
