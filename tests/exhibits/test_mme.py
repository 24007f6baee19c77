"""Channel sets of ISO/TS 13499: read generously, and every contradiction told with file and line."""

from collections.abc import Callable
from fractions import Fraction

import pytest

from evidence.errors import HostileInputError, InputError, Problem
from evidence.exhibits import GUARDED, mme, resolve
from evidence.exhibits._answer import Answer
from evidence.exhibits._channel import ChannelSet
from evidence.exhibits.channels import Channel, set_answer, set_of_answer
from evidence.guard import Guard
from evidence.phrases import hint, say
from evidence.quantity import Dimension
from tests.exhibits.mme_files import BELT, CLOCK, SLED, channel, listing, sine, sled_set, zipped

GOOD = sine(-200)
FILE = "set/T1/Channel/T1.001"


def problems(*channels: bytes, codes: tuple[str, ...] | None = None) -> list[Problem]:
    """What is found wrong with a set of these channels."""
    try:
        return list(mme.read(sled_set(*channels, codes=codes), "set").problems)
    except InputError as error:
        return list(error.problems)


def told(problem: Problem) -> tuple[str, str, dict[str, str]]:
    """Code, place and parameters; the sentence is said on the way, so that no field of it is missing."""
    assert say(problem.code, problem.parameters)
    assert hint(problem.code).endswith(".")
    return problem.code, problem.where, dict(problem.parameters)


def line_of(data: bytes, key: str) -> int:
    """Line of a header key, counted from 1."""
    return next(at for at, line in enumerate(data.decode("cp1252").splitlines(), 1) if line.startswith(key))


def only(files: list[tuple[str, bytes]]) -> Channel:
    (one,) = mme.read(files, "set").channels
    return one


# ── what a good set says ────────────────────────────────────────────────────────────────────────────────────


def test_a_whole_set() -> None:
    belt = channel(sine(9000), unit="N", code=BELT, Direction="NOVALUE", Name_of_the_channel="Belt force")
    found = mme.read(sled_set(channel(GOOD), belt), "set")
    sled, force = found.channels

    assert (found.problems, found.notices) == ((), ())
    assert (sled.name, sled.title, sled.unit, sled.dimension) == (
        SLED,
        "Sled acceleration",
        "m/s²",
        Dimension.ACCELERATION,
    )
    assert (sled.start_s, sled.interval_s, len(sled.values)) == (Fraction(-1, 50), Fraction(1, 10_000), 1201)
    assert min(sled.values) == -200
    assert (sled.recorded, sled.axes, sled.where) == ("unfiltered", "sae-j1733", FILE)
    assert (force.name, force.unit, force.dimension) == (BELT, "N", Dimension.FORCE)


@pytest.mark.parametrize(
    ("letter", "recorded"),
    # published: example sets of public test houses use 0 and A to D; P, S and ? from memory of ISO/TS 13499
    [
        ("0", "unfiltered"),
        ("A", "1000"),
        ("B", "600"),
        ("C", "180"),
        ("D", "60"),
        ("P", "pre-filtered"),
        ("S", "special"),
        ("?", "undeclared"),
        ("Q", "undeclared"),
    ],
)
def test_the_last_letter_of_the_code_is_the_filter(letter: str, recorded: str) -> None:
    code = SLED[:-1] + letter

    assert only(sled_set(channel(GOOD, code=code), codes=[code])).recorded == recorded


@pytest.mark.parametrize(
    ("letter", "stated", "recorded"),
    [
        ("?", "180", "180"),
        ("P", "1000", "1000"),
        ("S", "CFC_600", "600"),
        ("?", "unfiltered", "unfiltered"),
        ("D", "60", "60"),
        ("0", "0", "unfiltered"),
        ("?", "C", "180"),
    ],
)
def test_the_header_says_the_class_where_the_letter_does_not(letter: str, stated: str, recorded: str) -> None:
    code = SLED[:-1] + letter
    data = channel(GOOD, code=code, Channel_frequency_class=stated)

    assert problems(data, codes=(code,)) == []
    assert only(sled_set(data, codes=[code])).recorded == recorded


