"""Keys taken out of an exhibit's entry: in braces and in lines, first, middle and last; comments stay."""

import pytest

from evidence.errors import InputError
from evidence.record.dropping import drop_keys
from evidence.record.yamltext import read_yaml

IN_BRACES = """exhibits:
  # two photos
  - {id: E1, file: a.jpg,  # of the window
     frame: "1,2,3,4,5,6,7,8",  # set twice
     neutral: {grey: "1,2"}, reads: locked}
  - {frame: "1,2,3", id: E2}  # the other
"""
IN_LINES = """exhibits:
- id: E1
  # of the window
  frame: "1,2,3"  # set twice
  neutral:
    grey: "1,2"  # tile
    white: "3,4"
  reads: locked
- frame: "9"  # first
  id: E2
notes: none  # after
"""


@pytest.mark.parametrize(
    "text", [IN_BRACES, IN_LINES, IN_LINES.replace("\n", "\r\n")], ids=["braces", "lines", "crlf"]
)
@pytest.mark.parametrize(
    ("exhibit", "keys"),
    [
        ("E1", ("frame",)),
        ("E1", ("neutral",)),
        ("E1", ("reads",)),
        ("E1", ("frame", "neutral", "reads")),
        ("E1", ("reads", "frame")),
        ("E2", ("frame",)),
    ],
)
def test_nothing_else_is_lost(text: str, exhibit: str, keys: tuple[str, ...]) -> None:
    expected = read_yaml(text.encode(), "job.yaml").data
    for entry in expected["exhibits"]:
        if entry["id"] == exhibit:
            for key in keys:
                del entry[key]

    changed = drop_keys(text, exhibit, keys)

    assert read_yaml(changed.encode(), "job.yaml").data == expected
    assert changed.count("#") == text.count("#")
    assert changed.count("\r\n") in {0, changed.count("\n")}


def test_lines_go_whole_and_their_comments_stay() -> None:
    assert drop_keys(IN_LINES, "E1", ("frame", "neutral")).splitlines()[:6] == [
        "exhibits:",
        "- id: E1",
        "  # of the window",
        "  # set twice",
        "  # tile",
        "  reads: locked",
    ]


def test_an_exhibit_that_is_not_there() -> None:
    with pytest.raises(InputError) as error:
        drop_keys(IN_LINES, "E9", ("frame",))
    assert error.value.problems[0].code == "slot-unknown"


def test_what_cannot_be_taken_out_is_left(monkeypatch: pytest.MonkeyPatch) -> None:
    """Code "edit-not-possible": a text that would read otherwise is never given back."""
    monkeypatch.setattr("evidence.record.dropping._without", lambda source, _: source.text)
    with pytest.raises(InputError) as error:
        drop_keys(IN_LINES, "E1", ("frame",))
    assert error.value.problems[0].code == "edit-not-possible"
