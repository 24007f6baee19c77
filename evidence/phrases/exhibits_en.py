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
        "Photos are JPEG, PNG or HEIC, documents PDF, tables CSV, XLSX or ODS. Open the file on a computer and export one of these.",
    ),
    "heic-extra-missing": (
        "This is an HEIC photo, as some phones store them; the extra that reads them is not installed here.",
        "Install it with pip install 'sillmark[heic]', or send the photo as JPEG: set the phone's camera to its most compatible format, or export it. Keep the original as well.",
    ),
    "exhibit-picture-kind": (
        "This is a picture of a kind that is not read here: {found}.",
        "Export it as JPEG at full size, with its camera data.",
    ),
    "exhibit-office": (
        "This is no photo, PDF or table that is read here: {found}.",
        "Export a text document as PDF, and the sheet with the numbers as XLSX, ODS or CSV.",
    ),
    "exhibit-archive": (
        "This is an archive of files ({found}).",
        "Unpack it and add the files inside one by one. Only a test's channels stay in their zip: .mme, .chn and the files .001 and up.",
    ),
    "exhibit-video": (
        "This is {found}, which is not read here.",
        "Take a photo of what it shows, or export one picture of it as JPEG. A phone that takes moving photos may store the film as a file of its own: then add the photo beside it.",
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
        "The photo is damaged and cannot be shown.",
        "Copy it again from the phone. If it still fails, take the photo again.",
    ),
    "exhibit-jpeg-coding": (
        "The JPEG is coded in a way that hardly any program opens ({found}).",
        "Open it in the program it comes from and export it as an ordinary JPEG at full size.",
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
        "The PDF is damaged or is none.",
        "Open it in a PDF program and save or print it as a new PDF, or ask the sender for it again.",
    ),
    "pdf-encrypted": (
        "The PDF needs a password.",
        "Open it with the password and save a copy without password, or ask the sender for one; then add the copy.",
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
        "The text of the table is in no encoding that is read here, or damaged; here stands {found}.",
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
        "Read as a table, this file has no row of numbers.",
        "Export a table with one heading row and the numbers below; print a text or a letter to PDF and add that.",
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
        "The number of cells in this row is {found}; the heading has {expected}.",
        "Use one delimiter in the whole file; if numbers have decimal commas, delimit with semicolons.",
    ),
    "table-cell-blank": (
        "The cell in column '{column}' is blank.",
        "Put in the number as measured, or leave the whole row out and say so in the record.",
    ),
    "table-cell-not-finite": (
        "The cell in column '{column}' holds {found}, which is no number.",
        "Find out why the instrument gave no value; export only the rows in which it did.",
    ),
    "table-cell-formula": (
        "The cell in column '{column}' holds a formula: {found}.",
        "Export the values, not the formulas.",
    ),
    "table-cell-grouped": (
        "The cell in column '{column}' is no number that can be read in one way only: {found}.",
        "If its blanks, points or commas part thousands, export numbers without such marks.",
    ),
    "table-cell-number": (
        "The cell in column '{column}' is no number: {found}.",
        "Put in the number as measured. Words are read only in columns headed as such, for example serial, lot, tool, screw, no, result, remark or initials.",
    ),
    "table-cell-text": (
        "The cell in column '{column}' holds text and no number: {found}.",
        "If it is a number, format the column as number in the spreadsheet and type it again. Words are read only in columns headed as such, for example serial, lot, tool, screw, no, result, remark or initials.",
    ),
    "table-cell-date": (
        "The cell in column '{column}' shows a date or a time of day: {found}.",
        "Spreadsheets turn 3.4 into a date. If a number was meant, format the column as number and type it again. If a date was meant, head the column date or time and write it as 2026-03-04 or 14:30.",
    ),
    "table-cell-serial-date": (
        "The cell in column '{column}' holds {found}, which is probably a date as a spreadsheet counts days.",
        "Format the column as date and save again. If these are measured numbers, put their unit into the heading.",
    ),
    "table-cell-identifier": (
        "The cell in column '{column}' holds {found}, a date or a number; serials and lots are read as text.",
        "Spreadsheets drop zeros in front and make dates of such numbers. Format the column as text, type them again as the labels give them, and save.",
    ),
    "table-cell-no-date": (
        "The cell in column '{column}' holds {found}; the other cells of this column are dates or times of day.",
        "Write every cell of the column as 2026-03-04 or 14:30.",
    ),
    "table-cell-truth": (
        "The cell in column '{column}' holds {found} and no number.",
        "Put in the number as measured, or write pass or fail in a column headed result.",
    ),
    "table-no-numbers": (
        "No column of the table holds numbers.",
        "Export the columns with what was measured as well.",
    ),
    "table-thousands-mixed": (
        "Here stands {found}, and elsewhere {other}: two different marks between thousands.",
        "Export numbers without marks between thousands.",
    ),
    "table-several-sheets": (
        "More than one sheet of the workbook holds something: {found}.",
        "Save the sheet with the test as a workbook of its own, or export it as CSV. Hidden sheets count too.",
    ),
    "table-merged-cells": (
        "Cells are merged here.",
        "Undo the merging in the spreadsheet, so that every number has a cell of its own, and save again.",
    ),
    "workbook-kind": (
        "This workbook is of a kind that is not read here: an older one, one with macros, or of another program.",
        "Save it as .xlsx or CSV.",
    ),
    "workbook-password": (
        "The workbook needs a password.",
        "Open it with the password and save a copy without, as .xlsx or CSV; then add the copy.",
    ),
    "workbook-damaged": (
        "The workbook cannot be read.",
        "Open it in a spreadsheet program and save it again as .xlsx or CSV.",
    ),
    "workbook-too-large": (
        "The workbook unpacks to {found} bytes; at most {limit} are read.",
        "Save the sheet with the test as a workbook of its own. Ask where the file comes from if it should be small.",
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
        "Not listed here: {count} more cells or rows with problems.",
        "Correct the ones that are listed, then add the file again; most have one cause.",
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
    "personal-code-left-out": (
        "Codes of free form in the photo are left out: one of them holds a name, plate or site of people.yaml.",
        "Tickets and vehicle numbers are kept; cover what is personal and take the photo again if another code counts.",
    ),
    "personal-axes-left-out": (
        "Axes and unknown units of the channels are left out: one of them holds a name, plate or site of people.yaml.",
        "Nothing needs to be done; state the sign convention in the record, as the report gives it.",
    ),
    "photo-codes-unread": (
        "The search for codes in the photo gave up.",
        "Take the photo again, nearer to the ticket or label and in better light.",
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
    "photo-unsharp": (
        "Even the sharpest edges in the photo are blurred.",
        "Wipe the lens, hold the phone still, touch the screen where it matters, and take the photo again if what it must show cannot be read.",
    ),
    "photo-clipped": (
        "Much of the photo is plain white or plain black, so that nothing can be seen there.",
        "If that is where it matters, take the photo again: without a lamp shining into it, or with more light.",
    ),
    "photo-small-for-role": (
        "The photo has {found} pixels on its longer side; at least {expected} are good for what it shows ({roles}).",
        "If it is a copy from a messenger, send the original; else take the photo again at full size, or look whether all can be read.",
    ),
    "photo-orientation-unknown": (
        "The photo does not say which way up it is; it is shown as stored.",
        "If it lies on its side, turn it on the phone and add it again.",
    ),
    "photo-several-pictures": (
        "The file holds more pictures than one; only the main one counts and is printed.",
        "Nothing needs to be done if the one that is printed is the one you mean. The others stay in the original: if one of them is the evidence, export that one as a file of its own.",
    ),
    "photo-with-video": (
        "The file holds a film as well, as moving photos do; only the still picture counts and is printed.",
        "The film stays in the original and may hold voices and faces: whoever gets the original gets it too, and the redacted copy has none. Switch moving photos off for the next ones.",
    ),
    "photo-messenger-copy": (
        "The photo looks like a copy that a messenger made smaller: it has no camera data and is small.",
        "If there is a larger original, send that: by cable, or in the messenger as a document and not as a photo.",
    ),
    "photo-looks-like-screenshot": (
        "The picture looks like a screenshot or an export: it is a PNG without camera data.",
        "If it shows a photo, add the photo itself as the phone stored it. A picture that never was a photo may stay.",
    ),
    "pdf-restricted": (
        "The PDF restricts what may be done with it; it opens without a password.",
        "Ask the sender for an unrestricted copy if it has to be archived for years.",
    ),
    "pdf-text-incomplete": (
        "Not all text of the PDF could be read.",
        "Pages that are drawings or scans hold none; give page numbers in the record by hand.",
    ),
    "pdf-mended": (
        "The PDF is damaged; what could be mended was read.",
        "Open it and compare its last page with the paper. If something is missing, ask the sender for it again.",
    ),
    "pdf-leading-bytes": (
        "Something stands before the beginning of the PDF; it was passed over.",
        "Nothing needs to be done. If a program refuses the file, save or print it as a new PDF and add that as well.",
    ),
    "pdf-scan": (
        "No page of the PDF holds text: it is a scan, which this program cannot read.",
        "For each claim of the document write who read it and on which page (read_by, page).",
    ),
    "pdf-attachments": (
        "Other files are attached to the PDF; they are kept with it and are not looked at.",
        "If one of them is evidence, save it and add it by itself.",
    ),
    "pdf-portfolio": (
        "The PDF is a folder of other files; only its cover pages are read.",
        "Open it in a PDF program, save the papers inside and add them one by one.",
    ),
    "pdf-script": (
        "The PDF holds a script or starts a program; nothing of it was run.",
        "Print it to a new PDF and add that, or ask the sender why a paper needs a script.",
    ),
    "pdf-page-labels": (
        "The PDF counts its pages in its own way, such as i, ii, 1.",
        "Page numbers in the record count from the first sheet: the first is page 1.",
    ),
    "table-formula-values": (
        "Some cells are formulas; what the spreadsheet computed last was taken.",
        "Nothing needs to be done if the file was saved after the last change. Measured numbers are better typed than computed.",
    ),
    "table-hidden-parts": (
        "Rows, columns or sheets of the workbook are hidden; hidden rows and columns were read as well.",
        "Show everything in the spreadsheet and look whether it belongs to the test.",
    ),
    "table-digits-cut": (
        "Some numbers of the workbook have more than 15 digits, as computing leaves them; 15 were kept.",
        "Nothing needs to be done; no instrument shows that many.",
    ),
    "table-thousands-marks": (
        "Numbers have marks between their thousands; they were read without.",
        "Nothing needs to be done; compare one large number with the original if in doubt.",
    ),
    "table-encoding-guessed": (
        "The table is not UTF-8 text; it was read as Windows-1252, as older programs write it.",
        "Look whether the headings are right; if not, save it again as CSV in UTF-8.",
    ),
    "table-comments-passed-over": (
        "Lines of comment before the heading were passed over.",
        "Nothing needs to be done; they stay in the original.",
    ),
    "table-unit-unknown": (
        "A unit in the heading is not in the table of units.",
        "Use the unit's usual symbol, such as N, kN, g, m/s², mm or s.",
    ),
}

EXHIBITS: dict[str, tuple[str, str]] = PROBLEMS | NOTICED
