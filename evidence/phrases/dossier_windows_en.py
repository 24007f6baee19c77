"""English words of the dossier for lock windows, and for the codes that photos of labels show."""

_SECTION = {
    "title-lock_window": "Lock window",
    "window-lead": "A photo shows which colour the indicator had at one moment. It says nothing about the moment before or after, and "
    "nothing about whether the lock held.",
    "window-of": "Lock window: {subject}",
    "window-panel-locked": "Locked state",
    "window-panel-open": "Open state",
    "window-photo-alt": "Part of photo {id} with the lock window",
    "window-photo-whole-alt": "Photo {id} of the lock window",
    "window-frame-alt": "Outline of the window's frame as it was marked in photo {id}",
    "window-caption": "Part of {id}. Line: the window's frame as it was marked.",
    "window-caption-whole": "The whole of {id}; no frame is marked in it.",
    "window-bar-alt": "Shares of the window in {id}: locked colour {locked} %, open colour {open} %, neither {unknown} %",
    "window-share-locked": "locked colour",
    "window-share-open": "open colour",
    "window-share-unknown": "neither",
    "window-percent": "{share} %",
    "window-missing-locked": "No photo of the locked state was filed for this place. Lock, then take one with the window's whole frame and "
    "a neutral patch beside it.",
    "window-missing-open": "No photo of the open state was filed for this place. Unlock, then take one from where the locked one was taken; "
    "without it no photo shows the locked state by itself.",
    "window-to-come": "Still to come:",
    "window-held": "Held against the open state in",
    "window-contradicted": "Contradicted",
}

_FACTS = {
    "window-colours": "Declared colours",
    "window-colours-of": "(manual, p.\u00a0{page})",
    "window-indicator": "Indicator",
    "window-indicator-of": "{shows}, no colour (manual, p.\u00a0{page})",
    "window-requirement": "Requirement",
    "window-uncompared": "No requirement asks what this window shows.",
    "window-method": "Method",
    "window-method-of": "{method}: a photo decides where at least 90 % of the window have one declared colour, at most 2 % the other and at "
    "most 10 % neither. The locked state also needs a photo of the same window in the open state.",
    "matrix-window": "What its photos show:",
    "photo-told": "Told in",
    "photo-window-of": "lock window, {subject}",
    "word-window-shows-pin": "a pin",
    "word-window-shows-lever": "a lever",
    "word-window-shows-lamp": "a lamp",
}

_WHY_NOT = {
    "window-why-pin": "The program does not read this photo, because the indicator is a pin and not a colour.",
    "window-why-lever": "The program does not read this photo, because the indicator is a lever and not a colour.",
    "window-why-lamp": "The program does not read this photo, because the indicator is a lamp and not a colour.",
    "window-why-several": "The program does not read this photo, because the manual describes several windows and a photo does not say "
    "which one it shows.",
    "window-look": "A person looks at it and writes into the record what it showed.",
    "window-why-not-in-profile": "The program does not read this photo, because the fitting profile describes no lock window. Add the "
    "window with its colours and the manual's page to the profile.",
    "window-why-frame": "Not read for its colour: nobody marked the window's frame in this photo. Mark its four corners in the record, or "
    "have a person look at it and write down what it showed.",
    "window-why-unread": "Not read for its colour: the frame is marked, but the file could not be read as a photo. The photo log says what "
    "it is; take the photo again.",
}
"""Why a photo has no reading; what a reading itself says of its doubts stands with the other sentences of measuring."""

_LABELS = {
    "label-alt": "Part of photo {id} with the code that says: {words}",
    "label-outline-alt": "Outline of the code in photo {id}",
    "label-same": "The record has the same number.",
    "label-not-compared": "Not compared with the record.",
    "label-contradicted": "Contradiction:",
}

WINDOWS_PAGE: dict[str, str] = {**_SECTION, **_FACTS, **_WHY_NOT, **_LABELS}
