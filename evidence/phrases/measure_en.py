"""English words of reading a lock window from a photo: what its colour shows, why nothing can be told, what to do.

A photo shows a colour at one moment; no sentence here says that a stretcher is locked.
"""

_PHOTO: dict[str, tuple[str, str]] = {
    "window-frame-wrong": (
        "The corners given for the lock window are no frame inside the picture.",
        "Give its four corners one after the other around it, from the upper left one, as per mille of width and height of the upright picture.",
    ),
    "window-too-small": (
        "The lock window is only {found} pixels on its shortest side; {expected} are needed.",
        "Go closer, or send the photo as the phone stored it.",
    ),
    "window-at-edge": (
        "The lock window lies at the edge of the picture, so what surrounds it cannot be seen.",
        "Take the photo again with the window in the middle and a hand's breadth of its surroundings.",
    ),
    "window-dark": (
        "The lock window is too dark to show a colour.",
        "Light it with a white lamp from the side and take the photo again.",
    ),
    "window-clipped": (
        "{found} % of the lock window is so bright that its colour is lost.",
        "Tap on the window in the camera's picture, turn the brightness down, and take the photo again.",
    ),
    "window-gloss": (
        "A reflection covers the lock window; {found} % of it is nearly white.",
        "Move a step aside or shade the window with your hand, and take the photo again without flash.",
    ),
    "window-between": (
        "The lock window does not show one colour alone: {locked} % locked, {open} % open, {unknown} % neither.",
        "Look at the lock itself first: it may have stopped half-way. Then take the photo again, and check the four corners of the frame.",
    ),
    "window-unclear": (
        "Too much of the lock window shows neither declared colour: {locked} % locked, {open} % open, {unknown} % neither.",
        "Clean the window, check the four corners of the frame and the colours in the profile, and take the photo again in white light.",
    ),
    "window-surroundings-coloured": (
        "{found} % of what surrounds the lock window has one of its colours too, so the window cannot be told apart.",
        "Switch coloured lamps off, take hands, gloves and cloths away, and set the corners on the whole window. If the housing has that colour, let a person look and record it.",
    ),
    "window-open-photo-missing": (
        "There is no photo of the same lock window in the open state.",
        "Open the lock, take a photo of its window from the same place, and add it with the role lock-window-open.",
    ),
    "window-open-photo-unclear": (
        "The photo of the open state does not clearly show the open colour.",
        "Open the lock and take that photo again; see what was said of it.",
    ),
    "window-shape-differs": (
        "The frames in the two photos have different shapes, so they may be two windows.",
        "Check the four corners in both. Take both photos from the same place.",
    ),
    "window-surroundings-differ": (
        "What surrounds the window differs between the two photos, so they may be two windows.",
        "Take both photos from the same place and in the same light, with nothing put down or taken away in between.",
    ),
}

_LIGHT: dict[str, tuple[str, str]] = {
    "neutral-missing": (
        "There is no neutral patch in the picture, so the colour of the light is not known.",
        "Mark a field of the printed tile beside the window under neutral; if there is none in the picture, hold it there and take the photo again.",
    ),
    "neutral-too-small": (
        "The neutral patch has only {found} pixels; {expected} are needed.",
        "Go closer, or hold the printed tile nearer to the window.",
    ),
    "neutral-clipped": (
        "The neutral patch is so bright that its colour is lost.",
        "Turn the camera's brightness down, or use the grey patch instead of the white one.",
    ),
    "neutral-dark": (
        "The neutral patch is too dark to show the colour of the light.",
        "Take the photo again with more white light.",
    ),
    "neutral-uneven": (
        "The neutral patch is unevenly lit, or what was marked is no plain patch.",
        "Keep shadows and reflections off the patch, and check where it was marked.",
    ),
    "light-coloured": (
        "The light lacks a colour: its channels differ by a factor of {found}; up to {expected} can be balanced.",
        "Switch coloured and sodium lamps off, use a white lamp, and take the photo again.",
    ),
    "light-mixed": (
        "Two neutral patches show light of different colours, {found} apart where {expected} is the most.",
        "Use one kind of lamp only, shade daylight off or work in it alone, and keep the patches clean.",
    ),
}

_PROFILE: dict[str, tuple[str, str]] = {
    "colours-too-close": (
        "The two declared colours are too much alike for a photo: {found} apart, where {expected} is the least.",
        "A person must look at the window; record who looked, and add the photo beside it.",
    ),
    "colour-without-hue": (
        "The locked colour {found} is nearly grey, so bare metal or a reflection would look like it.",
        "A person must look at the window; record who looked, and add the photo beside it.",
    ),
}

MEASURE: dict[str, tuple[str, str]] = {**_PHOTO, **_LIGHT, **_PROFILE}

MEASURE_WORDS: dict[str, str] = {
    "window-locked": "The indicator shows the locked colour at this moment ({locked} % of its window).",
    "window-open": "The indicator shows the open colour at this moment ({open} % of its window).",
    "window-undecided": "The photo does not decide what the indicator shows.",
}
