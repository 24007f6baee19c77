"""Channel sets that were damaged on the way: read or refused, never anything else."""

from hypothesis import given, settings
from hypothesis import strategies as st

from evidence.errors import InputError
from evidence.exhibits import mme
from evidence.exhibits.channels import set_answer, set_of_answer
from evidence.phrases import hint, say
from tests.exhibits.mme_files import BELT, CLOCK, SLED, channel, sine, sled_set, zipped

SAMPLES = sine(-200, 61, first=10, width=40)
TIMES = [f"{at / 10_000:.4f}" for at in range(61)]
EXPLICIT = {"Reference_channel": "explicit", "Reference_channel_name": CLOCK}
FILES = sled_set(
    channel(SAMPLES),
    channel(sine(9000, 61, first=10, width=40), unit="N", code=BELT, Direction="NOVALUE", **EXPLICIT),
    channel(TIMES, unit="s", code=CLOCK, Direction="NOVALUE", Time_of_first_sample="0"),
    codes=[SLED, BELT, CLOCK],
)
ARCHIVE = zipped(FILES)
PIECES = [
    b"",
    b":",
    b"\n",
    b"\r",
    b"NOVALUE",
    b"-",
    b"1e308",
    b"1e-99",
    b"0",
    b"999999999999",
    b"\x00",
    b"\xff\xfe",
    b",",
    b"%s",
]
Edits = st.lists(
    st.tuples(st.integers(0, 10**6), st.integers(0, 40), st.sampled_from(PIECES)), min_size=1, max_size=4
)


def edited(data: bytes, edits: list[tuple[int, int, bytes]]) -> bytes:
    """The bytes with pieces put in place of others."""
    for at, length, piece in edits:
        place = at % (len(data) + 1)
        data = data[:place] + piece + data[place + length :]
    return data


def look(data: bytes | None, files: list[tuple[str, bytes]]) -> None:
    """Read; whatever comes of it must be fit to be told and to cross the process border."""
    try:
        found = mme.parse(data, "set") if data is not None else mme.read(files, "set")
    except InputError as error:
        problems = error.problems
    else:
        problems = found.problems
        assert set_of_answer(set_answer(found), "set") == found
    for problem in problems:
        assert say(problem.code, problem.parameters)
        assert hint(problem.code)
        assert problem.where.startswith("set")


@given(st.integers(0, len(FILES) - 1), Edits)
@settings(max_examples=400, deadline=None)
def test_damaged_texts(which: int, edits: list[tuple[int, int, bytes]]) -> None:
    files = list(FILES)
    files[which] = (files[which][0], edited(files[which][1], edits))

    look(None, files)


@given(Edits)
@settings(max_examples=200, deadline=None)
def test_damaged_archives(edits: list[tuple[int, int, bytes]]) -> None:
    look(edited(ARCHIVE, edits), [])


@given(st.lists(st.integers(0, len(FILES) - 1), max_size=3, unique=True))
def test_lost_files(lost: list[int]) -> None:
    look(None, [each for at, each in enumerate(FILES) if at not in lost])


@given(
    st.sampled_from(
        [
            "Sampling interval",
            "Number of samples",
            "Time of first sample",
            "First global maximum value",
            "Time of maximum value",
            "Unit",
            "Channel code",
            "Direction",
            "Reference channel",
            "Cut off frequency",
        ]
    ),
    st.text(max_size=12)
    | st.from_regex(r"[+\-]?[0-9]{1,3}([.,][0-9]{1,3})?([eE][+\-]?[0-9]{1,3})?", fullmatch=True),
)
@settings(max_examples=300, deadline=None)
def test_odd_values_of_keys(key: str, value: str) -> None:
    lines = channel(SAMPLES).decode("cp1252").split("\r\n")
    wanted = next(at for at, line in enumerate(lines) if line.startswith(key))
    lines[wanted] = f"{key}:{value}"
    files = list(FILES)
    files[2] = (files[2][0], "\r\n".join(lines).encode("utf-8", "surrogatepass"))

    look(None, files)
