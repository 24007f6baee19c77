"""``sillmark pulse``: measured channels of a crash test, filtered by class, and their figures."""

import json
import re
from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path
from typing import cast

import click

from evidence import files
from evidence.cli import _clock
from evidence.cli._against import Against, against, corridor
from evidence.cli._channels import load
from evidence.cli._tell import tell_error, to_stderr
from evidence.drawing.plot import MAX_TRACES, Plot, Trace, Words, plot_svg
from evidence.errors import ExitCode, InputError, Problem, UsageError, printable
from evidence.exhibits.channels import DEFAULT_AXES, Channel
from evidence.guard import Guard
from evidence.measure import pulse
from evidence.phrases import hint, knows, say
from evidence.phrases.pulse_en import PROBLEMS
from evidence.quantity import Dimension

_SPAN = re.compile(r"(?P<begin>-?[0-9]+(?:\.[0-9]+)?), ?(?P<end>-?[0-9]+(?:\.[0-9]+)?)", re.ASCII)
_SHOWN = 6  # significant digits for people
_NAMES_SHOWN = 400  # characters
_MPH = Fraction(44704, 100_000)  # m/s, exact
_KMH = Fraction(10, 36)


@click.command(
    "pulse",
    short_help="Filter measured channels of a crash test and give their figures.",
    epilog="Example: sillmark pulse tests/sled-4711.zip --cfc 60 --plot pulse.svg",
)
@click.argument("channels", metavar="SET", type=click.Path(path_type=Path))
@click.option(
    "--cfc",
    type=click.Choice([*map(str, pulse.CLASSES), "none"]),
    default="none",
    show_default=True,
    help="Channel frequency class to filter with.",
)
@click.option(
    "--form",
    type=click.Choice(pulse.FORMS),
    default="j211",
    show_default=True,
    help="Form of the filter: SAE J211-1 or ISO 6487.",
)
@click.option(
    "--resultant",
    metavar="X,Y,Z",
    multiple=True,
    help="Add the resultant of these channels, each by name or number; may be given again.",
)
@click.option(
    "--channel",
    metavar="NAME",
    multiple=True,
    help="Only this channel, by name or number; may be given again.",
)
@click.option(
    "--zero", metavar="FROM,TO", help="Take away the mean between these two times in seconds, e.g. -0.05,0."
)
@click.option(
    "--against",
    "packs",
    metavar="PACK",
    multiple=True,
    help="Hold the one channel named with --channel against the figures that this pack asks for; may be given again.",
)
@click.option(
    "--sign",
    type=click.Choice(["as-recorded", "reversed"]),
    default="as-recorded",
    show_default=True,
    help="With --against: whether the channel points against the sense of the pack.",
)
@click.option("--plot", type=click.Path(path_type=Path, dir_okay=False), help="Also draw them, as SVG.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object, for machines.")
def command(
    channels: Path,
    *,
    cfc: str,
    form: str,
    resultant: tuple[str, ...],
    channel: tuple[str, ...],
    zero: str | None,
    packs: tuple[str, ...],
    sign: str,
    plot: Path | None,
    as_json: bool,
) -> None:
    """Read SET and give the figures of its channels: peaks, 3 ms clip, velocity change.

    SET is the folder or zip of an ISO/TS 13499 set, or one table with a column of times (CSV, XLSX, ODS). Signs stay
    as recorded. Figures are computed from what the files say; whether the test was the right one is not asked here.
    """
    recipe = pulse.Recipe(
        cast("pulse.Class", int(cfc)) if cfc != "none" else None, cast("pulse.Form", form), _span(zero)
    )
    if plot is not None and plot.suffix.casefold() != ".svg":
        raise UsageError.one("pulse-plot-ending", str(plot), found=plot.name)
    with Guard(environment=_clock.child_environment()) as guard:
        found = load(channels, guard)
    wanted = [_named(name, found.channels) for name in channel]
    held = _held(packs, wanted, sign)
    curves, failed = _processed(wanted or found.channels, recipe)
    if failed and (wanted or not curves):
        raise InputError(failed)
    joined = [[_named(name, found.channels) for name in _names(text, found.channels)] for text in resultant]
    curves += [_resultant(each, recipe, str(channels)) for each in joined]
    summaries = [pulse.summary(curve) for curve in curves]
    if plot is not None:
        _draw(summaries, held, plot)
    problems = [*found.problems, *failed]
    if problems:
        tell_error(InputError(problems), last="")
    for code in found.notices:
        to_stderr(f"{channels}: {say(code)}")
    if as_json:
        clauses = [each.document() for each in held]
        document = {"channels": [each.document() for each in summaries], "clauses": clauses}
        click.echo(json.dumps(document, ensure_ascii=False, sort_keys=True, separators=(",", ":")))
    else:
        click.echo("\n".join([_text(channels, summaries, recipe), *_against_lines(held)]))
    raise click.exceptions.Exit(ExitCode.OPEN if problems else ExitCode.CLEAR)


