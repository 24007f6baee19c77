"""Every counted row of the matrix stands once more in the table by place, below its outcome, with a link back."""

import re

from evidence.dossier import Data, build
from evidence.dossier._index import Index, finding_anchor
from evidence.model.names import Group, Outcome
from tests.dossier import builders

COLUMNS = ("not met", "not shown", "undecided", "met")


def table(data: Data) -> Data:
    """The table behind the heading."""
    (matrix,) = (section for section in data["sections"] if section["id"] == "matrix")
    titles = [block.get("text") for block in matrix["blocks"]]
    made: Data = matrix["blocks"][titles.index("By place on the vehicle") + 2]
    return made


def numbers(cell: list[Data]) -> set[int]:
    """Rows that a cell names, one by one or by the ends of a run."""
    words = "".join(span["t"] for span in cell)
    found: set[int] = set()
    for first, last in re.findall(r"#([0-9]+)(?:\u2013#([0-9]+))?", words):
        found |= set(range(int(first), int(last or first) + 1))
    return found


def test_each_counted_row_stands_once_below_its_outcome() -> None:
    for source in (builders.open_(), builders.finished()):
        found = [
            (number, column)
            for row in table(build(source, builders.say))["rows"]
            for column, cell in zip(COLUMNS, row["cells"][1:], strict=True)
            for number in numbers(cell)
        ]
        wanted = [
            (number, "met" if finding.outcome == Outcome.NOT_APPLICABLE else finding.outcome.value)
            for number, finding in enumerate(Index.of(source).findings, 1)
            if finding.group != Group.PRACTICE
        ]

        assert sorted(found) == sorted(wanted)


def test_what_is_open_links_to_its_row() -> None:
    cells = [
        cell for row in table(build(builders.open_(), builders.say))["rows"] for cell in row["cells"][1:4]
    ]
    linked = {span["to"] for cell in cells for span in cell if "to" in span}

    assert linked
    assert linked == {finding_anchor(number - 1) for cell in cells for number in numbers(cell)}


def test_the_vehicle_comes_first_and_screws_behind_their_place() -> None:
    rows = table(build(builders.open_(), builders.say))["rows"]
    subjects = ["".join(span.get("t", " ") for span in row["cells"][0]) for row in rows]

    assert subjects == sorted(subjects, key=lambda words: not words.startswith("Vehicle"))
    screws = [each for each in subjects if each.startswith("Screw group")]
    assert screws
    assert all("position" in each for each in screws)
