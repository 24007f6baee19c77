"""Tables of the demonstration: force over travel of the release handle."""


def release_force_table(*, comma: bool) -> bytes:
    """Force over travel, 0 to 50 mm each half millimetre; whole tenths, no floats.

    Args:
        comma: decimal commas as in Europe, else points as in North America.
    """
    separator, mark = (";", ",") if comma else (",", ".")
    lines = [f"travel [mm]{separator}force [N]"]
    for half in range(101):
        travel = half * 5  # tenths of a millimetre
        force = 120 + travel * 3 if travel <= 200 else 720 + (travel - 200)
        lines.append(f"{travel // 10}{mark}{travel % 10}{separator}{force // 10}{mark}{force % 10}")
    return "".join(f"{line}\n" for line in lines).encode("ascii")
