"""English words of the anchorage worksheet.

The first table holds what stops a sheet from being computed, the second what a reader must not overlook, the third
its assumptions, what it does not cover, and plain words.
"""

PROBLEMS: dict[str, tuple[str, str]] = {
    "anchorage-thread-unknown": (
        "'{found}' is no thread of the table: M5, M6, M8, M10, M12, M14 or M16, each with its coarse pitch.",
        "Leave out a coarse pitch: M10x1.5 is M10. Fine and inch threads are not in the table: leave them to the engineer.",
    ),
    "anchorage-class-unknown": (
        "'{found}' is no property class of the table: 8.8, 10.9 or 12.9.",
        (
            "Type the class as marked on the head, with a point and no leading zero: 010.9 is 10.9 with countersunk: yes. "
            "Stainless and other bolts are not in the table: leave them to the engineer."
        ),
    ),
    "anchorage-of-no-place": (
        "The record has no place '{found}' that this worksheet could be about; its name may be: {expected}.",
        "Rename the file. One that is not to be in the dossier lies in another folder.",
    ),
    "anchorage-out-of-range": (
        "{found} cannot be right: expected {low} to {high}.",
        "Look for a slip of unit, sign or decimal point.",
    ),
    "anchorage-twice": (
        "'{found}' stands twice; the first is at {first}.",
        "Keep one of the two. Only equipment may stand several times.",
    ),
    "anchorage-mass-missing": (
        "No mass of the {found} is given.",
        "Give stretcher, system and patient, each with its centre of gravity: what is left out makes the loads look small.",
    ),
    "anchorage-bolts-coincide": (
        "Bolts {other} and {found} lie at the same place.",
        "Measure the pattern again, or take one of the two out.",
    ),
    "anchorage-plate-missing": (
        "The pivot is the edge of the plate, and nothing says where its edges lie.",
        "Give plate: front, rear, left and right; or pivot: centroid.",
    ),
    "anchorage-plate-reversed": (
        "The {edge} edge of the plate ({found}) does not lie beyond the {other} edge ({limit}).",
        "Places count x forward and y to the right; exchange the two, or look at their signs.",
    ),
    "anchorage-bolt-off-plate": (
        "Bolt {name} ({found}) lies outside the plate.",
        "Measure all places from the same origin: x forward, y to the right.",
    ),
    "anchorage-tightening-unused": (
        "No bolt has the thread {found}; the bolts have {expected}.",
        "Correct the thread, or take the entry out.",
    ),
    "anchorage-nut-factors-reversed": (
        "The high nut factor {found} is below the low one, {limit}.",
        "Exchange the two.",
    ),
    "anchorage-pattern": (
        (
            "These bolts cannot hold the moment of the direction {direction}: they lie on one line or at one place, "
            "or all on the edge about which the plate turns."
        ),
        "Look at the places of the bolts and at the pivot. If they are right, this fixing needs the engineer.",
    ),
    "anchorage-plot-ending": (
        "The drawing is written as SVG, and {found} ends otherwise.",
        "Give a name that ends in .svg; any browser opens and prints it.",
    ),
}

NOTICES: dict[str, tuple[str, str]] = {
    "anchorage-below-one": (
        "A reserve is below 1: by this arithmetic a bolt would be loaded beyond its proof load and stretch for good.",
        "Do not deliver on this. Take it to the vehicle maker and to a licensed engineer.",
    ),
    "anchorage-hard-class": (
        "Bolts of class 12.9 can break late and without warning where they are plated or wet.",
        "Ask the maker of the system whether the manual really wants them.",
    ),
    "anchorage-preload-high": (
        "{thread}: the torque may clamp the bolt with more than 0.90 of its proof load.",
        "Hold the torque against the manual, and the nut factor against the data sheet of lubricant or thread-locker.",
    ),
    "anchorage-joint-opens": (
        "{thread}: a pull may be more than the least preload, so that the joint gapes under it.",
        "Show it to the engineer: a joint that gapes loads its bolts otherwise than computed here.",
    ),
}