@pytest.mark.parametrize(
    ("key", "value", "hertz"),
    [
        ("Cut_off_frequency", "2800", 2800),
        ("Pre-filter_type", "2000 Hz", 2000),
        ("Cut_off_frequency", "Butterworth", None),
    ],
)
def test_the_recorders_own_filter(key: str, value: str, hertz: int | None) -> None:
    assert only(sled_set(channel(GOOD, **{key: value}))).cutoff_hz == hertz


def test_the_axes_that_a_file_names_are_kept_and_no_sign_is_turned() -> None:
    one = only(sled_set(channel(GOOD, Reference_system="Local, z up")))

    assert one.axes == "local, z up"
    assert min(one.values) == -200


@pytest.mark.parametrize("unit", ["m/(s*s)", "m/s^2", "M/S2", "g", "G'S", "m/s**2"])
def test_units_of_acceleration(unit: str) -> None:
    assert only(sled_set(channel(GOOD, unit=unit))).dimension == Dimension.ACCELERATION


@pytest.mark.parametrize(("unit", "symbol"), [("NWT", "N"), ("KN", "kN"), ("kN", "kN"), ("N", "N")])
def test_units_of_force(unit: str, symbol: str) -> None:
    data = channel(GOOD, unit=unit, code=BELT, Direction="NOVALUE")

    assert only(sled_set(data, codes=[BELT])).unit == symbol


# ── habits of laboratories ──────────────────────────────────────────────────────────────────────────────────


def lf(data: bytes) -> bytes:
    return data.replace(b"\r\n", b"\n")


def cr(data: bytes) -> bytes:
    return data.replace(b"\r\n", b"\r")


def tabs(data: bytes) -> bytes:
    return b"\r\n".join(b"\t: \t".join(line.split(b":", 1)) for line in data.split(b"\r\n"))


def capitals(data: bytes) -> bytes:
    return data.upper().replace(b"M/(S*S)", b"m/(s*s)").replace(b"IMPLICIT", b"Implicit")


def utf16(data: bytes) -> bytes:
    return data.decode("cp1252").encode("utf-16")


def marked(data: bytes) -> bytes:
    return b"\xef\xbb\xbf" + data


def blanks(data: bytes) -> bytes:
    return data.replace(b"\r\n", b"  \r\n") + b"\r\n\r\n\x1a"


def commas(data: bytes) -> bytes:
    return data.replace(b".", b",")


def dots(data: bytes) -> bytes:
    return data.replace(b"Cut off frequency ", b"Cut-off frequency.").replace(b"Unit  ", b"UNIT  ")


def comments(data: bytes) -> bytes:
    return b"Comments: drop tower\r\nComments: second comment, 12:30 h\r\nfree text\r\n" + data


@pytest.mark.parametrize("habit", [lf, cr, tabs, capitals, utf16, marked, blanks, commas, dots, comments])
def test_habits_change_nothing(habit: Callable[[bytes], bytes]) -> None:
    found = mme.read(sled_set(habit(channel(GOOD))), "set")
    usual = only(sled_set(channel(GOOD)))
    (one,) = found.channels

    assert found.problems == ()
    assert (one.name, one.values, one.start_s, one.interval_s, one.unit) == (
        usual.name,
        usual.values,
        usual.start_s,
        usual.interval_s,
        usual.unit,
    )
    assert one.notices == (("mme-decimal-comma",) if habit is commas else ())


@pytest.mark.parametrize(
    "left_out",
    [
        "Channel code",
        "Direction",
        "Number of samples",
        "Dimension",
        "Name of the channel",
        "Test object number",
        "Reference channel",
        "Channel frequency class",
        "First global maximum value",
        "Time of minimum value",
    ],
)
def test_keys_that_may_be_missing(left_out: str) -> None:
    data = channel(GOOD, **{left_out: None})

    assert problems(data) == []
    assert only(sled_set(data)).name == SLED  # from the list, where the file does not say it


def test_a_header_in_windows_letters() -> None:
    one = only(sled_set(channel(GOOD, Name_of_the_channel="Schlittenverz\u00f6gerung")))

    assert (one.title, one.notices) == ("Schlittenverz\u00f6gerung", ("mme-encoding-guessed",))


