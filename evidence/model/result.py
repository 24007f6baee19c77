"""What was computed from the channels of a test: one number, how, and what leaves it in doubt."""

from typing import Annotated, Literal, Self

from pydantic import AfterValidator, StringConstraints, model_validator

from evidence.model._base import Id, Line, Model, printable_line, refuse
from evidence.model.criterion import Processing
from evidence.model.finding import Reason
from evidence.model.measurement import Number
from evidence.model.names import ChannelUse, LabDirection, LabQuantity

Name = Annotated[str, StringConstraints(min_length=1, max_length=300), AfterValidator(printable_line)]
"""Ids joined to one; a requirement's may be longer than any line of a record."""


def result_id(asked: str, test: str) -> str:
    """How findings name it: the test, then what asked for the number."""
    return f"{test}/{asked}"


class LabResult(Model):
    """One number from the channels of one test, or why there is none.

    Attributes:
        id: as findings name it.
        asked: requirement id, or ``<document id>/<claim>`` of the claim that it is held against.
        test: id of the test in the record.
        exhibit: the file with the channels.
        direction: of the test.
        quantity: what was computed; ``corridor`` gives the worst margin to it, negative outside.
        use: which channel of the test.
        channel: its name in the file, once it was found there.
        sign: as the record says; ``reversed`` turned every value before anything else.
        axes: sign convention that the file or the record states.
        processing: how; absent where nothing was done to the channel.
        state: whether there is a number.
        value, unit: rounded once.
        expanded_uncertainty: where the record states one for the channel, in the same unit.
        begin_s, end_s: seconds of the recording in which it was found.
        bound: of a corridor, which bound is nearest.
        reason: why there is no number.
        doubts: what leaves any verdict undecided.
        notices: what to know.
        method: id of the procedure; another number where it changes.
    """

    id: Name
    asked: Name
    test: Id
    exhibit: Id
    direction: LabDirection
    quantity: LabQuantity | Literal["corridor"]
    use: ChannelUse
    channel: Line | None = None
    sign: Literal["as-recorded", "reversed"] = "as-recorded"
    axes: Line | None = None
    processing: Processing | None = None
    state: Literal["computed", "not-computed"]
    value: Number | None = None
    unit: Line | None = None
    expanded_uncertainty: Number | None = None
    begin_s: Number | None = None
    end_s: Number | None = None
    bound: Literal["upper", "lower"] | None = None
    reason: Reason | None = None
    doubts: tuple[Reason, ...] = ()
    notices: tuple[Reason, ...] = ()
    method: Literal["pulse/1", "pull/1"]

    @model_validator(mode="after")
    def _whole(self) -> Self:
        computed = self.state == "computed"
        if ((self.value is not None) and (self.unit is not None)) != computed:
            raise refuse("measurement-incomplete")
        if (self.reason is not None) == computed:
            raise refuse("measurement-incomplete")
        return self
