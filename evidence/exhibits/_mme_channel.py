"""One channel file of an ISO/TS 13499 set: its header held against its samples, its code and its place in the list."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from evidence.exhibits._answer import quoted
from evidence.exhibits._channel import DEFAULT_AXES, Channel, Recorded, even_steps, unit_of
from evidence.exhibits._mme_code import DIMENSIONS, Code, read_code, stated_filter
from evidence.exhibits._mme_text import NO_VALUES, Entry, TextFile, is_number
from evidence.quantity import Dimension

START_MISSING = "mme-start-missing"
CODE_ODD = "mme-code-odd"
OTHER = "mme-quantity-other"
_INTERVAL = ("samplinginterval", "samplinginterval1", "sampleinterval")
_START = ("timeoffirstsample", "starttime")
_COUNT = ("numberofsamples", "numberofsample", "numberofvalues")
_UNIT = ("unit", "units")
_CODE = ("channelcode",)
_CLASS = ("channelfrequencyclass", "frequencyclass", "cfc")
_CUTOFF = ("cutofffrequency", "prefiltertype")
_EXTREMES = (
    ("firstglobalmaximumvalue", "timeofmaximumvalue", max),
    ("firstglobalminimumvalue", "timeofminimumvalue", min),
)
_DIRECTIONS = frozenset("XYZR")
_HUGE = 1e30
_SHORTEST, _LONGEST = (
    Fraction(1, 10**9),
    Fraction(60),
)  # sampling intervals in seconds that a recorder can have
_ROUNDING = 1e-6  # of the span of a channel: what single precision leaves of its values
_LEAD_HERTZ = re.compile(r"(?P<number>[0-9]+(?:[.,][0-9]+)?)(?: ?Hz)?", re.ASCII | re.IGNORECASE)


@dataclass(eq=False)
class ChannelFile:
    """A channel file with its number in the set.

    Attributes:
        number: as its ending says.
        text: the file.
        code: its channel code, where it has one of sixteen characters.
        doubts: codes of contradictions.
    """

    number: int
    text: TextFile
    code: Code | None = None
    doubts: set[str] = field(default_factory=set)

    def doubt(self, code: str, *keys: str, **parameters: str) -> None:
        """Note a contradiction at the line of a key."""
        self.text.wrong(code, *keys, **parameters)
        self.doubts.add(code)


def check_file(one: ChannelFile, listed: str | None) -> None:
    """Hold the header of a channel against its samples and against its entry in the list of channels."""
    written = one.text.value(*_CODE)
    one.code = read_code(written or "")
    if written is not None and one.code is None:
        one.text.notices.add(CODE_ODD)
    if listed is not None:
        _check_listed(one, listed)
    _check_code(one)
    if one.text.samples is not None:
        _check_count(one)
        for index in range(len(_EXTREMES)):
            _check_extreme(one, index)


def is_reference(one: ChannelFile) -> bool:
    """Whether the channel holds the times of others."""
    if one.code is not None and one.code.quantity == "TI":
        return True
    symbol, dimension = unit_of(one.text.value(*_UNIT) or "", None)
    return dimension == Dimension.TIME and symbol != "d" and one.code is None


def channel_of(one: ChannelFile, references: Sequence[ChannelFile]) -> Channel | None:
    """The channel; None where its numbers or times cannot be read, with the reason among the file's problems."""
    text = one.text
    if text.samples is None:
        return None
    timing = _timing(one, references)
    if timing is None:
        return None
    spelling = text.value(*_UNIT) or ""
    unit, dimension = unit_of(spelling, one.code.dimension if one.code else None)
    if dimension is None:
        _wrong_unit(one, spelling)
    title = text.value("nameofthechannel", "channelname") or ""
    laboratory = text.value("laboratorychannelcode", "customerchannelcode")
    return Channel(
        name=one.code.text if one.code else text.value(*_CODE) or title or laboratory or f"{one.number:03d}",
        title=title,
        unit=unit,
        dimension=dimension,
        start_s=timing[0],
        interval_s=timing[1],
        values=text.samples,
        recorded=_recorded(one),
        cutoff_hz=_cutoff(text),
        axes=(text.value("referencesystem") or DEFAULT_AXES).casefold(),
        where=text.where,
        doubts=tuple(sorted(one.doubts)),
        notices=tuple(sorted(text.notices)),
    )