def test_a_start_that_is_missing_is_zero_and_says_so() -> None:
    one = only(sled_set(channel(GOOD, Time_of_first_sample="NOVALUE")))

    assert (one.start_s, one.notices) == (Fraction(0), ("mme-start-missing",))
    assert say("mme-start-missing")


def test_an_odd_code_is_kept_as_a_name_alone() -> None:
    one = only(sled_set(channel(GOOD, code="SLED-X"), codes=[]))

    assert (one.name, one.recorded, one.notices) == ("SLED-X", "undeclared", ("mme-code-odd",))
    assert one.dimension == Dimension.ACCELERATION


def test_a_set_without_header_and_list() -> None:
    found = mme.read([("T1.001", channel(GOOD))], "set")

    assert found.notices == ("mme-header-missing", "mme-list-missing")
    assert found.problems == ()
    assert len(found.channels) == 1


def test_names_in_capitals_and_what_computers_leave_behind() -> None:
    files = [(name.upper(), data) for name, data in sled_set(channel(GOOD))]
    left = [
        ("__MACOSX/T1/._T1.mme", b"\x00\x05"),
        ("T1/Channel/._T1.001", b"\x00\x05"),
        ("Thumbs.db", b"\x00"),
    ]

    assert mme.read([*files, *left], "set").problems == ()


@pytest.mark.parametrize("factor", [1, 1000])
@pytest.mark.parametrize("name", ["NOVALUE", CLOCK, "Sled acceleration", "002"])
def test_times_of_their_own_channel(factor: int, name: str) -> None:
    times = [f"{(-0.02 + at * 0.0001) * factor:.5f}" for at in range(len(GOOD))]
    clock = channel(
        times,
        unit="s" if factor == 1 else "ms",
        code=CLOCK,
        Direction="NOVALUE",
        Sampling_interval=None,
        Time_of_maximum_value=None,
        Time_of_minimum_value=None,
    )
    data = channel(
        GOOD,
        Reference_channel="explicit",
        Reference_channel_name=name,
        Sampling_interval=None,
        Time_of_first_sample=None,
    )
    one = only(sled_set(data, clock, codes=[SLED, CLOCK]))

    assert (one.start_s, one.interval_s) == (Fraction(-1, 50), Fraction(1, 10_000))


# ── contradictions ──────────────────────────────────────────────────────────────────────────────────────────


@pytest.mark.parametrize(
    ("key", "value", "code", "parameters"),
    [
        ("Number of samples", "1200", "mme-count-differs", {"found": "1200", "expected": "1201"}),
        ("Number of samples", "many", "mme-count-differs", {"found": "many", "expected": "1201"}),
        ("First global minimum value", "-2.010000E+02", "mme-extreme-differs", {"found": "-2.010000E+02", "expected": "-200", "line": "617"}),
        ("First global maximum value", "5", "mme-extreme-differs", {"found": "5", "expected": "0", "line": "17"}),
        ("Time of minimum value", "0.03", "mme-extreme-time", {"found": "0.03", "expected": "0.04"}),
        ("Direction", "Y", "mme-direction-differs", {"found": "Y", "expected": "X"}),
        ("Dimension", "FO", "mme-dimension-differs", {"found": "FO", "expected": "AC"}),
        ("Channel frequency class", "180", "mme-filter-differs", {"found": "180", "expected": "0, unfiltered"}),
        ("Unit", "kN", "mme-unit-contradicts", {"found": "kN", "expected": "acceleration"}),
        ("Channel code", "S0SLED000000ACXA", "mme-code-differs", {"found": "S0SLED000000ACXA", "expected": SLED}),
    ],
)  # fmt: skip
def test_a_contradiction_is_told_with_its_line_and_stays_with_the_channel(
    key: str, value: str, code: str, parameters: dict[str, str]
) -> None:
    data = channel(GOOD, **{key.replace(" ", "_"): value})
    found = mme.read(sled_set(data), "set")

    assert [told(each) for each in found.problems] == [(code, f"{FILE}:{line_of(data, key)}", parameters)]
    assert found.channels[0].doubts == (code,)


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("First global minimum value", "-200"),
        ("First global minimum value", "-2.0E+02"),
        ("First global minimum value", "-199.99999"),
        ("Time of minimum value", "4E-2"),
        ("Time of minimum value", "0.0401"),
        ("Direction", "longitudinal"),
        ("Direction", "-X"),
        ("Dimension", "acceleration"),
        ("Dimension", "mm"),
        ("Number of samples", "1201.0"),
    ],
)
def test_rounding_and_other_words_are_no_contradiction(key: str, value: str) -> None:
    assert problems(channel(GOOD, **{key.replace(" ", "_"): value})) == []


