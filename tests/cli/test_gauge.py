"""``sillmark gauge``: a sheet where it was asked for, nothing written over, refusals in words."""

import io
from pathlib import Path

import pytest
from pypdf import PdfReader

from evidence.errors import ExitCode
from tests.conftest import AT, Run

A4, LETTER = (595.28, 841.89), (612.0, 792.0)  # points; published: ISO 216, 2007; from memory of ANSI Y14.1


@pytest.mark.parametrize(
    ("options", "size"), [((), A4), (("--paper", "a4"), A4), (("--paper", "letter"), LETTER)]
)
def test_one_page_on_the_paper_that_was_named(
    run: Run, tmp_path: Path, options: tuple[str, ...], size: tuple[float, float]
) -> None:
    target = tmp_path / "card.pdf"
    result = run("gauge", "-o", target, "--serial", "GC-007", "--at", AT, *options)

    assert result.exit_code == ExitCode.CLEAR
    assert result.stdout == f"Gauge card GC-007: {target}\n"
    assert "100 %" in result.stderr
    # independent reader: pypdf
    pages = PdfReader(io.BytesIO(target.read_bytes())).pages
    assert len(pages) == 1
    assert (float(pages[0].mediabox.width), float(pages[0].mediabox.height)) == pytest.approx(size, abs=0.1)
    text = pages[0].extract_text()
    for words in (
        "serial GC-007",
        "printed 2026-03-06",
        "gauge-card/1",
        "Do not use after 2027-03-06",
        "0.2\u00a0mm",
    ):
        assert words in text


@pytest.mark.usefixtures("afresh")
def test_the_same_command_twice_gives_the_same_bytes(run: Run, tmp_path: Path) -> None:
    one, other = tmp_path / "one.pdf", tmp_path / "other.pdf"
    for target in (one, other):
        assert run("gauge", "-o", target, "--at", AT).exit_code == ExitCode.CLEAR

    assert one.read_bytes() == other.read_bytes()


def test_a_file_that_is_there_stays(run: Run, tmp_path: Path) -> None:
    target = tmp_path / "card.pdf"
    target.write_bytes(b"somebody's")
    result = run("gauge", "-o", target)

    assert result.exit_code == ExitCode.USAGE
    assert f"{target}: A file with this name is there already." in result.stderr
    assert target.read_bytes() == b"somebody's"


@pytest.mark.parametrize("serial", ["GC 7", "G\u00dc-7", "x" * 25, ""])
def test_a_serial_that_cannot_stand_on_a_card(run: Run, tmp_path: Path, serial: str) -> None:
    target = tmp_path / "card.pdf"
    result = run("gauge", "-o", target, "--serial", serial)

    assert result.exit_code == ExitCode.USAGE
    assert (
        f"--serial: A gauge card cannot have the serial '{serial or '(nothing)'}'. A serial has 1 to 24 plain letters"
        in result.stderr
    )
    assert "such as GC-007" in result.stderr
    assert not target.exists()


def test_another_paper_is_refused_with_what_there_is(run: Run, tmp_path: Path) -> None:
    result = run("gauge", "-o", tmp_path / "card.pdf", "--paper", "a5")

    assert result.exit_code == ExitCode.USAGE
    assert "there is no 'a5'." in result.stderr
    assert "There are: a4, letter" in result.stderr


def test_it_must_be_told_where_to_write(run: Run) -> None:
    result = run("gauge")

    assert result.exit_code == ExitCode.USAGE
    assert "-o" in result.stderr


def test_a_folder_that_is_not_there(run: Run, tmp_path: Path) -> None:
    result = run("gauge", "-o", tmp_path / "no" / "card.pdf")

    assert result.exit_code == ExitCode.UNREADABLE
    assert "Check permissions, free space and that the folder exists." in result.stderr