def _check_listed(one: ChannelFile, listed: str) -> None:
    """The list's ``code / text`` against the file's code."""
    code = read_code(listed.partition("/")[0])
    if code is None:
        return
    if one.code is None and one.text.value(*_CODE) is None:
        one.code = code
    elif one.code is not None and one.code.text != code.text:
        one.doubt("mme-code-differs", *_CODE, found=one.code.text, expected=code.text)


def _check_code(one: ChannelFile) -> None:
    """What the code says against the keys that say the same."""
    if one.code is None:
        return
    direction = (one.text.value("direction") or "").upper().lstrip("+-")
    if direction in _DIRECTIONS and one.code.direction in _DIRECTIONS and direction != one.code.direction:
        one.doubt("mme-direction-differs", "direction", found=direction, expected=one.code.direction)
    dimension = (one.text.value("dimension") or "").upper()
    if dimension in DIMENSIONS and dimension != one.code.quantity:
        one.doubt("mme-dimension-differs", "dimension", found=dimension, expected=one.code.quantity)
    stated = stated_filter(one.text.value(*_CLASS) or "")
    # a recorder's own filter is often stated as a class, so P beside a number is no contradiction
    known = one.code.filter not in (None, "pre-filtered", "special")
    if stated and known and stated != one.code.filter:
        one.doubt(
            "mme-filter-differs", *_CLASS, found=stated, expected=f"{one.code.text[15]}, {one.code.filter}"
        )


def _check_count(one: ChannelFile) -> None:
    entry, samples = one.text.entry(*_COUNT), one.text.samples
    if entry is None or samples is None:
        return
    number = _number(entry)
    if number is None or number != len(samples):
        one.doubt("mme-count-differs", *_COUNT, found=quoted(entry.value), expected=str(len(samples)))


def _check_extreme(one: ChannelFile, index: int) -> None:
    """A stated maximum or minimum against that of the samples, and the sample at its stated time against it."""
    key, time_key, of = _EXTREMES[index]
    entry, samples = one.text.entry(key), one.text.samples
    if entry is None or samples is None:
        return
    stated, found = _number(entry), of(samples)
    allowed = (_half_digit(entry.value) if stated is not None else 0) + _half_digit(one.text.extremes[index])
    allowed += _ROUNDING * (max(samples) - min(samples)) + _ROUNDING * abs(found)
    if stated is None or abs(float(stated) - found) > allowed:
        parameters = {
            "found": quoted(entry.value),
            "expected": f"{found:.7g}",
            "line": str(_line(one, found)),
        }
        one.doubt("mme-extreme-differs", key, **parameters)
        return
    _check_time(one, time_key, found, allowed)


def _check_time(one: ChannelFile, key: str, extreme: float, allowed: float) -> None:
    entry, samples = one.text.entry(key), one.text.samples
    time = _number(entry) if entry else None
    start, interval = _header_number(one.text, _START), _header_number(one.text, _INTERVAL)
    if entry is None or samples is None or time is None or start is None or not interval:
        return
    at = (time - start) / interval
    slack = Fraction(_half_digit(entry.value)) / interval + 1
    first, last = max(0, int(at - slack)), int(at + slack) + 1
    if not any(abs(value - extreme) <= allowed for value in samples[first : last + 1]):
        place = _line(one, extreme) - one.text.first_line
        one.doubt(
            "mme-extreme-time",
            key,
            found=quoted(entry.value),
            expected=f"{float(start + place * interval):.6g}",
        )


def _line(one: ChannelFile, value: float) -> int:
    return one.text.first_line + (one.text.samples.index(value) if one.text.samples is not None else 0)


_COARSEST = 1e9  # half of a last digit that no double can hold; so coarse a number contradicts nothing


def _half_digit(text: str) -> float:
    mantissa, _, power = text.replace(",", ".").casefold().partition("e")
    try:
        return 0.5 * 10.0 ** (int(power or 0) - len(mantissa.partition(".")[2]))
    except OverflowError:
        return _COARSEST


def _number(entry: Entry) -> Fraction | None:
    """The number of a value; None where it is none, or so large or small that nobody measured it."""
    text = entry.value.replace(",", ".")
    if not is_number(entry.value) or not abs(float(text)) < _HUGE:
        return None
    return Fraction(text) if abs(float(text)) > 1 / _HUGE else Fraction(0)


