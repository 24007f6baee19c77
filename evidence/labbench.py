"""One number from the channels of one test, with all that leaves it in doubt; each file is read and filtered once.

What a file says may be personal, so a result keeps codes, and of names only those that the file's item holds too.
"""

from array import array
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from evidence.errors import InputError
from evidence.exhibits import pull_log
from evidence.exhibits._base import Reading
from evidence.exhibits._channel_item import stored_name
from evidence.exhibits.channels import Channel, ChannelSet
from evidence.exhibits.pull_log import PullColumn, PullLog
from evidence.exhibits.reading import channel_set
from evidence.measure import figures, pull_figures, pulse
from evidence.measure.figures import Asked, Found, kept
from evidence.model.criterion import Processing
from evidence.model.exhibit import Item
from evidence.model.finding import Parameter, Reason
from evidence.model.names import ChannelUse, LabKind
from evidence.model.record import LabChannel, LabTest
from evidence.model.result import LabResult, result_id

MAX_NAMED = 30  # channels that a reason lists
MIXED_SAMPLING = "mme-mixed-sampling"
NEAR_END, SCALE = "figure-near-end", "figure-scale-uncertainty"
_OWN = ("figure-", "pulse-", "pull-")  # codes whose parameters are numbers and units, never words of the file


class Bench:
    """The channels of a job's tests."""

    def __init__(self, readings: Mapping[str, Reading]) -> None:
        """Keep the files as read, by exhibit."""
        self.readings = readings
        self._sets: dict[str, ChannelSet] = {}
        self._logs: dict[str, PullLog] = {}
        self._curves: dict[tuple[str, int, pulse.Recipe], pulse.Curve] = {}

    def result(self, test: LabTest, asked: str, channel: LabChannel, wanted: Asked) -> LabResult:
        """What one channel of a test gives; ``readings`` holds its file.

        Args:
            test: of the record.
            asked: what asks for it: a requirement, or ``<document>/<claim>``.
            channel: of the test.
            wanted: what is computed.
        """
        bare = LabResult(
            id=result_id(asked, test.id),
            asked=asked,
            test=test.id,
            exhibit=test.exhibit,
            direction=test.direction,
            quantity=wanted.quantity,
            use=channel.use,
            sign=channel.sign,
            axes=test.axes,
            processing=wanted.processing if wanted.processing != Processing() else None,
            state="not-computed",
            reason=Reason(code="channel-not-found"),
            method="pulse/1" if test.kind == LabKind.DYNAMIC else "pull/1",
        )
        try:
            give = self._pulse if test.kind == LabKind.DYNAMIC else self._pull
            return give(bare, test, channel, wanted)
        except InputError as error:
            return bare.model_copy(update={"reason": _why(error)})

    def curve(self, test: LabTest, channel: LabChannel, processing: Processing) -> pulse.Curve | None:
        """A channel of a sled run as its numbers are had from it: processed, then turned where the record says so.

        None where the file holds no one channel of that name, or it cannot be processed so.
        """
        try:
            channels = self._set(test.exhibit).channels
            place = _place(channel.name, channels, self.readings[test.exhibit].item)
            if isinstance(place, Reason):
                return None
            curve = self._curve(test.exhibit, place, figures.recipe_of(processing))
        except InputError:
            return None
        return pulse.turned(curve) if channel.sign == "reversed" else curve

    def _pulse(self, bare: LabResult, test: LabTest, channel: LabChannel, wanted: Asked) -> LabResult:
        item = self.readings[test.exhibit].item
        found = self._set(test.exhibit)
        place = _place(channel.name, found.channels, item)
        if isinstance(place, Reason):
            return bare.model_copy(update={"reason": place})
        axes = _axes(item, place)
        bare = bare.model_copy(
            update={"channel": _name(found.channels[place], place, item), "axes": test.axes or axes}
        )
        try:
            curve = self._curve(test.exhibit, place, figures.recipe_of(wanted.processing))
            curve = pulse.turned(curve) if channel.sign == "reversed" else curve
            number = figures.figure(curve, wanted)
        except InputError as error:
            return bare.model_copy(update={"reason": _why(error)})
        told = _told(curve, number, found, place, item)
        return _numbered(bare, number, channel, told, _axes_differ(axes, test.axes))

    def _pull(self, bare: LabResult, test: LabTest, channel: LabChannel, wanted: Asked) -> LabResult:
        force = next((one for one in test.channels if one.use == ChannelUse.FORCE), None)
        if force is None:
            raise InputError.one("pull-no-force", test.id)
        log = self.log(test)
        columns = []
        for one in (force, channel):
            column = log.column(one.name)
            if column is None:
                return bare.model_copy(
                    update={"reason": _not_found(one.name, [each.name for each in log.columns])}
                )
            columns.append(pull_figures.Column(column, one.sign == "reversed"))
        bare = bare.model_copy(update={"channel": columns[1].column.name})
        travel = columns[1] if channel.use != ChannelUse.FORCE else None
        try:
            number = pull_figures.figure(log, columns[0], travel, wanted)
        except InputError as error:
            return bare.model_copy(update={"reason": _why(error)})
        return _numbered(bare, number, channel, _Told(set(number.doubts), set(number.notices)))

    def _set(self, exhibit: str) -> ChannelSet:
        if exhibit not in self._sets:
            self._sets[exhibit] = channel_set(self.readings[exhibit])
        return self._sets[exhibit]

    def log(self, test: LabTest) -> PullLog:
        """The log of a static pull; of a set, the channels that are sampled as its force is.

        Raises:
            InputError: the file holds none.
        """
        reading = self.readings[test.exhibit]
        if reading.item.table is None:
            return _log_of(self._set(test.exhibit), test, reading.item)
        if test.exhibit not in self._logs:
            self._logs[test.exhibit] = pull_log.of_table(reading.item.table, reading.values, reading.item.id)
        return self._logs[test.exhibit]

    def _curve(self, exhibit: str, place: int, recipe: pulse.Recipe) -> pulse.Curve:
        key = (exhibit, place, recipe)
        if not all(known[0] == exhibit for known in self._curves):
            self._curves.clear()  # tests come file by file; a long record's curves are not kept for good
        if key not in self._curves:
            self._curves[key] = pulse.processed(self._set(exhibit).channels[place], recipe)
        return self._curves[key]


