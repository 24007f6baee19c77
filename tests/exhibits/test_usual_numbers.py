"""A plain log is read by a shorter way, which must give what the long one gives, to the last digit and code."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from evidence.errors import InputError
from evidence.exhibits import _grid
from evidence.exhibits._grid import TableReading
from evidence.exhibits.table import parse

CELLS = st.one_of(
    st.from_regex(r"-?[0-9]{1,6}([.,][0-9]{1,5})?", fullmatch=True),
    st.sampled_from(["0", "-0,0", "007", "1,234", "12.345", "1.234,5", "1E3", "+4", "\u22122", "", "nan", "999999999999999999999"]),
)  # fmt: skip


def _read(data: bytes, *, short: bool) -> TableReading | list[str]:
    with pytest.MonkeyPatch.context() as patch:
        if not short:
            patch.setattr(_grid, "_usual", lambda _body, _columns: None)
        try:
            return parse(data, "log.csv")
        except InputError as error:
            return [f"{problem.code} {problem.where}" for problem in error.problems]


@given(st.lists(st.tuples(CELLS, CELLS), min_size=1, max_size=6))
@settings(max_examples=300)
def test_both_ways_give_the_same(rows: list[tuple[str, str]]) -> None:
    text = "".join(f"{one};{other}\n" for one, other in [("time [s]", "force [N]"), *rows])

    assert _read(text.encode(), short=True) == _read(text.encode(), short=False)


def test_the_short_way_is_taken_for_a_plain_log_and_for_nothing_else() -> None:
    columns = parse(b"time [s];force [N]\n0,5;1,25\n", "log.csv").table.columns
    taken = {
        text: _grid._usual([_grid.Row(2, (text, "2,5"))], columns) is not None
        for text in ("0,5", "-7", "1,234", "1.5", "1E3", "")
    }

    assert taken == {"0,5": True, "-7": True, "1,234": False, "1.5": False, "1E3": False, "": False}
