"""Bytes to text, whatever wrote them.

In: the bytes of a file. Out: its text, or one sentence when the file is no text.
"""

from __future__ import annotations

import codecs

from calculators.errors import NoAnswer

_NOT_TEXT = (
    (b"PK\x03\x04", "a spreadsheet or a zip archive"),
    (b"\xd0\xcf\x11\xe0", "an old spreadsheet or document"),
    (b"%PDF", "a PDF"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"GIF8", "a picture"),
    (b"\x1f\x8b", "a compressed archive"),
    (b"SQLite format", "a database"),
)
_MARKS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)
_LOOK = 4096


def decode(data: bytes) -> str:
    """Return the text of ``data``: UTF-8 or UTF-16 with or without a mark, else Latin-1.

    A UTF-8 text with a few damaged bytes keeps the rest. Raises NoAnswer with one sentence
    when the file is of a kind that holds no plain text.
    """
    for start, kind in _NOT_TEXT:
        if data.startswith(start):
            raise NoAnswer(
                f"This file is {kind}, not a table in plain text. Open it in the program it came "
                "from and save or export it as CSV, then give that file."
            )
    for mark, encoding in _MARKS:
        if data.startswith(mark):
            return data[len(mark) :].decode(encoding, "replace")
    wide = _wide(data[:_LOOK])
    if wide:
        return data.decode(wide, "replace")
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        pass
    text = data.decode("utf-8", "replace")
    # Latin-1 text read as UTF-8 loses every letter above ASCII; damaged UTF-8 loses only some.
    lost = text.count("�")
    kept = sum(1 for letter in text[: 64 * _LOOK] if letter > "\x7f" and letter != "�")
    if kept > lost or (lost and _is_damage(data)):
        return text
    return data.decode("cp1252", "replace")


def _wide(start: bytes) -> str:
    """Return the UTF-16 of text without a mark: every other byte of plain letters is nought."""
    pairs = len(start) // 2
    if pairs < 2:
        return ""
    high, low = start[0 : 2 * pairs : 2].count(0), start[1 : 2 * pairs : 2].count(0)
    if low > 0.7 * pairs and high < 0.1 * pairs:
        return "utf-16-le"
    if high > 0.7 * pairs and low < 0.1 * pairs:
        return "utf-16-be"
    return ""


def _is_damage(data: bytes) -> bool:
    """Return True when the odd bytes are none that Latin-1 text of a log would hold."""
    high = bytes(byte for byte in data if byte > 0x7F)
    letters = sum(1 for byte in high if byte in b"\xb0\xba\xb1\xb5\xb2\xb3" or byte >= 0xC0)
    return letters < 0.5 * len(high)
