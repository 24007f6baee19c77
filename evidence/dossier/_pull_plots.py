"""The drawings of a static pull: which marks they carry, and what they say to who cannot see them."""

from collections.abc import Iterator, Sequence

from evidence.dossier._blocks import Block
from evidence.dossier._lab_page import printed, short
from evidence.dossier._words import Teller, text
from evidence.drawing.pull import Labels, Level, PullPlot, Stretch, pull_svg
from evidence.measure import pull
from evidence.model._text import read_quantity
from evidence.model.names import LabQuantity
from evidence.model.record import LabTest
from evidence.model.result import LabResult
from evidence.pulling import Course
from evidence.quantity import UNITS, Dimension


def plots(test: LabTest, course: Course, results: Sequence[LabResult], tell: Teller) -> Iterator[Block]:
    """Force over time where the log has times, then force over displacement where that was measured."""
    course = _zeroed(course, results)
    marks = _Marks(test, course, results, tell)
    if course.pull.times is not None:
        yield marks.over_time(course.pull.times.tolist())
    if course.pull.travel is not None:
        yield marks.over_travel(course.pull.travel.tolist())


def _zeroed(course: Course, results: Sequence[LabResult]) -> Course:
    """The course with the same offset taken away as the numbers that are marked in it."""
    windows = {each.processing.zero for each in results if each.processing is not None}
    window = windows.pop() if len(windows) == 1 else None
    if window is None:
        return course
    zeroed = pull.without_offset(course.pull, *map(float, window.split()))
    return course if zeroed is None else Course(zeroed, course.unit, course.travel_unit)


class _Marks:
    """One pull with what its numbers mark in it."""

    def __init__(self, test: LabTest, course: Course, results: Sequence[LabResult], tell: Teller) -> None:
        self._test = test
        self._course = course
        self._computed = [each for each in results if each.state == "computed"]
        self._tell = tell
        self._force = course.pull.force.tolist()
        asked = [each.processing.level for each in results if each.processing and each.processing.level]
        self._loads = tuple(dict.fromkeys(asked))
        self._levels = self._demanded()

    def over_time(self, times: Sequence[float]) -> Block:
        """Force over time with load, hold and peak."""
        tell, held = self._tell, self._held()
        top = max(range(len(self._force)), key=self._force.__getitem__)
        alt = [self._rows(), tell("pull-alt-times", begin=short(times[0]), end=short(times[-1]))]
        alt += self._told_levels()
        if held is not None:
            ends = {"begin": short(held.begin), "end": short(held.end)}
            alt.append(tell("pull-alt-held", words=held.words, **ends))
        labels = self._labels(tell("pull-time-axis"), "pull-plot-time", alt)
        drawn = PullPlot(
            list(zip(times, self._force, strict=True)),
            labels,
            self._levels,
            held=held,
            peak=(times[top], self._force[top]),
        )
        return self._block(drawn, "pull-caption-time")

    def over_travel(self, travel: Sequence[float]) -> Block:
        """Force over displacement with load and what stayed."""
        tell, unit, stayed = self._tell, self._course.travel_unit, self._stayed()
        ends = {"low": short(min(travel)), "high": short(max(travel))}
        alt = [self._rows(), tell("pull-alt-travel", unit=unit, **ends), *self._told_levels()]
        if stayed is not None:
            told = {"begin": short(stayed.begin), "end": short(stayed.end)}
            alt.append(tell("pull-alt-stayed", words=stayed.words, unit=unit, **told))
        labels = self._labels(tell("pull-travel-axis", unit=unit), "pull-plot-travel", alt)
        drawn = PullPlot(list(zip(travel, self._force, strict=True)), labels, self._levels, stayed=stayed)
        return self._block(drawn, "pull-caption-travel")

    def _labels(self, across: str, title: str, alt: Sequence[str]) -> Labels:
        up = self._tell("pull-force-axis", unit=self._course.unit)
        return Labels(across, up, self._tell(title, id=self._test.id), " ".join(alt))

    def _block(self, drawn: PullPlot, caption: str) -> Block:
        said = self._tell(caption, id=self._test.exhibit, rows=str(len(self._force)))
        return {"kind": "plot", "svg": pull_svg(drawn), "alt": drawn.labels.alt, "caption": text(said)}

    def _rows(self) -> str:
        top = short(max(self._force))
        return self._tell("pull-alt-rows", rows=str(len(self._force)), force=top, unit=self._course.unit)

    def _told_levels(self) -> list[str]:
        loads = ", ".join(self._loads)
        return [self._tell("pull-alt-demanded", loads=loads)] if loads else []

    def _demanded(self) -> tuple[Level, ...]:
        factor = UNITS[self._course.unit, Dimension.FORCE].factor
        return tuple(
            Level(
                float(read_quantity(load, Dimension.FORCE).base / factor),
                self._tell("pull-demanded", load=load),
            )
            for load in self._loads
        )

    def _held(self) -> Stretch | None:
        """The first hold that is one stretch; several stretches have no one place."""
        for each in self._computed:
            one = each.processing is not None and each.processing.kind == "continuous"
            if each.quantity == LabQuantity.HOLD_TIME and one and each.begin_s and each.end_s:
                begin, end = float(each.begin_s), float(each.end_s)
                return Stretch(begin, end, self._tell("pull-held", value=printed(each)[0]))
        return None

    def _stayed(self) -> Stretch | None:
        result = next(
            (each for each in self._computed if each.quantity == LabQuantity.RESIDUAL_DISPLACEMENT), None
        )
        found = pull.residual_displacement(self._course.pull)
        if result is None or isinstance(found, pull.Refused):
            return None
        words = self._tell("pull-stayed", value=printed(result)[0], unit=str(result.unit))
        return Stretch(found.before, found.before + found.value, words)
