"""``sillmark pulse`` as its users call it."""

import json
import math
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from evidence.phrases import en, say
from evidence.phrases.pulse_en import NOTICES, PROBLEMS
from tests import labcases as lab
from tests.conftest import Run
from tests.exhibits.mme_files import BELT, SLED, channel, listing, sine, sled_set, zipped

KEYS = {
    "name",
    "unit",
    "sampling_interval_s",
    "samples",
    "cfc",
    "form",
    "peak_max",
    "peak_min",
    "time_of_peak_max_s",
    "time_of_peak_min_s",
    "clip_3ms_cumulative",
    "clip_3ms_continuous",
    "delta_v_m_s",
    "warnings",
}
TESTS = Path(__file__).resolve().parents[1]


def half_sine(
    heading: str = "time [s],sled [g]", *, peak: float = 20, width: float = 0.08, factor: float = 1
) -> str:
    """A table of half a sine from 0 s on, 50 ms of quiet on either side."""
    lines = [heading]
    for at in range(-500, round(width * 10_000) + 501):
        time = at / 10_000
        value = peak * math.sin(math.pi * time / width) if 0 <= time <= width else 0.0
        lines.append(f"{time * factor:.5f},{value:.9f}")
    return "\n".join(lines) + "\n"


@pytest.fixture
def sled(tmp_path: Path) -> Path:
    path = tmp_path / "sled.csv"
    path.write_text(half_sine("time [s],sled unfiltered [g]"), encoding="utf-8")
    return path


def unpack(files: Sequence[tuple[str, bytes]], folder: Path) -> Path:
    for name, data in files:
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(data)
    return folder


def channels(run: Run, *arguments: object, exit_code: int = 0) -> list[dict[str, Any]]:
    outcome = run("pulse", *arguments, "--json")
    assert outcome.exit_code == exit_code, outcome.stderr
    document = json.loads(outcome.stdout)
    assert set(document) == {"channels", "clauses"}
    assert all(set(each) == KEYS for each in document["channels"])
    found: list[dict[str, Any]] = document["channels"]
    return found


def test_a_half_sine_by_class_60(run: Run, sled: Path) -> None:
    (one,) = channels(run, sled, "--cfc", "60")

    # computed independently with scipy.signal on the J211 form; the closed form 2 A W / pi gives 9.988972
    assert float(one["peak_max"]) == pytest.approx(19.999874, abs=1e-6)
    assert float(one["delta_v_m_s"]) == pytest.approx(9.988959, abs=2e-6)
    assert (one["cfc"], one["form"], one["warnings"]) == ("60", "j211", [])
    assert (one["samples"], one["sampling_interval_s"], one["unit"]) == ("1801", "0.0001", "g")
    assert one["time_of_peak_max_s"] == "0.04"


def test_every_number_is_a_decimal_string_or_null(run: Run, sled: Path) -> None:
    (one,) = channels(run, sled)

    assert all(isinstance(value, str | list) or value is None for value in one.values())
    assert (one["cfc"], one["form"], one["warnings"]) == ("none", None, ["pulse-not-filtered"])


def test_the_form_can_be_chosen(run: Run, sled: Path) -> None:
    (one,) = channels(run, sled, "--cfc", "60", "--form", "iso6487")
    (other,) = channels(run, sled, "--cfc", "60")

    assert one["form"] == "iso6487"
    assert one["peak_max"] != other["peak_max"]