def test_few_digits_of_large_samples_are_no_contradiction() -> None:
    """Samples in powers of ten have as many digits at the peak as beside it, not as many decimals."""
    few = [f"{float(sample):.3E}" for sample in sine(-1470.835, 61, first=10, width=40)]
    small = [*few[:-1], "1.234E-05"]

    assert problems(channel(small, First_global_minimum_value="-1.470835E+3")) == []
    (problem,) = problems(channel(small, First_global_minimum_value="-1.473E+3"))
    assert problem.code == "mme-extreme-differs"


def test_a_quantity_of_which_nothing_is_computed_is_no_problem() -> None:
    code = "S0HEAD0000H3AVX0"
    found = mme.read(sled_set(channel(GOOD, code=code, unit="rad/s"), codes=[code]), "set")

    assert found.problems == ()
    assert (found.channels[0].unit, found.channels[0].notices) == ("rad/s", ("mme-quantity-other",))


def test_the_letter_of_the_code_against_the_class() -> None:
    code = SLED[:-1] + "C"
    (problem,) = problems(channel(GOOD, code=code, Channel_frequency_class="CFC 1000"), codes=(code,))

    assert told(problem)[2] == {"found": "1000", "expected": "C, 180"}


@pytest.mark.parametrize(
    ("changed", "code", "place", "parameters"),
    [
        ({"Sampling_interval": None}, "mme-interval-missing", "", {"found": ""}),
        ({"Sampling_interval": "fast"}, "mme-interval-missing", ":8", {"found": "fast"}),
        ({"Sampling_interval": "0"}, "mme-interval-missing", ":8", {"found": "0"}),
        ({"Reference_channel": "explicit"}, "mme-reference-missing", ":7", {"found": "explicit"}),
        ({"Reference_channel": CLOCK}, "mme-reference-missing", ":7", {"found": CLOCK}),
    ],
)
def test_a_channel_without_times_cannot_be_read(
    changed: dict[str, str | None], code: str, place: str, parameters: dict[str, str]
) -> None:
    (problem,) = problems(channel(GOOD, **changed))

    assert told(problem) == (code, FILE + place, parameters)


@pytest.mark.parametrize(
    ("unit", "code", "place"), [("furlong", "mme-unit-unknown", ":9"), ("NOVALUE", "mme-unit-missing", "")]
)
def test_a_unit_that_nobody_knows(unit: str, code: str, place: str) -> None:
    found = mme.read(sled_set(channel(GOOD, unit=unit)), "set")

    assert [told(each)[:2] for each in found.problems] == [(code, FILE + place)]
    assert found.channels[0].dimension is None


@pytest.mark.parametrize(
    ("at", "sample", "code", "parameters"),
    [
        (700, "NOVALUE", "mme-sample-missing", {"count": "1"}),
        (700, "", "mme-sample-missing", {"count": "1"}),
        (700, "12.5 0.3", "mme-sample", {"found": "12.5 0.3"}),
        (700, "1e999", "mme-sample", {"found": "1e999"}),
        (700, "1_0", "mme-sample", {"found": "1_0"}),
        (700, "+-1", "mme-sample", {"found": "+-1"}),
        (700, "3,5", "mme-sample", {"found": "3,5"}),
        (700, "Comments: end", "mme-sample", {"found": "Comments: end"}),
    ],
)
def test_a_line_that_is_no_sample(at: int, sample: str, code: str, parameters: dict[str, str]) -> None:
    rows = channel(GOOD).decode().split("\r\n")
    rows[at - 1] = sample
    (problem,) = problems("\r\n".join(rows).encode())

    assert told(problem) == (code, f"{FILE}:{at}", parameters)


