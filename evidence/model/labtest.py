"""Tests of a job: which channels of which file were recorded in which test, and what the test loaded."""

from typing import Literal

from pydantic import Field

from evidence.model._base import Id, Line, Model
from evidence.model._text import Mass, Ratio, Some, Stated, When
from evidence.model.names import ChannelUse, ClaimName, LabDirection, LabKind


class LabChannel(Model):
    """One channel of a test.

    Attributes:
        use: what it measures in this test.
        name: its code or heading in the file, or its place in the set, from 1.
        sign: ``reversed`` where the channel points against the sense in which the demands are written; somebody
            says so here, and every page that uses the channel says it too. Nothing is turned by itself.
        uncertainty: expanded uncertainty (95 %) of the channel, percent of the value.
    """

    use: ChannelUse
    name: Line
    sign: Literal["as-recorded", "reversed"] = "as-recorded"
    uncertainty: Ratio | None = None


class LabTest(Model):
    """One test: a sled run, or a static pull.

    Attributes:
        subject: place whose type was tested; ``vehicle`` where it is of all places.
        exhibit: the file with its channels.
        paper: the report or certificate that speaks of this test; ``document`` in files.
        at: when it was run.
        axes: sign convention of the channels as the laboratory states it; where the file states another, that differs.
        mass: of everything that was carried.
    """

    id: Id
    kind: LabKind
    subject: Id
    direction: LabDirection
    exhibit: Id
    paper: Id | None = Field(default=None, alias="document")
    at: Stated[When] | None = None
    axes: Line | None = None
    mass: Mass | None = None
    channels: Some[LabChannel]


class Argument(Model):
    """Why a report also covers what it did not test, with its author; it never replaces the test by itself.

    Attributes:
        paper: the report; ``document`` in files.
        claim: the field that differs or is not stated.
        subject: place that it is argued for.
        by: who argues it.
        at: when.
        note: where people.yaml has its words.
        exhibit: the paper that holds it.
    """

    id: Id
    paper: Id = Field(alias="document")
    claim: ClaimName
    subject: Id
    by: Id
    at: When
    note: Id | None = None
    exhibit: Id | None = None