def test_milliseconds_and_metres_per_second_squared(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "si.csv"
    path.write_text(
        half_sine("time [ms],sled unfiltered [m/(s*s)]", peak=196.133, factor=1000), encoding="utf-8"
    )
    (one,) = channels(run, path, "--cfc", "60")

    assert float(one["delta_v_m_s"]) == pytest.approx(9.988959, abs=2e-6)
    assert one["unit"] == "m/s²"


def test_a_table_that_declares_nothing_leaves_a_doubt(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "sled.csv"
    path.write_text(half_sine(), encoding="utf-8")

    assert channels(run, path, "--cfc", "60")[0]["warnings"] == ["pulse-filter-undeclared"]
    told = run("pulse", path, "--cfc", "60").stdout
    assert say("pulse-filter-undeclared") in told


def test_a_workbook(run: Run, tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    sheet = book.active
    for line in half_sine("time [s],sled unfiltered [g]").splitlines():
        cells = line.split(",")
        sheet.append(cells if "[" in line else [float(cell) for cell in cells])
    book.save(tmp_path / "sled.xlsx")
    (one,) = channels(run, tmp_path / "sled.xlsx", "--cfc", "60")

    assert float(one["peak_max"]) == pytest.approx(19.999874, abs=1e-6)


@pytest.mark.parametrize("form", ["folder", "zip", "header"])
def test_a_set(run: Run, tmp_path: Path, form: str) -> None:
    belt = channel(sine(9000), unit="N", code=BELT, Direction="NOVALUE")
    files = sled_set(channel(sine(-200)), belt)
    path = unpack(files, tmp_path / "T")
    if form == "zip":
        path = tmp_path / "T.zip"
        path.write_bytes(zipped(files))
    elif form == "header":
        path = tmp_path / "T" / "T1" / "T1.mme"
    one, other = channels(run, path, "--cfc", "60")

    assert (one["name"], one["unit"], other["name"], other["unit"]) == (SLED, "m/s²", BELT, "N")
    # computed independently with 2 A W / pi of 200 m/s^2 and 80 ms
    assert float(one["delta_v_m_s"]) == pytest.approx(-2 * 200 * 0.08 / math.pi, abs=1e-3)
    assert (other["delta_v_m_s"], other["clip_3ms_cumulative"]) == (None, None)
    assert float(other["peak_max"]) == pytest.approx(9000, rel=1e-4)


def test_a_contradiction_is_told_with_its_line_and_leaves_something_open(run: Run, tmp_path: Path) -> None:
    path = unpack(sled_set(channel(sine(-200, 1501), Direction="Y")), tmp_path / "T")
    outcome = run("pulse", path, "--cfc", "60")
    (one,) = channels(run, path, "--cfc", "60", exit_code=1)

    assert outcome.exit_code == 1
    assert f"{path}/T1/Channel/T1.001:4: The direction is Y here and X in the channel code." in outcome.stderr
    assert one["warnings"] == ["mme-direction-differs"]
    assert say("pulse-contradicted") in outcome.stdout


def test_resultants_by_name_and_by_number(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "xyz.csv"
    rows = "".join(f"{at / 1000:.3f},2,-3,6\n" for at in range(100))
    path.write_text("time [s],x [g],y [g],z [g]\n" + rows, encoding="utf-8")
    by_name = channels(run, path, "--resultant", "x,y,z")
    by_number = channels(run, path, "--resultant", "1, 2,3", "--resultant", "1,2")

    assert [each["name"] for each in by_name] == ["x", "y", "z", "resultant(x,y,z)"]
    assert (by_name[3]["peak_max"], by_name[3]["clip_3ms_cumulative"], by_name[3]["delta_v_m_s"]) == (
        "7",
        "7",
        None,
    )
    assert [each["name"] for each in by_number[3:]] == ["resultant(x,y,z)", "resultant(x,y)"]
    only = channels(run, path, "--channel", "z", "--resultant", "x,y,z")
    assert [each["name"] for each in only] == ["z", "resultant(x,y,z)"]


@pytest.mark.parametrize(
    ("options", "code", "exit_code", "parameters"),
    [
        (["--resultant", "sled unfiltered,side"], "pulse-channel-unknown", 2, {"found": "side", "expected": "sled unfiltered"}),
        (["--resultant", "1"], "pulse-channel-unknown", 2, {"found": "1", "expected": "sled unfiltered"}),
        (["--channel", "7"], "pulse-channel-unknown", 2, {"found": "7", "expected": "sled unfiltered"}),
        (["--zero", "0"], "pulse-span", 2, {"found": "0"}),
        (["--zero", "0.1,0"], "pulse-span", 2, {"found": "0.1,0"}),
        (["--zero", "-1,0"], "pulse-offset-window", 3, {"found": "-1 to 0 s", "expected": "-0.05 to 0.13 s"}),
        (["--plot", "x.png"], "pulse-plot-ending", 2, {"found": "x.png"}),
    ],
)  # fmt: skip
def test_what_cannot_be_done_is_told(
    run: Run, sled: Path, options: list[str], code: str, exit_code: int, parameters: dict[str, str]
) -> None:
    outcome = run("pulse", sled, *options)

    assert outcome.exit_code == exit_code
    assert say(code, parameters) in outcome.stderr
    assert outcome.stdout == ""


def test_zero_takes_an_offset_away(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "shifted.csv"
    path.write_text(
        "time [s],a [g]\n" + "".join(f"{at / 1000:.3f},{3 if at < 50 else 5}\n" for at in range(100)),
        encoding="utf-8",
    )
    (one,) = channels(run, path, "--zero", "0,0.049")

    assert (one["peak_min"], one["peak_max"]) == ("0", "2")


def test_people_read_the_figures(run: Run, sled: Path) -> None:
    outcome = run("pulse", sled, "--cfc", "60")

    assert outcome.exit_code == 0
    least, end = (outcome.stdout.split(word)[1].split("\n")[0] for word in ("least       ", "from 0 s to "))
    assert outcome.stdout == (
        f"Channels in {sled}: 1. Filtered by class 60 in the form of SAE J211-1.\n\n"
        "sled unfiltered  [g]\n"
        "  record      1801 samples every 0.0001 s, from -0.05 s to 0.13 s; recorded unfiltered\n"
        "  greatest    19.9999 g at 0.04 s\n"
        f"  least       {least}\n"
        "  3 ms clip   19.9652 g cumulative, 19.9652 g continuous\n"
        f"  velocity    changes by 9.98896 m/s (35.96 km/h, 22.34 mph) from 0 s to {end}\n"
        "  signs       as recorded; no axes are named, SAE J1733 is assumed: x forward, y right, z down\n"
    )


def test_a_plot(run: Run, sled: Path, tmp_path: Path) -> None:
    target = tmp_path / "pulse.svg"
    outcome = run("pulse", sled, "--cfc", "60", "--plot", target)
    text = target.read_text(encoding="utf-8")

    assert say("pulse-plot-written", {"path": str(target)}) in outcome.stderr
    assert "acceleration / g" in text
    assert "sled unfiltered: greatest 19.9999 g at 0.04 s" in text


def test_too_many_channels_for_a_plot(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "many.csv"
    heading = ",".join(["time [s]", *(f"c{number} [g]" for number in range(9))])
    path.write_text(
        heading + "\n" + "".join(f"{at / 1000:.3f}{',1' * 9}\n" for at in range(50)), encoding="utf-8"
    )
    outcome = run("pulse", path, "--plot", tmp_path / "x.svg")

    assert outcome.exit_code == 2
    assert say("pulse-plot-many", {"limit": "8", "found": "9"}) in outcome.stderr
    assert not (tmp_path / "x.svg").exists()


def test_channels_that_cannot_be_filtered_are_all_told(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "slow.csv"
    path.write_text(
        "time [s],a [g],b [g]\n" + "".join(f"{at / 100:.2f},1,2\n" for at in range(50)), encoding="utf-8"
    )
    outcome = run("pulse", path, "--cfc", "60")

    assert outcome.exit_code == 3
    assert outcome.stderr.count(say("pulse-too-slow", {"found": "100", "cfc": "60"})) == 2


def test_a_slow_channel_does_not_keep_the_others(run: Run, tmp_path: Path) -> None:
    times = {"First_global_maximum_value": None, "Time_of_maximum_value": None, "Time_of_minimum_value": None}
    slow = channel(sine(9000), unit="N", code=BELT, Direction="NOVALUE", Sampling_interval="0.01", **times)
    path = unpack(sled_set(channel(sine(-200)), slow), tmp_path / "T")
    (one,) = channels(run, path, "--cfc", "60", exit_code=1)
    refused = run("pulse", path, "--cfc", "60", "--channel", BELT)

    assert one["name"] == SLED
    assert refused.exit_code == 3
    assert say("pulse-too-slow", {"found": "100", "cfc": "60"}) in refused.stderr


@pytest.mark.parametrize(
    ("name", "data", "code"),
    [
        ("letter.zip", zipped([("letter.txt", b"hello")]), "mme-absent"),
        ("empty.csv", b"", "exhibit-empty"),
        ("half.zip", zipped(sled_set(channel(sine(1))))[:300], "archive-damaged"),
        ("page.html", b"<html>", "exhibit-markup"),
    ],
)
def test_what_is_no_set_is_exit_three(run: Run, tmp_path: Path, name: str, data: bytes, code: str) -> None:
    path = tmp_path / name
    path.write_bytes(data)
    outcome = run("pulse", path, "--json")

    assert (outcome.exit_code, outcome.stdout) == (3, "")
    assert say(code) in outcome.stderr


def test_a_folder_without_a_set_and_a_path_to_nothing(run: Run, tmp_path: Path) -> None:
    nothing = run("pulse", tmp_path / "absent.csv")
    empty = run("pulse", tmp_path)

    assert (nothing.exit_code, empty.exit_code) == (3, 3)
    assert say("mme-absent") in empty.stderr


def test_a_photo_is_no_table(run: Run, tmp_path: Path) -> None:
    from tests.exhibits.files import gradient  # noqa: PLC0415 - only this test draws

    gradient().save(tmp_path / "p.jpg")
    outcome = run("pulse", tmp_path / "p.jpg")

    assert outcome.exit_code == 3
    assert say("pulse-no-table", {"found": "photo"}) in outcome.stderr


def test_missing_list_is_told_once(run: Run, tmp_path: Path) -> None:
    path = unpack([("T1.001", channel(sine(-200)))], tmp_path / "T")
    outcome = run("pulse", path)

    assert outcome.exit_code == 0
    assert outcome.stderr.count(say("mme-list-missing")) == 1


def test_links_in_a_folder_are_not_followed(run: Run, tmp_path: Path) -> None:
    path = unpack(sled_set(channel(sine(-200))), tmp_path / "T")
    outside = tmp_path / "secret.001"
    outside.write_bytes(channel(sine(7)))
    (path / "T1" / "Channel" / "T1.002").symlink_to(outside)
    (path / "T1" / "Channel" / "T1.chn").write_bytes(listing(SLED, BELT))
    outcome = run("pulse", path)

    assert outcome.exit_code == 1
    assert say("mme-channel-missing", {"number": "002", "found": f"{BELT} / channel 2"}) in outcome.stderr


@pytest.mark.parametrize("code", sorted(PROBLEMS))
def test_every_problem_says_what_to_do_and_is_named_by_a_test(code: str) -> None:
    text = "".join(path.read_text(encoding="utf-8") for path in TESTS.rglob("test_*.py"))

    assert en.HINTS[code].endswith(".")
    assert f'"{code}"' in text


@pytest.mark.parametrize("code", sorted(NOTICES))
def test_every_notice_is_a_sentence_and_named_by_a_test(code: str) -> None:
    text = "".join(path.read_text(encoding="utf-8") for path in TESTS.rglob("test_*.py"))

    assert say(code).endswith(".")
    assert f'"{code}"' in text


# ── beside the limits of a pack ─────────────────────────────────────────────────────────────────────────────

PACK = "sae-j2956-2011@1"
# what `pulse --json` says of one criterion of a pack
CLAUSE = {
    "requirement",
    "quantity",
    "direction",
    "processing",
    "channel",
    "sign",
    "value",
    "unit",
    "begin_s",
    "end_s",
    "bound",
    "inside_limits",
    "limits_confirmed",
    "mark",
    "reason",
    "doubts",
    "notices",
}


@pytest.fixture
def side(tmp_path: Path) -> Path:
    path = tmp_path / "side.csv"
    shape = lab.trapezoid(-22.5, 0.012, 0.032, 0.044)
    columns = {
        "sled unfiltered [g]": shape,
        "turned unfiltered [g]": lambda time: -shape(time),
        "cabin [g]": shape,
    }
    path.write_bytes(lab.table(columns))
    return path


def clauses(run: Run, *arguments: object) -> list[dict[str, Any]]:
    outcome = run("pulse", *arguments, "--json")
    assert outcome.exit_code == 0, outcome.stderr
    found: list[dict[str, Any]] = json.loads(outcome.stdout)["clauses"]
    assert all(set(each) - {"low", "high"} == CLAUSE for each in found)
    assert {each["limits_confirmed"] for each in found} <= {False}
    return found


def test_a_channel_beside_the_limits_of_a_pack(run: Run, side: Path) -> None:
    margin, change = clauses(run, side, "--channel", "sled unfiltered", "--against", PACK)

    # computed independently with scipy at class 60, and with the area of the trapezoid
    assert float(margin["value"]) == pytest.approx(3.324, abs=0.001)
    assert (margin["unit"], change["unit"]) == ("g", "mph")
    assert float(change["value"]) == pytest.approx(-15.7945, abs=0.0001)
    assert [(each["quantity"], each["inside_limits"]) for each in (margin, change)] == [
        ("corridor", True),
        ("velocity-change", True),
    ]
    assert (change["low"], change["high"], change["mark"]) == ("14 mph", "16 mph", "secondary")


def test_without_a_pack_there_are_no_clauses(run: Run, side: Path) -> None:
    assert clauses(run, side, "--channel", "1") == []


def test_a_sign_is_turned_only_on_demand(run: Run, side: Path) -> None:
    as_recorded = clauses(run, side, "--channel", "2", "--against", PACK)
    turned = clauses(run, side, "--channel", "2", "--against", PACK, "--sign", "reversed")

    assert [each["inside_limits"] for each in as_recorded] == [False, True]
    assert [each["inside_limits"] for each in turned] == [True, True]


def test_what_is_in_doubt_or_not_held_is_left_open(run: Run, side: Path) -> None:
    doubtful = clauses(run, side, "--channel", "cabin", "--against", PACK)[0]
    not_held = clauses(run, side, "--channel", "1", "--against", "sae-j2917-2016@1")[0]

    assert (doubtful["inside_limits"], doubtful["doubts"]) == (None, ["pulse-filter-undeclared"])
    assert (not_held["value"], not_held["inside_limits"]) == (None, None)


def test_what_cannot_be_computed_says_why(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "short.csv"
    path.write_bytes(lab.table({"sled unfiltered [g]": lambda _: 0.0, "head [mm]": lambda _: 0.0}, end=0.04))

    assert clauses(run, path, "--channel", "1", "--against", PACK)[0]["reason"] == "figure-record-short"
    assert clauses(run, path, "--channel", "head", "--against", PACK)[0]["reason"] == "figure-unit"
    assert say("figure-record-short") in run("pulse", path, "--channel", "1", "--against", PACK).stdout


def test_people_are_told_what_would_be_and_no_verdict(run: Run, side: Path, tmp_path: Path) -> None:
    drawing = tmp_path / "side.svg"
    told = run("pulse", side, "--channel", "1", "--against", PACK, "--plot", drawing).stdout

    assert "would be inside; least distance 3.32416 g, to the lower line, at 0.0148 s" in told
    assert say("pulse-against-foot") in told
    assert not {"met", "compliant", "passed"} & set(told.replace(".", " ").split())
    assert drawing.read_text(encoding="utf-8").count("stroke-dasharray") >= 2  # both lines of the corridor


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        (("--against", PACK), "pulse-against-channel"),
        (("--channel", "1", "--channel", "2", "--against", PACK), "pulse-against-channel"),
        (("--channel", "1", "--against", "sae-j9999@1"), "pulse-pack-unknown"),
        (("--channel", "1", "--against", "../x@1"), "pulse-pack-unknown"),
        (("--channel", "1", "--against", "en-1789-2020@1"), "pulse-pack-without-tests"),
    ],
)
def test_a_pack_or_channel_that_cannot_be_held_against(
    run: Run, side: Path, arguments: tuple[str, ...], code: str
) -> None:
    outcome = run("pulse", side, *arguments)

    assert outcome.exit_code == 2
    assert en.HINTS[code] in outcome.stderr