def _held(packs: Sequence[str], wanted: Sequence[Channel], sign: str) -> list[Against]:
    """The one named channel beside what the packs ask for; nothing where no pack is named."""
    if not packs:
        return []
    if len(wanted) != 1:
        raise UsageError.one("pulse-against-channel", "--against", found=str(len(wanted)))
    return against(packs, wanted[0], sign)


def _span(text: str | None) -> pulse.Span | None:
    if text is None:
        return None
    match = _SPAN.fullmatch(text.strip())
    if match is None or Fraction(match["begin"]) >= Fraction(match["end"]):
        raise UsageError.one("pulse-span", "--zero", found=text)
    return pulse.Span(Fraction(match["begin"]), Fraction(match["end"]))


def _names(text: str, channels: Sequence[Channel]) -> list[str]:
    """The names of a resultant; a channel that has a comma in its own name is found by its number."""
    names = [name.strip() for name in text.split(",")]
    if len(names) < 2:  # noqa: PLR2004 - one direction is no resultant
        raise UsageError.one("pulse-channel-unknown", "--resultant", found=text, expected=_listed(channels))
    return names


def _named(name: str, channels: Sequence[Channel]) -> Channel:
    same = [one for one in channels if name.casefold() in (one.name.casefold(), one.title.casefold())]
    if len(same) == 1:
        return same[0]
    if not same and name.isascii() and name.isdigit() and 1 <= int(name) <= len(channels):
        return channels[int(name) - 1]
    raise UsageError.one("pulse-channel-unknown", "--channel", found=name, expected=_listed(channels))


def _listed(channels: Sequence[Channel]) -> str:
    return ", ".join(one.name for one in channels)[:_NAMES_SHOWN]


def _resultant(channels: Sequence[Channel], recipe: pulse.Recipe, where: str) -> pulse.Curve:
    curves, failed = _processed(channels, recipe)
    if failed:
        raise InputError(failed)
    return pulse.resultant(curves, where)


def _processed(channels: Sequence[Channel], recipe: pulse.Recipe) -> tuple[list[pulse.Curve], list[Problem]]:
    """Every channel that can be processed, and every reason why one cannot."""
    curves: list[pulse.Curve] = []
    problems: list[Problem] = []
    for one in channels:
        try:
            curves.append(pulse.processed(one, recipe))
        except InputError as error:
            problems += error.problems
    return curves, problems


# ── for people ──────────────────────────────────────────────────────────────────────────────────────────────


def _text(path: Path, summaries: Sequence[pulse.Summary], recipe: pulse.Recipe) -> str:
    told = say("pulse-unfiltered")
    if recipe.cfc is not None:
        told = say("pulse-class", {"cfc": str(recipe.cfc), "form": say(f"pulse-form-{recipe.form}")})
    head = {"path": str(path), "count": str(len(summaries)), "filter": told}
    lines = [say("pulse-head", head)]
    noted: dict[tuple[str, ...], list[str]] = {}
    for each in summaries:
        lines += ["", *_channel_lines(each)]
        for note in dict.fromkeys(tuple(_note(code)) for code in each.warnings):
            noted.setdefault(note, []).append(each.curve.name)
    for note, names in noted.items():
        whom = "" if len(names) == len(summaries) else f"{_short(names)}: "
        lines += ["", whom + note[0], *note[1:]]
    return "\n".join(map(printable, lines))


def _against_lines(held: Sequence[Against]) -> list[str]:
    if not held:
        return []
    sign = say(f"pulse-sign-{held[0].sign}")
    head = say("pulse-against-head", {"channel": held[0].channel, "sign": sign})
    lines = [line for each in held for line in each.lines()]
    return ["", *map(printable, (head, *(f"  {line}" for line in lines), say("pulse-against-foot")))]


def _short(names: Sequence[str]) -> str:
    shown = ", ".join(names[:3])
    return shown if len(names) <= 3 else f"{shown} +{len(names) - 3}"  # noqa: PLR2004 - as many as fit a line


