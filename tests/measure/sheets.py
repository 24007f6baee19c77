"""Sheets of the anchorage worksheet for tests: one whole sheet, and a small one to vary."""

from pathlib import Path

from evidence.measure.anchorage import Worksheet, worksheet
from evidence.record.anchorage_meaning import check_anchorage
from evidence.record.reader import read_anchorage

WHOLE = (Path(__file__).parent / "anchorage.yaml").read_text(encoding="utf-8")
PLATE = "plate: {front: 300 mm, rear: -300 mm, left: -200 mm, right: 200 mm}\n"
SQUARE = ((200, -100), (200, 100), (-200, -100), (-200, 100))


def sheet(
    *,
    pivot: str = "edge",
    levels: str = "forward 10 g",
    masses: str = "250 kg at 0 0 500",
    places: tuple[tuple[int, int], ...] = SQUARE,
    threads: tuple[str, ...] = ("M10 10.9 no",),
    more: str = PLATE,
) -> str:
    """A sheet as text.

    Args:
        pivot: edge or centroid.
        levels: directions with their accelerations, parted by semicolons.
        masses: all together, as ``mass at x y height`` in mm; stretcher and system are 50 kg each of it.
        places: x and y of the bolts in mm.
        threads: thread, class and countersunk of the bolts, the last one for all others.
        more: lines to add.
    """
    mass, _, place = masses.partition(" at ")
    x, y, height = place.split()
    where = f"x: {x} mm, y: {y} mm, height: {height} mm"
    weights = (
        ("stretcher", "50 kg"),
        ("system", "50 kg"),
        ("patient", f"{int(mass.removesuffix(' kg')) - 100} kg"),
    )
    lines = [
        "format: sillmark-anchorage/0",
        "title: Floor plate",
        f"pivot: {pivot}",
        "friction: not counted",
        "masses:",
    ]
    lines += [f"  - {{part: {part}, mass: {each}, {where}}}" for part, each in weights]
    lines += ["accelerations:"]
    for level in levels.split("; "):
        direction, _, much = level.partition(" ")
        lines.append(f"  - {{direction: {direction}, level: {much}}}")
    lines += ["bolts:"]
    for index, (along, across) in enumerate(places):
        thread, kind, countersunk = threads[min(index, len(threads) - 1)].split()
        held = f"thread: {thread}, property_class: {kind}, countersunk: {countersunk}"
        lines.append(f"  - {{id: B{index + 1}, x: {along} mm, y: {across} mm, {held}}}")
    return "\n".join(lines) + "\n" + more


def computed(text: str) -> Worksheet:
    """The worksheet of a sheet that must be sound."""
    entry = read_anchorage(text.encode(), "sheet.yaml")
    assert check_anchorage(entry) == ()
    return worksheet(entry.sheet, entry.source.where_key(("bolts",)))
