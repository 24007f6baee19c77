"""English words about evidence files: code to one sentence and what to do next.

The first table holds what stops a file from being read, the second what a reader noticed and passed over.
"""

PROBLEMS: dict[str, tuple[str, str]] = {
    "exhibit-empty": (
        "The file is empty.",
        "Copy it again from the phone or the sender; the copy was cut off.",
    ),
    "exhibit-too-large": (
        "The file has {found} bytes; at most {limit} are read.",
        "Export a smaller copy: a photo at normal quality, a PDF without embedded video, a table cut to the test.",
    ),
    "exhibit-unknown": (
        "The content is of no kind that is read here; it begins with the bytes {found}.",
        "Photos are JPEG or PNG, documents PDF, tables CSV. Open the file on a computer and export one of these.",
    ),
    "exhibit-heic": (
        "This is an HEIC photo, as some phones store them.",
        "Export it as JPEG, or set the phone's camera to its most compatible format. Keep the original as well.",
    ),
    "exhibit-picture-kind": (
        "This is a picture of a kind that is not read here: {found}.",
        "Export it as JPEG at full size, with its camera data.",
    ),
    "exhibit-office": (
        "This is an office file: {found}.",
        "Export a text document as PDF, and the sheet with the numbers as CSV in UTF-8.",
    ),
    "exhibit-archive": (
        "This is an archive: {found}.",
        "Unpack it and add the files inside one by one.",
    ),
    "exhibit-video": (
        "This is {found}, which is not read here.",
        "Take a photo of what it shows, or export one picture of it as JPEG.",
    ),
    "exhibit-executable": (
        "This is a program, not evidence: {found}.",
        "Do not open it. Ask whoever sent it what it was meant to be.",
    ),
    "exhibit-markup": (
        "This is a web page or drawing in markup, which is not read here.",
        "Print it to PDF and add that.",
    ),
    "exhibit-truncated": (
        "The photo is cut off: the file ends before the picture does.",
        "Copy it again from the phone. If it is cut off there too, take the photo again.",
    ),
    "exhibit-damaged": (
        "The photo cannot be decoded ({found}).",
        "Copy it again from the phone. If it still fails, take the photo again.",
    ),
    "exhibit-too-many-pixels": (
        "The picture has {found} pixels; at most {limit} are decoded.",
        "Export a smaller copy. An ordinary phone photo has far fewer; ask where this file comes from.",
    ),
    "picture-mask-outside": (
        "The rectangle {found} is not inside the picture of {width} by {height} pixels.",
        "Give left, top, right and bottom in pixels of the upright picture, left before right and top before bottom.",
    ),
    "pdf-damaged": (
        "The PDF cannot be read ({found}).",
        "Open it in a PDF program and save or print it as a new PDF, or ask the sender for it again.",
    ),
    "pdf-encrypted": (
        "The PDF needs a password.",
        "Ask the sender for a copy without one, or open it and print it to a new PDF.",
    ),
    "pdf-empty": (
        "The PDF has no pages.",
        "Ask the sender for the document again.",
    ),
    "pdf-too-many-pages": (
        "The PDF has {found} pages; at most {limit} are read.",
        "Add only the part that is evidence, with its cover page.",
    ),
    "pdf-attachment-twice": (
        "Two files are attached to the PDF under the name {found}.",
        "Programs would not agree which one is meant. Ask for the PDF from its source again.",
    ),
    "pdf-attachments-too-large": (
        "The files attached to the PDF are more than {files} or hold more than {limit} bytes.",
        "Ask where this PDF comes from; no dossier carries that much.",
    ),
    "reader-gave-up": (
        "Reading the file was stopped ({cause}); a sound file does not do that.",
        "Open it in its own program and export it anew. If it comes from outside, ask whether it arrived whole.",
    ),
    "table-encoding": (
        "The table is not UTF-8 text; here stands {found}.",
        "Save it again as CSV in UTF-8.",
    ),
    "table-character": (
        "A character that no table holds stands here: {found}.",
        "Export the table again; the file is damaged or not a table.",
    ),
    "table-malformed": (
        "The quotation marks of this row do not pair up.",
        "Check the row for a stray quotation mark, or export the table again.",
    ),
    "table-empty": (
        "The table has no row of numbers.",
        "Export it with one heading row and the numbers below.",
    ),
    "table-too-many-columns": (
        "The row has {found} columns; at most {limit} are read.",
        "Export only the channels that are evidence.",
    ),
    "table-too-many-rows": (
        "The table has more than {limit} rows or {cells} cells.",
        "Export only the time around the test.",
    ),
    "table-header-missing": (
        "The first row holds the number {found}, so there is no heading.",
        "Put one heading row above the numbers, with units: time [s], force [N]. Remove lines above it.",
    ),
    "table-header-blank": (
        "Column {column} has no heading.",
        "Name every column, with its unit in square brackets.",
    ),
    "table-header-twice": (
        "Column {column} has the same heading as an earlier one: {found}.",
        "Give every column its own name.",
    ),
    "table-row-length": (
        "The row has {found} cells where the heading has {expected}.",
        "Use one delimiter in the whole file; if numbers have decimal commas, delimit with semicolons.",
    ),
    "table-cell-blank": (
        "The cell in column {column} is blank.",
        "Put in the number as measured, or leave the whole row out and say so in the record.",
    ),
    "table-cell-not-finite": (
        "The cell in column {column} holds {found}, which is no number.",
        "Find out why the instrument gave no value; export only the rows in which it did.",
    ),
    "table-cell-formula": (
        "The cell in column {column} holds a formula: {found}.",
        "Export the values, not the formulas.",
    ),
    "table-cell-grouped": (
        "The number in column {column} has marks between its thousands: {found}.",
        "Export numbers without marks between thousands.",
    ),
    "table-cell-number": (
        "The cell in column {column} is no number: {found}.",
        "A table holds numbers below its heading and nothing else; put remarks into the record.",
    ),
    "table-decimal-mixed": (
        "Here stands {found} with a decimal point, and {other} in line {line} with a decimal comma.",
        "Use the same decimal mark in the whole file.",
    ),
    "table-comma-ambiguous": (
        "{found} may mean {decimal} or {grouped}, and no other number in the file settles it.",
        "Export with decimal points, or with one decimal more.",
    ),
    "personal-heading": (
        "The heading of column {column} holds a name, plate or site of people.yaml.",
        "Export the table again with a neutral heading and file that; headings are printed for everybody.",
    ),
    "table-more-problems": (
        "{count} more cells or rows have problems of the same kind.",
        "Correct the ones listed first; most have one cause.",
    ),
}