def test_a_channel_that_failed_does_not_keep_the_others() -> None:
    belt = channel(sine(9000), unit="N", code=BELT, Direction="NOVALUE")
    dead = channel(GOOD).replace(b"0.000000", b"NOVALUE", 3)
    found = mme.read(sled_set(dead, belt), "set")

    assert [one.name for one in found.channels] == [BELT]
    assert [each.code for each in found.problems] == ["mme-sample-missing"]


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (channel(GOOD).split(b"\r\n0.000000")[0], "mme-no-samples"),
        (b"Unit:g\x00\n1\n", "mme-character"),
    ],
)
def test_files_without_numbers(data: bytes, code: str) -> None:
    assert [told(each)[0] for each in problems(data)] == [code]


def test_too_many_samples(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("evidence.exhibits._mme_text.MAX_SAMPLES", 1200)

    assert [told(each) for each in problems(channel(GOOD))] == [
        ("mme-too-many-samples", FILE, {"limit": "1200"})
    ]


def test_the_list_against_the_files() -> None:
    files = sled_set(channel(GOOD), codes=[SLED, BELT])
    listed = [told(each) for each in mme.read(files, "set").problems]
    files[1] = (files[1][0], listing(SLED, count=3))
    counted = [told(each) for each in mme.read(files, "set").problems]
    unlisted = [
        told(each) for each in mme.read(sled_set(channel(GOOD), channel(GOOD), codes=[SLED]), "set").problems
    ]

    assert listed == [
        ("mme-channel-missing", "set/T1/Channel/T1.chn:4", {"number": "002", "found": f"{BELT} / channel 2"})
    ]
    assert counted == [("mme-list-count", "set/T1/Channel/T1.chn:2", {"found": "3", "expected": "1"})]
    assert unlisted == [("mme-channel-unlisted", "set/T1/Channel/T1.002", {"number": "002"})]


def test_channels_that_are_sampled_otherwise_are_told() -> None:
    slow = channel(
        sine(9000),
        unit="N",
        code=BELT,
        Direction="NOVALUE",
        Sampling_interval="0.0002",
        Time_of_maximum_value=None,
        Time_of_minimum_value=None,
    )
    found = mme.read(sled_set(channel(GOOD), slow), "set")

    assert [told(each) for each in found.problems] == [
        ("mme-mixed-sampling", "set/T1/Channel/T1.002", {"found": "0.0002", "expected": "0.0001"})
    ]
    assert len(found.channels) == 2


def clock(times: list[str], **changed: str | None) -> bytes:
    given: dict[str, str | None] = {"Time_of_maximum_value": None, "Time_of_minimum_value": None, **changed}
    return channel(times, unit="s", code=CLOCK, Direction="NOVALUE", **given)


def test_times_out_of_step_and_of_another_length() -> None:
    times = [f"{at * 0.0001:.5f}" for at in range(len(GOOD))]
    data = channel(GOOD, Reference_channel="explicit")
    jumped = [*times[:600], *(f"{at * 0.0001 + 0.001:.5f}" for at in range(600, len(GOOD)))]
    uneven = problems(data, clock(jumped), codes=(SLED, CLOCK))
    shorter = problems(data, clock(times[:-1]), codes=(SLED, CLOCK))

    assert [told(each)[0] for each in uneven] == ["mme-uneven"]
    assert uneven[0].where.startswith("set/T1/Channel/T1.002:")
    assert [told(each) for each in shorter] == [
        ("mme-reference-length", f"{FILE}:7", {"found": "1201", "expected": "1200"})
    ]


def test_a_clock_with_a_digit_too_small_for_any_program() -> None:
    times = ["1e-999", *(f"{at * 0.0001:.5f}" for at in range(1, len(GOOD)))]
    found = mme.read(
        sled_set(channel(GOOD, Reference_channel="explicit"), clock(times), codes=[SLED, CLOCK]), "set"
    )

    assert (found.channels[0].start_s, found.channels[0].interval_s) == (Fraction(0), Fraction(1, 10_000))


def test_a_clock_in_minutes_is_no_clock() -> None:
    times = [f"{at * 0.0001:.5f}" for at in range(len(GOOD))]
    data = clock(times).replace(b":s\r\n", b":min\r\n")

    assert [
        told(each)[0]
        for each in problems(channel(GOOD, Reference_channel="explicit"), data, codes=(SLED, CLOCK))
    ] == ["mme-unit-unknown"]


# ── the set as a whole ──────────────────────────────────────────────────────────────────────────────────────


def refused(files: list[tuple[str, bytes]]) -> tuple[str, str, dict[str, str]]:
    with pytest.raises(InputError) as caught:
        mme.read(files, "set")
    (problem,) = caught.value.problems
    return told(problem)


def test_what_is_no_set() -> None:
    assert refused([("readme.txt", b"hello")]) == ("mme-absent", "set", {})
    assert refused([("log.001", b"1\n2\n3\n")])[0] == "mme-absent"
    assert refused([]) == ("mme-absent", "set", {})


def test_a_set_without_channels() -> None:
    assert refused(sled_set(codes=[])) == ("mme-no-channels", "set", {})


def test_two_tests_in_one_folder() -> None:
    two = [*sled_set(channel(GOOD)), ("T2/T2.mme", b"Title:x")]
    doubled = [("a/T1.001", channel(GOOD)), ("b/T1.001", channel(GOOD))]

    assert refused(two) == ("mme-several-tests", "set", {"found": "T1/T1.mme, T2/T2.mme"})
    assert refused(doubled) == ("mme-several-tests", "set", {"found": "a/T1.001, b/T1.001"})


def test_too_many_channels(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(mme, "MAX_CHANNELS", 1)

    assert refused(sled_set(channel(GOOD), channel(GOOD)))[0] == "mme-too-many-channels"


# ── across the process border ───────────────────────────────────────────────────────────────────────────────


def test_the_guard_reads_a_zip_and_hands_back_the_same() -> None:
    files = sled_set(
        channel(GOOD, Direction="Y"), channel(sine(9000), unit="N", code=BELT, Direction="NOVALUE")
    )
    with Guard() as guard:
        found = set_of_answer(guard.run("mme", zipped(files), "set"), "set")

    assert found == mme.read(files, "set")
    assert resolve(GUARDED["mme"]) is mme.answer


@pytest.mark.parametrize(
    "spoil",
    [
        lambda value: value["channels"][0].update(recorded="yes"),
        lambda value: value["channels"][0].update(interval="0"),
        lambda value: value["channels"][0].update(interval="1/0"),
        lambda value: value["channels"][0].update(where="elsewhere"),
        lambda value: value["channels"][0].update(name=3),
        lambda value: value["channels"][0].update(doubts="mme-count-differs"),
        lambda value: value["channels"].clear(),
        lambda value: value.pop("problems"),
        lambda value: value.update(problems=[["code"]]),
    ],
)
def test_an_answer_of_another_form_is_hostile(spoil: Callable[[dict[str, object]], object]) -> None:
    answer = set_answer(mme.read(sled_set(channel(GOOD)), "set"))
    spoil(answer.value)

    with pytest.raises(HostileInputError):
        set_of_answer(answer, "set")


@pytest.mark.parametrize("blob", [b"1234567", b"\x00\x00\x00\x00\x00\x00\xf8\x7f" * 30])
def test_numbers_of_another_form_are_hostile(blob: bytes) -> None:
    answer = set_answer(mme.read(sled_set(channel(GOOD)), "set"))

    with pytest.raises(HostileInputError):
        set_of_answer(Answer(answer.value, (blob,)), "set")


def test_a_problem_can_only_be_inside_the_set() -> None:
    moved = ChannelSet((), (Problem("mme-no-samples", "other.001"),))

    assert set_of_answer(set_answer(moved), "set").problems[0].where == "set"
