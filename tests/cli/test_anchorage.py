"""``sillmark anchorage`` as its users call it."""

import json
import re
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import pytest

from evidence.measure.anchorage import NOT_COVERED
from evidence.phrases import hint, say
from tests.conftest import Run
from tests.measure.sheets import WHOLE, sheet

NS = "{http://www.w3.org/2000/svg}"
KEYS = {
    "method",
    "title",
    "pivot",
    "friction",
    "assumptions",
    "not_covered",
    "warnings",
    "mass_kg",
    "centre_of_gravity_mm",
    "bolt_centroid_mm",
    "cases",
    "worst",
    "tightening",
}
TIGHTENING = (
    "tightening:\n  - {{thread: M10, torque: {0} N·m, nut_factor_low: 0.15, nut_factor_high: 0.20, "
    "nut_factor_source: data sheet}}\n"
)


def write(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "sheet.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def answer(run: Run, path: Path) -> dict[str, Any]:
    outcome = run("anchorage", path, "--json")
    assert outcome.exit_code == 0, outcome.stderr
    found: dict[str, Any] = json.loads(outcome.stdout)
    assert set(found) == KEYS
    return found


def numbers(node: Any) -> list[Any]:
    """Everything in the answer that is no text, list or mapping."""
    if isinstance(node, dict):
        return [each for value in node.values() for each in numbers(value)]
    if isinstance(node, list):
        return [each for value in node for each in numbers(value)]
    return [] if isinstance(node, str) else [node]


def flat(text: str) -> str:
    """Wrapped lines as one."""
    return re.sub(r"\s+", " ", text)


def test_the_answer_for_machines(run: Run, tmp_path: Path) -> None:
    found = answer(run, write(tmp_path, WHOLE))

    # computed independently with 250 kg times 10 times 9.80665 m/s²
    assert {case["force_n"] for case in found["cases"]} == {"24517"}
    assert [case["direction"] for case in found["cases"]] == ["forward", "left", "upward"]
    assert found["worst"]["bolt"] == "B4"
    fourth = found["cases"][0]["bolts"][3]
    assert (fourth["thread"], fourth["property_class"], fourth["countersunk"]) == ("M10", "10.9", "yes")
    assert found["not_covered"] == list(NOT_COVERED)
    assert numbers(found) == []


def test_what_is_printed_adds_up(run: Run, tmp_path: Path) -> None:
    """Rounded forces of six bolts add up to the whole within half a newton each."""
    found = answer(run, write(tmp_path, WHOLE))
    forward, left, upward = found["cases"]

    for case, key, sign in ((forward, "shear_x_n", 1), (left, "shear_y_n", -1), (upward, "tension_n", 1)):
        assert sum(int(bolt[key]) for bolt in case["bolts"]) == pytest.approx(sign * 24_517, abs=3.5)


def test_tightening_for_machines(run: Run, tmp_path: Path) -> None:
    (found,) = answer(run, write(tmp_path, WHOLE))["tightening"]

    # computed independently with F = T / (K d): 45 / (0.20 · 0.010) and 45 / (0.14 · 0.010); proof of the weakest 38 480 N
    assert (found["preload_low_n"], found["preload_high_n"]) == ("22500", "32143")
    assert (found["share_of_proof_low"], found["share_of_proof_high"]) == ("0.58", "0.84")
    assert (found["greatest_pull_n"], found["nut_factor_source"]) == (
        "16324",
        "data sheet of the thread-locker",
    )


def test_the_text_states_pivot_assumptions_and_limits(run: Run, tmp_path: Path) -> None:
    told = run("anchorage", write(tmp_path, WHOLE)).stdout

    lines = told.split("\n")
    assert lines[0] == "Anchorage worksheet: Heron 2 floor plate, TV-17"
    assert lines[1] == say("anchorage-plain")
    assert (
        told.index("Assumed")
        < told.index("Masses")
        < told.index("Forward, 10 g")
        < told.index("Least reserve")
    )
    for code in (*NOT_COVERED, "anchorage-decides", "anchorage-as-pivot-edge", "anchorage-as-friction"):
        assert flat(say(code)) in flat(told)
    assert "countersunk bolts count 0.8" in flat(told).lower()
    assert max(map(len, lines)) <= 100


def test_the_table_names_what_it_shows(run: Run, tmp_path: Path) -> None:
    lines = run("anchorage", write(tmp_path, WHOLE)).stdout.split("\n")
    at = next(index for index, line in enumerate(lines) if line.startswith("Forward"))

    assert lines[at] == "Forward, 10 g: 24517 N; overturning 13386 N·m; twist -294 N·m"
    assert lines[at + 1].split() == [
        "bolt",
        "thread,",
        "class",
        "pull/N",
        "shear/N",
        "together/N",
        "proof/N",
        "reserve",
        "to",
        "breaking",
    ]
    assert lines[at + 5].split() == [
        "B4",
        "M10",
        "10.9",
        "csk",
        "3247",
        "4135",
        "7863",
        "38480",
        "4.89",
        "6.13",
    ]


@pytest.mark.parametrize("word", ["compliant", "certified", "approved", "safe", "passed", "failed"])
def test_it_never_judges(run: Run, tmp_path: Path, word: str) -> None:
    told = run("anchorage", write(tmp_path, sheet(levels="forward 60 g"))).stdout

    assert word not in told.lower()


def test_a_small_reserve_is_told_and_decides_nothing(run: Run, tmp_path: Path) -> None:
    path = write(tmp_path, sheet(levels="forward 60 g"))
    outcome = run("anchorage", path)

    assert outcome.exit_code == 0
    assert flat(say("anchorage-below-one")) in flat(outcome.stdout)
    assert flat(hint("anchorage-below-one")) in flat(outcome.stdout)
    assert answer(run, path)["warnings"] == ["anchorage-below-one"]


@pytest.mark.parametrize(
    ("torque", "code"),
    [("10", "anchorage-joint-opens"), ("80", "anchorage-preload-high"), ("50", "")],
)
def test_preload_is_told_beside_the_loads(run: Run, tmp_path: Path, torque: str, code: str) -> None:
    """By hand: greatest pull 11 787 N; 10 N·m clamp 5000 N at least, 80 N·m 53 333 N at most of 48 100."""
    text = sheet() + TIGHTENING.format(torque)
    path = write(tmp_path, text)

    assert answer(run, path)["warnings"] == ([code] if code else [])
    told = flat(run("anchorage", path).stdout)
    for each in ("anchorage-joint-opens", "anchorage-preload-high"):
        assert (flat(say(each, {"thread": "M10"})) in told) == (each == code)


def test_no_load_at_all(run: Run, tmp_path: Path) -> None:
    """A load upwards on the centroid of one bolt pulls it; nothing shears, and nothing is left without a word."""
    text = sheet(levels="upward 10 g", places=((0, 0),))
    outcome = run("anchorage", write(tmp_path, text))

    assert outcome.exit_code == 0
    assert (
        "Least reserve: 1.96 to the proof load" in outcome.stdout
    )  # by hand: 48 100 / 24 516.6, rounded down


def test_the_drawing_tells_every_value(run: Run, tmp_path: Path) -> None:
    target = tmp_path / "bolts.svg"
    outcome = run("anchorage", write(tmp_path, WHOLE), "--plot", target)
    root = ET.fromstring(target.read_text(encoding="utf-8"))  # noqa: S314 - our own text

    assert say("anchorage-plot-written", {"path": str(target)}) in outcome.stderr
    alt = root.findtext(f"{NS}desc") or ""
    assert alt.startswith(say("anchorage-plain"))
    assert "B4 pull 16324 N, shear 4160 N, reserve 2.15" in alt
    assert alt.count(" pull ") == 18
    shown = [each.text for each in root.iter(f"{NS}text")]
    assert {
        "16324",
        "4160",
        "2.15",
        "To the left, 10 g: 24517 N; overturning 13386 N·m; twist -4732 N·m",
    } <= set(shown)
    assert say("anchorage-plain") in shown


def test_the_drawing_is_the_same_every_time_and_needs_no_plate(run: Run, tmp_path: Path) -> None:
    path = write(tmp_path, sheet(pivot="centroid", more=""))
    first, second = tmp_path / "a.svg", tmp_path / "b.svg"
    run("anchorage", path, "--plot", first)
    run("anchorage", path, "--plot", second)

    assert first.read_bytes() == second.read_bytes()
    assert "stroke-dasharray" in first.read_text(encoding="utf-8")  # bolts that are pressed


def test_a_drawing_that_is_no_svg(run: Run, tmp_path: Path) -> None:
    target = tmp_path / "bolts.png"
    outcome = run("anchorage", write(tmp_path, WHOLE), "--plot", target)

    assert outcome.exit_code == 2
    assert say("anchorage-plot-ending", {"found": "bolts.png"}) in outcome.stderr
    assert not target.exists()


def test_bad_input_names_every_place_and_what_to_do(run: Run, tmp_path: Path) -> None:
    text = WHOLE.replace("mass: 45 kg", "mass: 45 g").replace("id: B6, x: -400 mm", "id: B6, x: -500 mm")
    path = write(tmp_path, text)
    outcome = run("anchorage", path, "--json")

    assert (outcome.exit_code, outcome.stdout) == (3, "")
    lines = outcome.stderr.split("\n")
    assert lines[0] == f"{path}:7:26: 45 g cannot be right: expected 0.5 kg to 1000 kg."
    assert lines[1].strip() == hint("anchorage-out-of-range")
    assert lines[2] == f"{path}:20:5: Bolt B6 (x -500 mm, y 120 mm) lies outside the plate."
    assert lines[3].strip() == hint("anchorage-bolt-off-plate")


@pytest.mark.parametrize("data", [b"", b"\xff\xfe", b"- a\n", b"{", b"%PDF-1.7\n\x00"])
def test_what_is_no_sheet_is_told_without_a_trace(run: Run, tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "sheet.yaml"
    path.write_bytes(data)
    outcome = run("anchorage", path)

    assert outcome.exit_code == 3
    assert outcome.stderr.startswith(str(path))
    assert "Traceback" not in outcome.stderr


def test_an_absent_sheet(run: Run, tmp_path: Path) -> None:
    assert run("anchorage", tmp_path / "none.yaml").exit_code == 3


def test_a_pattern_that_cannot_hold(run: Run, tmp_path: Path) -> None:
    path = write(tmp_path, sheet(pivot="centroid", places=((0, -50), (0, 50)), more=""))
    outcome = run("anchorage", path)

    assert outcome.exit_code == 3
    assert say("anchorage-pattern", {"direction": "forward"}) in outcome.stderr
    assert hint("anchorage-pattern") in outcome.stderr