NOTICED: dict[str, tuple[str, str]] = {
    "exhibit-extension": (
        "The ending of the file name promises another kind of file than the content is.",
        "A copy made by add is named by its content; a file that was put into the folder by hand needs another name.",
    ),
    "photo-exif-unreadable": (
        "The camera data of the photo are damaged and were left out.",
        "Use the file as the phone wrote it, not a copy from a messenger or an editing program.",
    ),
    "personal-claim-left-out": (
        "Camera and software of the photo are left out: one of them holds a name, plate or site of people.yaml.",
        "Nothing needs to be done; give the phone a neutral name if its photos are to say what took them.",
    ),
    "photo-time-malformed": (
        "The camera time of the photo is no time.",
        "Set the camera's clock; record by hand when this photo was taken.",
    ),
    "photo-offset-malformed": (
        "The time offset that the camera wrote is no offset.",
        "The offset of the record is used instead; check that it fits the day.",
    ),
    "photo-focal-malformed": (
        "The focal length that the camera wrote is no length.",
        "Use the file as the phone wrote it, not a copy from an editing program.",
    ),
    "photo-orientation-unknown": (
        "The photo does not say which way up it is; it is shown as stored.",
        "If it lies on its side, turn it on the phone and add it again.",
    ),
    "pdf-restricted": (
        "The PDF restricts what may be done with it; it opens without a password.",
        "Ask the sender for an unrestricted copy if it has to be archived for years.",
    ),
    "pdf-text-incomplete": (
        "Not all text of the PDF could be read.",
        "Pages that are drawings or scans hold none; give page numbers in the record by hand.",
    ),
    "table-unit-unknown": (
        "A unit in the heading is not in the table of units.",
        "Use the unit's usual symbol, such as N, kN, g, m/s², mm or s.",
    ),
}

EXHIBITS: dict[str, tuple[str, str]] = PROBLEMS | NOTICED