WORDS: dict[str, str] = {
    "anchorage-head": "Anchorage worksheet: {title}",
    "anchorage-plain": "A plausibility check by arithmetic. It is no design approval and decides nothing.",
    # assumptions
    "anchorage-assumptions": "Assumed",
    "anchorage-as-static": "Force is mass times acceleration (1 g = 9.80665 m/s²), standing still, one direction at a time.",
    "anchorage-as-weight": "The own weight is not counted; a load downwards is the floor's and is not computed.",
    "anchorage-as-rigid": "The plate does not bend. All bolts bear at once, each by its stress area; shear goes through the thread.",
    "anchorage-as-friction": "Friction and glue are not counted.",
    "anchorage-as-pivot-edge": "Pivot: edge. Under a sideways or lengthwise load the plate turns about its edge on the side to "
    "which the load pushes; a bolt pulls by its distance from that edge. A floor that gives way there brings the pivot "
    "nearer to the bolts, and they pull harder than computed.",
    "anchorage-as-pivot-centroid": "Pivot: centroid. Under a sideways or lengthwise load the plate turns about the centroid of the "
    "bolt areas; bolts on the pressed side count negative. The edge gives other figures.",
    "anchorage-as-upward": "A load upwards is shared as a plane over the pattern, whichever pivot is stated.",
    "anchorage-as-together": "Pull T and shear V together are √(T² + 3V²), the energy of distortion; common practice, no source for threads.",
    "anchorage-as-table": "Proof and tensile loads by the table of ISO 898-1 for coarse threads, as two distributors' public tables "
    "repeat it; the standard itself was not read.",
    "anchorage-as-countersunk": "Countersunk bolts count {factor} of both loads: the rule of a sibling kind of screws; the standard of "
    "their own kind was not read. Take the maker's figure where there is one.",
    "anchorage-as-preload": "Preload is told beside the loads and not added to them.",
    "anchorage-as-uncertainty": "No uncertainty is claimed. Reserves are rounded down.",
    # masses
    "anchorage-masses": "Masses",
    "anchorage-mass": "{part}: {mass} at x {x}, y {y}, height {height}",
    "anchorage-gravity": "together: {mass} kg at x {x} mm, y {y} mm, height {height} mm",
    "anchorage-centroid": "centroid of the bolts: x {x} mm, y {y} mm",
    "anchorage-axes": "x is forward, y to the right; heights from the face on which the plate lies",
    # loads
    "anchorage-case": "{direction}, {level}: {force} N; overturning {overturning} N·m; twist {twist} N·m",
    "anchorage-direction-forward": "Forward",
    "anchorage-direction-rearward": "Rearward",
    "anchorage-direction-left": "To the left",
    "anchorage-direction-right": "To the right",
    "anchorage-direction-upward": "Upward",
    "anchorage-column-bolt": "bolt",
    "anchorage-column-kind": "thread, class",
    "anchorage-column-pull": "pull/N",
    "anchorage-column-shear": "shear/N",
    "anchorage-column-together": "together/N",
    "anchorage-column-proof": "proof/N",
    "anchorage-column-reserve": "reserve",
    "anchorage-column-breaking": "to breaking",
    "anchorage-countersunk": "{name} csk",
    "anchorage-no-load": "no load",
    "anchorage-worst": "Least reserve: {reserve} to the proof load, {breaking} to the least tensile load (bolt {name}, {direction}).",
    "anchorage-worst-none": "No bolt takes any load.",
    # tightening
    "anchorage-tightening": "Preload by torque",
    "anchorage-tightened": "{name}: {torque} with K {low} to {high} ({source}) clamps with {least} to {most} N, "
    "{least_share} to {most_share} of the proof load; greatest pull {pull} N",
    # limits of the worksheet
    "anchorage-not": "Not looked at",
    "anchorage-not-floor": "the floor, its sub-structure and the vehicle's frame",
    "anchorage-not-joint": "welds, bonds, inserts and rivets",
    "anchorage-not-edges": "distances to edges and between holes, bearing and tearing of sheet",
    "anchorage-not-plate": "spreader plates, bending of the base plate and prying",
    "anchorage-not-thread": "nuts, engaged length, stripping of threads, corrosion, reused bolts",
    "anchorage-not-dynamic": "dynamic effects: a crash is a pulse with play, rebound and restraint, not a standing force",
    "anchorage-not-fatigue": "fatigue, loosening and years of use",
    "anchorage-not-directions": "several directions at once, loads downwards",
    "anchorage-not-system": "the stretcher, the system and the straps themselves",
    "anchorage-decides": "The maker's manual, the vehicle maker and a licensed engineer decide. Where they say otherwise, "
    "they are right and this sheet is not. It replaces no test.",
    # the drawing
    "anchorage-plot-title": "Bolt pattern with loads: {title}",
    "anchorage-plot-view": "seen from above, forward to the right",
    "anchorage-plot-key": "thin arrow: shear; thick ring: pull; broken ring: pressed; thick line: edge about which the plate turns; "
    "cross: centroid of the bolts; diamond: centre of gravity",
    "anchorage-plot-bolt": "{name} pull {pull} N, shear {shear} N, reserve {reserve}",
    "anchorage-plot-written": "The drawing was written to {path}.",
}