def _header_number(text: TextFile, keys: tuple[str, ...]) -> Fraction | None:
    entry = text.entry(*keys)
    return _number(entry) if entry else None


def _timing(one: ChannelFile, references: Sequence[ChannelFile]) -> tuple[Fraction, Fraction] | None:
    """Start and interval in seconds, from the header or from the channel of times that it names."""
    reference = one.text.value("referencechannel")
    name = one.text.value("referencechannelname")
    if reference and reference.casefold() not in ("implicit", "implizit"):
        wanted = name or reference
        return _of_reference(one, wanted, references)
    interval = _header_number(one.text, _INTERVAL)
    if interval is None or not _SHORTEST <= interval <= _LONGEST:
        given = one.text.value(*_INTERVAL)
        if given is None and len(references) == 1:
            return _of_reference(one, "", references)
        one.text.wrong("mme-interval-missing", *_INTERVAL, found=quoted(given or ""))
        return None
    start = _header_number(one.text, _START)
    if start is None:
        one.text.notices.add(START_MISSING)
    return start or Fraction(0), interval


def _of_reference(
    one: ChannelFile, wanted: str, references: Sequence[ChannelFile]
) -> tuple[Fraction, Fraction] | None:
    """Start and interval from a channel of times, named by code, name or number; the only one where no name is given."""
    loose = wanted.casefold() in {"", "explicit", "explizit"} | NO_VALUES
    found = [each for each in references if loose or _is_named(each, wanted)]
    if len(found) != 1 or found[0].text.samples is None or one.text.samples is None:
        one.text.wrong(
            "mme-reference-missing", "referencechannelname", "referencechannel", found=quoted(wanted)
        )
        return None
    (times,) = found
    samples = times.text.samples
    if samples is None or len(samples) != len(one.text.samples) or len(samples) <= 1:
        one.doubt(
            "mme-reference-length",
            "referencechannelname",
            "referencechannel",
            found=str(len(one.text.samples)),
            expected=str(len(samples or ())),
        )
        return None
    symbol, _ = unit_of(times.text.value(*_UNIT) or "s", Dimension.TIME)
    ends = Fraction(repr(samples[0])), Fraction(repr(samples[-1]))
    steps = even_steps(samples, ends, max(times.text.decimals, 0))
    if isinstance(steps, int):
        times.text.wrong(
            "mme-uneven", "unit", found=f"{samples[steps]:.9g}", row=str(times.text.first_line + steps)
        )
        return None
    factor = {"s": Fraction(1), "ms": Fraction(1, 1000)}.get(symbol)
    if factor is None:
        times.text.wrong("mme-unit-unknown", *_UNIT, found=quoted(symbol))
        return None
    return steps[0] * factor, steps[1] * factor


def _is_named(each: ChannelFile, wanted: str) -> bool:
    names = {
        each.text.value("nameofthechannel"),
        each.text.value(*_CODE),
        each.code.text if each.code else None,
    }
    numbers = {str(each.number), f"{each.number:03d}"}
    return wanted.casefold() in {name.casefold() for name in names if name} | numbers


def _wrong_unit(one: ChannelFile, spelling: str) -> None:
    """A unit that contradicts the code, or one that no table of ours has."""
    expected = one.code.dimension if one.code else None
    _, actual = unit_of(spelling, None)
    if expected is not None and actual is not None:
        one.doubt("mme-unit-contradicts", *_UNIT, found=quoted(spelling), expected=expected.value)
    elif one.code is not None and one.code.quantity.isalpha() and expected is None:
        one.text.notices.add(OTHER)
    elif spelling:
        one.text.wrong("mme-unit-unknown", *_UNIT, found=quoted(spelling))
    else:
        one.text.wrong("mme-unit-missing")


def _recorded(one: ChannelFile) -> Recorded:
    """The filter by letter and key; a key that names a class says more than P, S or ?."""
    stated = stated_filter(one.text.value(*_CLASS) or "")
    by_code = one.code.filter if one.code else None
    if by_code in (None, "pre-filtered", "special"):
        return stated or by_code or "undeclared"
    return by_code or "undeclared"


def _cutoff(text: TextFile) -> Fraction | None:
    """The recorder's own filter in hertz, where a key gives a number."""
    for key in _CUTOFF:
        found = _LEAD_HERTZ.fullmatch(text.value(key) or "")
        if found:
            return Fraction(found["number"].replace(",", "."))
    return None
