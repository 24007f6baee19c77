"""Numbers of a pull as a demand asks for them: units, uncertainty, and which doubts a limit brings up."""

from fractions import Fraction

import pytest

from evidence.errors import InputError
from evidence.exhibits import pull_log, table
from evidence.exhibits.pull_log import PullLog
from evidence.measure.figures import Asked, Found
from evidence.measure.pull_figures import Column, figure
from evidence.model.criterion import Processing
from evidence.model.exhibit import Table
from evidence.model.names import LabQuantity
from tests.measure.pulls import TRAPEZOID, TRAVEL, at, every

HOLD = {"kind": "continuous", "level": "8 kN"}


def log(step: float = 0.1, first: float = 0.0, head: str = "time [s];force [kN];travel [mm]") -> PullLog:
    moments = [first + each for each in every(step, 25 - first)]
    rows = zip(moments, at(TRAPEZOID, moments), at(TRAVEL, moments), strict=True)
    lines = [";".join(f"{value:.3f}" for value in row) for row in rows]
    answer = table.answer("\n".join([head, *lines]).encode(), "E1.csv")
    columns = tuple(tuple(blob.decode().split("\n")) for blob in answer.blobs)
    return pull_log.of_table(Table.read(answer.value["table"]), columns, "E1.csv")


def asked(quantity: LabQuantity, unit: str = "", limit: str = "", **how: str) -> Asked:
    return Asked(quantity, Processing.read(how), unit, limits=(Fraction(limit),) if limit else ())


def number(wanted: Asked, read: PullLog | None = None) -> Found:
    found = read or log()
    return figure(found, Column(found.columns[0]), Column(found.columns[1]), wanted)


def test_a_peak_comes_in_the_unit_of_its_limit() -> None:
    found = number(asked(LabQuantity.PEAK_FORCE, "lbf"))

    # computed independently from definitions: 10 000 N / (0.45359237 kg x 9.80665 m/s2)
    assert found.unit == "lbf"
    assert found.value == pytest.approx(2248.0894)
    assert found.spread(0.02) == pytest.approx(44.961788)


def test_a_hold_moves_with_the_uncertainty_of_the_force() -> None:
    found = number(asked(LabQuantity.HOLD_TIME, "s", **HOLD))

    assert found.unit == "s"
    assert found.value == pytest.approx(11.4)
    # closed form: a level 1 % lower is met 0.04 s earlier on the ramp of 2 kN/s and left 0.016 s later on that of 5 kN/s
    assert found.spread(0.01) == pytest.approx(0.056)
    assert found.notices == ()


def test_what_stayed_is_as_sure_as_scale_and_rest_together() -> None:
    found = number(asked(LabQuantity.RESIDUAL_DISPLACEMENT, "mm"))
    rest = found.spread(0.0)

    assert 0 < rest < 0.1
    assert found.spread(0.5) == pytest.approx((rest**2 + (found.value / 2) ** 2) ** 0.5)


@pytest.mark.parametrize(
    ("limit", "doubts"), [("8", ()), ("10", ("pull-sampled-coarsely",)), ("11", ()), ("13", ())]
)
def test_a_coarse_log_is_a_doubt_only_where_the_limit_lies_within_its_bounds(
    limit: str, doubts: tuple[str, ...]
) -> None:
    how = {"kind": "continuous", "level": "10 kN"}
    found = number(asked(LabQuantity.HOLD_TIME, "s", limit, **how), log(1.0, 0.5))

    assert found.doubts == doubts
    assert "pull-sampled-coarsely" not in found.notices


@pytest.mark.parametrize(
    ("wanted", "head", "code"),
    [
        (asked(LabQuantity.PEAK_FORCE, cfc="60"), None, "pull-not-filtered"),
        (asked(LabQuantity.PEAK_FORCE, zero="20 30"), None, "pulse-offset-window"),
        (asked(LabQuantity.HOLD_TIME, kind="continuous", level="0 N"), None, "pull-level-not-positive"),
        (asked(LabQuantity.PEAK_FORCE), "time [s];force;travel [mm]", "figure-unit"),
        (asked(LabQuantity.RESIDUAL_DISPLACEMENT), "time [s];force [N];travel", "figure-unit"),
        (asked(LabQuantity.HOLD_TIME, **HOLD), "row;force [N];travel [mm]", "pull-no-times"),
    ],
)
def test_what_cannot_be_had_says_why(wanted: Asked, head: str | None, code: str) -> None:
    read = log(head=head) if head else log()
    read = PullLog(read.columns[-2:], read.times_s, read.tick_s, read.where, read.notices)
    with pytest.raises(InputError) as caught:
        number(wanted, read)

    assert caught.value.problems[0].code == code