@dataclass(frozen=True)
class _Told:
    """Codes of what leaves a verdict undecided, and of what to know."""

    doubts: set[str]
    notices: set[str]


def _told(curve: pulse.Curve, number: Found, found: ChannelSet, place: int, item: Item) -> _Told:
    of_set = _of_set(found, place) if item.kind == "channels" else _Told(set(), set())
    near = {NEAR_END} if number.near_end else set()
    return _Told({*curve.doubts, *of_set.doubts, *near}, {*curve.notices, *of_set.notices, *number.notices})


def _numbered(
    bare: LabResult, number: Found, channel: LabChannel, told: _Told, more: Sequence[Reason] = ()
) -> LabResult:
    """The result with its number, rounded once."""
    share = float(channel.uncertainty.base) if channel.uncertainty is not None else 0.0
    expanded = number.spread(share) if share > 0 else 0.0
    known = expanded if expanded > 0 else None
    unmoved = "0" if share > 0 else None  # as a hold of no time is, far above the greatest force
    notices = {*told.notices, *({SCALE} if known is not None else ())} - told.doubts
    return bare.model_copy(
        update={
            "state": "computed",
            "reason": None,
            "value": kept(number.value, known, number.scale),
            "unit": number.unit,
            "expanded_uncertainty": unmoved if known is None else kept(known, known, known),
            "begin_s": pulse.moment(number.span.begin_s) if number.span else None,
            "end_s": pulse.moment(number.span.end_s) if number.span else None,
            "bound": number.bound,
            "doubts": (*_reasons(told.doubts), *more),
            "notices": _reasons(notices),
        }
    )


def _reasons(codes: set[str]) -> tuple[Reason, ...]:
    return tuple(Reason(code=code) for code in sorted(codes))


def _why(error: InputError) -> Reason:
    problem = error.problems[0]
    told: dict[str, Parameter] = dict(problem.parameters) if problem.code.startswith(_OWN) else {}
    return Reason(code=problem.code, parameters=told)


def _not_found(name: str, names: Sequence[str]) -> Reason:
    return Reason(
        code="channel-not-found", parameters={"channel": name, "found": tuple(names[:MAX_NAMED]) or ("none",)}
    )


def _place(name: str, channels: Sequence[Channel], item: Item) -> int | Reason:
    """Where a channel stands in its set: by code, name or heading, else by its number from 1."""
    wanted = name.casefold()
    same = [at for at, one in enumerate(channels) if wanted in _called(one)]
    if len(same) == 1:
        return same[0]
    if same:
        places = tuple(str(at + 1) for at in same)
        return Reason(code="channel-several", parameters={"channel": name, "found": places})
    if name.isascii() and name.isdigit() and 1 <= int(name) <= len(channels):
        return int(name) - 1
    return _not_found(name, [_name(one, at, item) for at, one in enumerate(channels)])


def _called(channel: Channel) -> set[str]:
    """Every way in which a record may name a channel."""
    names = {channel.name, channel.title, f"{channel.name} [{channel.unit}]"}
    return {name.casefold() for name in names if name}


def _name(channel: Channel, place: int, item: Item) -> str:
    """The channel's name as the item of its file has it."""
    return channel.name if item.kind == "table" else stored_name(channel, place + 1)


def _axes(item: Item, place: int) -> str | None:
    return item.channels.channels[place].axes if item.channels is not None else None


def _axes_differ(found: str | None, stated: str | None) -> list[Reason]:
    """A doubt where file and record state different conventions; a file that states none differs from nothing."""
    if found is None or stated is None or _folded(found) == _folded(stated):
        return []
    return [Reason(code="axes-differ", parameters={"found": found, "recorded": stated})]


def _folded(axes: str) -> str:
    return "".join(each for each in axes.casefold() if each.isalnum())


def _of_set(found: ChannelSet, place: int) -> _Told:
    """Codes of doubts and notices that the set's problems mean for a channel; another sampling is only to be known."""
    where = found.channels[place].where
    codes = {one.code for one in found.problems if one.where == where or one.where.startswith(f"{where}:")}
    return _Told(codes - {MIXED_SAMPLING}, codes & {MIXED_SAMPLING})


def _log_of(found: ChannelSet, test: LabTest, item: Item) -> PullLog:
    """The channels of a set that are sampled as the force is, as a log; an empty one where the force is not found."""
    loads = next((one.name for one in test.channels if one.use == ChannelUse.FORCE), "")
    place = _place(loads, found.channels, item)
    if isinstance(place, Reason):
        return PullLog(())
    first = found.channels[place]
    timing = (first.start_s, first.interval_s, len(first.values))
    alike = [
        PullColumn(one.name if at == place else _name(one, at, item), one.unit, one.dimension, one.values)
        for at, one in enumerate(found.channels)
        if (one.start_s, one.interval_s, len(one.values)) == timing
    ]
    times = (float(first.start_s + at * first.interval_s) for at in range(len(first.values)))
    return PullLog(tuple(alike), array("d", times), where=first.where)
