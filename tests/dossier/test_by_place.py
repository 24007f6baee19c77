"""Every counted row of the matrix stands once more in the table by place, below its outcome, with a link back."""

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


def test_each_counted_row_stands_once_below_its_outcome() -> None:
    for source in (builders.open_(), builders.finished()):
        index = Index.of(source)
        found = {
            (span["to"], column)
            for row in table(build(source, builders.say))["rows"]
            for column, cell in zip(COLUMNS, row["cells"][1:], strict=True)
            for span in cell
            if "to" in span
        }
        wanted = {
            (
                finding_anchor(number),
                "met" if finding.outcome == Outcome.NOT_APPLICABLE else finding.outcome.value,
            )
            for number, finding in enumerate(index.findings)
            if finding.group != Group.PRACTICE
        }

        assert found == wanted


def test_the_vehicle_comes_first_and_screws_behind_their_place() -> None:
    rows = table(build(builders.open_(), builders.say))["rows"]
    subjects = ["".join(span.get("t", " ") for span in row["cells"][0]) for row in rows]

    assert subjects == sorted(subjects, key=lambda words: not words.startswith("Vehicle"))
    screws = [each for each in subjects if each.startswith("Screw group")]
    assert screws
    assert all("position" in each for each in screws)