def _note(code: str) -> list[str]:
    """What a warning says and what to do; what contradicts was told with its place before."""
    if code in PROBLEMS:
        return [say("pulse-contradicted")]
    advice = hint(code)
    return [say(code), *([f"    {advice}"] if advice else [])]


def _channel_lines(each: pulse.Summary) -> list[str]:
    curve = each.curve
    unit = {"unit": curve.unit}
    lines = [
        say("pulse-channel", {"name": curve.name, **unit}).replace("  []", ""),
        say(
            "pulse-record",
            {
                "samples": str(len(curve.values)),
                "interval": pulse.moment(curve.interval_s),
                "begin": pulse.moment(curve.start_s),
                "end": pulse.moment(curve.end_s),
                "recorded": _recorded(curve),
            },
        ),
    ]
    for code, figure in (("pulse-max", each.peak_max), ("pulse-min", each.peak_min)):
        lines.append(say(code, {"value": _shown(figure), "at": pulse.moment(figure.span.begin_s), **unit}))
    if each.clip_cumulative and each.clip_continuous:
        clips = {"cumulative": _shown(each.clip_cumulative), "continuous": _shown(each.clip_continuous)}
        lines.append(say("pulse-clip", {**clips, **unit}))
    elif curve.dimension == Dimension.ACCELERATION:
        lines.append(say("pulse-clip-none"))
    if each.delta_v:
        lines.append(say("pulse-delta-v", _change(each.delta_v)))
    lines.append(
        say(
            "pulse-axes-assumed" if curve.axes == DEFAULT_AXES else "pulse-axes", {"axes": curve.axes.upper()}
        )
    )
    return [lines[0], *(f"  {line}" for line in lines[1:])]


def _recorded(curve: pulse.Curve) -> str:
    code = f"pulse-recorded-{curve.recorded}"
    return say(code) if knows(code) else say("pulse-recorded-class", {"cfc": curve.recorded})


def _change(figure: pulse.Figure) -> dict[str, str]:
    value = figure.value
    return {
        "value": _shown(figure),
        "kmh": pulse.decimal(value / float(_KMH), 4),
        "mph": pulse.decimal(value / float(_MPH), 4),
        "begin": pulse.moment(figure.span.begin_s),
        "end": pulse.moment(figure.span.end_s),
    }


def _shown(figure: pulse.Figure) -> str:
    return pulse.decimal(figure.value, _SHOWN)


# ── the drawing ─────────────────────────────────────────────────────────────────────────────────────────────


def _draw(summaries: Sequence[pulse.Summary], held: Sequence[Against], target: Path) -> None:
    """The curves; with a corridor the one that was held against it, as it was filtered and turned for that."""
    bounds = corridor(held)
    summaries = summaries if bounds is None else [pulse.summary(bounds[0])]
    if len(summaries) > MAX_TRACES:
        raise UsageError.one("pulse-plot-many", str(target), limit=str(MAX_TRACES), found=str(len(summaries)))
    traces = tuple(_trace(each.curve) for each in summaries)
    alt = " ".join(_alt(each) for each in summaries)
    words = Words(say("pulse-plot-time"), say("pulse-plot-corridor"), say("pulse-plot-title"), alt)
    quantities = {each.curve.unit: _quantity(each.curve) for each in reversed(summaries)}
    upper, lower = ((), ()) if bounds is None else bounds[1:]
    drawn = plot_svg(Plot(traces, words, quantities, upper, lower))
    files.write_file(target, drawn.encode("utf-8"), overwrite=True)
    to_stderr(say("pulse-plot-written", {"path": str(target)}))


def _trace(curve: pulse.Curve) -> Trace:
    start, step = float(curve.start_s * 1000), float(curve.interval_s * 1000)
    return Trace(curve.name, curve.unit, start, step, curve.values.tolist())


def _alt(each: pulse.Summary) -> str:
    parameters = {
        "name": each.curve.name,
        "unit": each.curve.unit,
        "max": _shown(each.peak_max),
        "min": _shown(each.peak_min),
        "at_max": pulse.moment(each.peak_max.span.begin_s),
        "at_min": pulse.moment(each.peak_min.span.begin_s),
    }
    return say("pulse-plot-alt", parameters)


def _quantity(curve: pulse.Curve) -> str:
    code = f"pulse-quantity-{curve.dimension.value}" if curve.dimension else ""
    return say(code if knows(code) else "pulse-quantity-other", {"unit": curve.unit}).removesuffix(" / ")
