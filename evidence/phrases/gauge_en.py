"""English words of the gauge card's sheet, of its command, and of what its zero check shows."""

_SHEET = {
    "title": "Gauge card",
    "document": "Gauge card {serial}",
    "about": "{version} \u00b7 serial {serial} \u00b7 printed {day}",
    "scale": "Print at 100 %, in black and white, without fitting to the page. Measure both rulers with a steel rule "
    "before cutting: 150 mm each. Do not use the card if one is off by more than 0.2 mm.",
    "strip-line": "{version}   serial {serial}   printed {day}   this side up, arrow into the vehicle",
    "slider-line": "slider   {serial}   {version}",
    "sill-edge": "SILL",
    "hook-edge": "HOOK",
    "mark-0": "0",
    "mark-50": "50",
    "mark-100": "100",
    "mark-150": "150 mm",
    "alt-tag": "Tag {tag}",
    "ruler-down": "check ruler 150 mm",
    "slider": "Slider",
    "fence": "Fence for a hook above the floor",
    "fence-foot": "foot: glue under the slider",
    "fence-front": "stands up; its back touches the hook",
    "fence-back": "back: over the stiff piece",
    "fold-up": "fold up",
    "fold-over": "fold over",
    "tile": "Hold beside the lock window",
    "tile-grey": "sRGB {grey}",
    "tile-white": "white: bare paper",
    "make-title": "1  Make it",
    "make-1": "Lay a steel rule on both rulers: across the strip and down the right of the page. Write down what you read.",
    "make-2": "Glue strip and slider flat on stiff, flat stock, both on the same thickness. No bubbles, no curl.",
    "make-3": "Cut through paper and stock along the outer lines, with a sharp knife and a steel rule.",
    "make-4": "Check the cut. Each end of an edge has nine small steps, 0.1 mm apart. The cut is right when four are left "
    "and the fifth, at the long tick, lies on the edge. At SILL and HOOK never more than two steps off: else print and "
    "cut again. The thin line inside is {check} mm from the edge.",
    "make-5": "Hook above the floor: fold the fence, glue its foot under the slider and its front around a stiff piece of "
    "at most 3 mm that stands on the HOOK edge.",
    "lay-title": "2  Lay it and take the photo",
    "lay-1": "SILL edge against the face of the sill that the manual measures from. Arrow into the vehicle, strip square to the sill.",
    "lay-2": "Round or curved sill: clamp a straight bar of at least 400 mm along it and push the strip against the bar.",
    "lay-3": "Slider beside the strip, turned the same way, HOOK edge against the hook.",
    "lay-4": "Put shims under both until they lie level and as high as the place where the hook is touched.",
    "lay-5": "Read the caliper first and write it on the work card.",
    "lay-6": "Hold the phone above the hook, half a metre up, looking straight down. Strip, slider and ticket wholly in the "
    "picture, nothing on a tag, no flash. Do not zoom.",
    "zero-title": "3  Check its zero",
    "zero-1": "Before the first use, then every month, and whenever it fell or got wet.",
    "zero-2": "Long bar: push the strip and a block of known length, 100 to 150 mm, against it.",
    "zero-3": "Short bar: push it against the other end of the block.",
    "zero-4": "Slider between strip and block, HOOK edge against the short bar; with the fence, if you use it.",
    "zero-5": "Take the photo with the block in it, and let sillmark measure read it.",
    "zero-6": "Write both lengths, how sure they are and the date here and into job.yaml. Do not use the card if they differ by "
    "more than {limit} mm.",
    "expiry": "Do not use after {day}. Print a new one sooner when it is creased, wet, dirty or worn at an edge.",
    "foot": "The caliper's value decides; a photo of this card supports it. The maker's manual and local rules come first.",
    "box-across": "strip ruler, mm",
    "box-down": "page ruler, mm",
    "head-when": "date",
    "head-block": "block, mm",
    "head-block-sure": "\u00b1 mm",
    "head-read": "card reads, mm",
    "head-read-sure": "\u00b1 mm",
    "head-who": "initials",
    "draw-shim": "shims",
    "draw-bar": "straight bar, 400 mm or more",
    "draw-sill": "sill",
    "draw-hook": "hook",
    "draw-floor": "floor",
    "draw-strip": "strip",
    "draw-slider": "slider",
    "draw-block": "block of known length",
    "draw-bar-long": "long bar",
    "draw-bar-short": "short bar",
    "draw-knife": "four steps left: right",
    "alt-make": "The cut edge: of nine small steps four are left on the strip, and the middle one lies on the edge.",
    "alt-side": "From the side: the strip on stiff stock and shims touches a bar on the round sill, the slider at the same "
    "height touches the hook.",
    "alt-zero": "From above: the strip and a block touch a long bar; a short bar touches the other end of the block, and the slider's HOOK "
    "edge touches the short bar.",
}

_TOLD = {
    "gauge-written": "Gauge card {serial}: {path}",
    "gauge-print": "Print it at 100 % and measure both rulers before cutting.",
}

GAUGE: dict[str, str] = {**{f"gauge-{code}": text for code, text in _SHEET.items()}, **_TOLD}

GAUGE_PROBLEMS: dict[str, tuple[str, str]] = {
    "gauge-serial-unusable": (
        (
            "A gauge card cannot have the serial '{found}'. A serial has 1 to {limit} plain letters, digits, dots, hyphens, "
            "underscores and slashes, and begins with a letter or digit."
        ),
        "Choose one such as GC-007, or leave --serial out; it is read from photos and typed again.",
    ),
}
