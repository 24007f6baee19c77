"""Where the text of a document mentions what was transcribed, in the shapes that people write."""

import pytest

from evidence.mentions import Mention, look_up
from evidence.model.papers import Document


def mention(name: str, value: str, *pages: str, page: str | None = "1") -> Mention:
    """What the pages say of one claim."""
    claim = {"name": name, "value": value, **({"page": page} if page else {})}
    fields = {"id": "d1", "role": "data-sheet", "subject": "vehicle", "exhibit": "E1", "claims": [claim]}
    (found,) = look_up([Document.read(fields)], {"E1": pages})
    return found


FOUND = [
    # common practice, no source: how dates are written in the countries where such papers come from
    ("report-date", "2024-06-18", "Dated 2024-06-18."),
    ("report-date", "2024-06-18", "18.06.2024"),
    ("report-date", "2024-06-18", "18.6.24"),
    ("report-date", "2024-06-18", "18/06/2024"),
    ("report-date", "2024-06-18", "06/18/2024"),
    ("report-date", "2024-06-18", "June 18th, 2024"),
    ("report-date", "2024-06-18", "18-Jun-2024"),
    ("report-date", "2024-06-18", "18. Juni 2024"),
    ("report-date", "2024-06-18", "le 18 juin 2024"),
    ("report-date", "2024-08-01", "1er ao\u00fbt 2024"),
    ("report-date", "2024-06-18", "18 de junio de 2024"),
    ("report-date", "2024-06-18", "20240618"),
    ("peak-deceleration", "10.6 g", "peak 10,60 g"),
    ("peak-deceleration", "10,6 g", "peak 10.6g"),
    ("peak-deceleration", "10.6 g", "a [g]: 10.6"),
    ("test-mass", "1255 kg", "1 255 kg"),
    ("test-mass", "1255 kg", "1,255 kg"),
    ("displacement", "42 mm", "moved 42.0 mm at most"),
    ("velocity-change", "31.2 km/h", "31,2 kph"),
    ("instrument-serial", "TW-204", "No. tw\u2013204."),
    ("instrument-serial", "TW-204", "T W - 2 0 4"),
    ("conclusion", "fits well", "so it \ufb01ts\n  well"),
    ("result", "no separation", "no sepa\u00adration"),
    ("stretcher-model", "Heron Carrier", "HERON  CARRIER"),
    ("lot", "0012", "lot 0012, 2024"),
]


@pytest.mark.parametrize(("name", "value", "text"), FOUND)
def test_a_value_is_found_as_people_write_it(name: str, value: str, text: str) -> None:
    found = mention(name, value, text)

    assert (found.pages, found.absent) == ((1,), False)


NOT_FOUND = [
    ("report-date", "2024-06-18", "19 June 2024"),
    ("report-date", "2024-06-18", "2024-06-180"),
    ("report-date", "2024-06-18", "118.06.2024"),
    ("peak-deceleration", "10.6 g", "110.6 g"),
    ("peak-deceleration", "10.6 g", "10.61 g"),
    ("peak-deceleration", "10.6 g", "3.10.6 g"),
    ("displacement", "42 mm", "142 mm"),
    ("instrument-serial", "TW-20", "AB-20"),
]


@pytest.mark.parametrize(("name", "value", "text"), NOT_FOUND)
def test_another_value_is_not_taken_for_it(name: str, value: str, text: str) -> None:
    found = mention(name, value, text)

    assert (found.pages, found.absent) == ((), True)


PERHAPS = [
    ("report-date", "2024-06-18", "18 kes\u00e4kuuta 2024"),  # a month in a language that is not in the table
    ("displacement", "42 mm", "displacement in mm: 42"),  # too short a number to be telling without its unit
    ("instrument-serial", "TW-20", "serial TW20"),
    ("instrument-serial", "TW-20", "serial TW-204"),  # the end of a cell may have been lost
    ("displacement", "1 1/2 in", "one and a half inches"),
    ("conclusion", "fits", "unfits"),
    ("signature", "signed", "A. Nobody"),
]


@pytest.mark.parametrize(("name", "value", "text"), PERHAPS)
def test_what_may_be_there_after_all_is_not_called_absent(name: str, value: str, text: str) -> None:
    found = mention(name, value, text)

    assert (found.pages, found.absent) == ((), False)


def test_pages_are_counted_from_one_and_every_one_is_named() -> None:
    found = mention("lot", "A7", "nothing", "lot A7", "", "A7")

    assert (found.pages, found.absent) == ((2, 4), True)


@pytest.mark.parametrize(
    ("page", "pages"), [(None, ("x",)), ("2", ("x",)), ("1", ("", "x"))], ids=["none", "beyond", "no-text"]
)
def test_nothing_is_absent_where_no_text_was_named(page: str | None, pages: tuple[str, ...]) -> None:
    assert not mention("lot", "A7", *pages, page=page).absent


def test_documents_without_text_and_claims_without_value_are_not_looked_up() -> None:
    claims = [{"name": "lot", "value": {"state": "illegible"}}, {"name": "lot", "value": "A7"}]
    fields = {"id": "d1", "role": "data-sheet", "subject": "vehicle", "exhibit": "E1", "claims": claims}
    document = Document.read(fields)

    assert look_up([document], {"E1": ("", " ")}) == ()
    assert look_up([document], {}) == ()
    assert [one.number for one in look_up([document], {"E1": ("A7",)})] == [2]
