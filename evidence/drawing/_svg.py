"""The pieces every drawing needs; numbers are printed the same way everywhere."""

from fractions import Fraction

Number = int | float | Fraction


def number(value: Number) -> str:
    """A coordinate with at most two decimals, without trailing zeros."""
    text = f"{float(value):.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def svg(width: Number, height: Number, body: str) -> str:
    """A whole SVG document of that size in user units."""
    box = f"0 0 {number(width)} {number(height)}"
    size = f'width="{number(width)}" height="{number(height)}"'
    return f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{box}" {size}>{body}</svg>'


def line(start: tuple[Number, Number], end: tuple[Number, Number], colour: str, width: Number) -> str:
    """A straight stroke."""
    ends = f'x1="{number(start[0])}" y1="{number(start[1])}" x2="{number(end[0])}" y2="{number(end[1])}"'
    return f'<line {ends} stroke="{colour}" stroke-width="{number(width)}"/>'


def rectangle(corner: tuple[Number, Number], size: tuple[Number, Number], colour: str) -> str:
    """A filled rectangle without outline."""
    place = f'x="{number(corner[0])}" y="{number(corner[1])}"'
    return f'<rect {place} width="{number(size[0])}" height="{number(size[1])}" fill="{colour}"/>'


def path(commands: str, fill: str, stroke: str = "none", width: Number = 0) -> str:
    """A path; the stroke is left out where it has no width."""
    outline = f' stroke="{stroke}" stroke-width="{number(width)}" stroke-linecap="round"' if width else ""
    return f'<path d="{commands}" fill="{fill}"{outline}/>'
