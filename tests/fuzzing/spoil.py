"""Spoil a text as people, programs and disks do: lines, values, letters, bytes."""

from __future__ import annotations

import random
import re
from collections.abc import Callable

VALUES = (
    "", "~", "null", "yes", "no", "-1", "0", "1e999", "NaN", ".inf", "2x9", "2 X 8", "13ft 4 1/2in",
    "9999999999999999999999 in", "1/0 in", "-3 in", "3", "3 kg", "'", '"', "{", "[", "]", "&a", "*a",
    "!!python/object:os.system", "<<: *a", "|", ">", "- -", ": :", "#", "%YAML 1.1", "---", "...",
    "=1+1", "@", "\u202e", "\ufeff", "\u2028", "𝕏", "é", "\x7f", "2024-02-30", "0x10", "1_000", "٣ in",
    "a" * 3000, "[" * 60, "{a: " * 60, "irc-2012", "Tarn Hollow@2024-02-01", "../../etc/passwd",
)  # fmt: skip
BYTES = (b"\x00", b"\xff", b"\xc3", b"\r", b"\t", b"\xef\xbb\xbf", b"\xed\xa0\x80", b"\x1b[2J")
VALUE = re.compile(r"(?<=[:,\-] )[^\s,{}\[\]#][^,{}\[\]#\n]*")
WORD = re.compile(r"[A-Za-z_.]{3,}")


def spoilt(content: bytes, chance: random.Random) -> bytes:
    """Return the content with one to four things wrong with it."""
    for _ in range(chance.choice((1, 1, 2, 4))):
        content = chance.choice(WAYS)(content, chance)
    return content


def _lines(content: bytes) -> list[bytes]:
    return content.splitlines(keepends=True) or [b""]


def _drop_line(content: bytes, chance: random.Random) -> bytes:
    lines = _lines(content)
    del lines[chance.randrange(len(lines))]
    return b"".join(lines)


def _repeat_line(content: bytes, chance: random.Random) -> bytes:
    lines = _lines(content)
    lines.insert(chance.randrange(len(lines)), chance.choice(lines))
    return b"".join(lines)


def _swap_lines(content: bytes, chance: random.Random) -> bytes:
    lines = _lines(content)
    one, two = chance.randrange(len(lines)), chance.randrange(len(lines))
    lines[one], lines[two] = lines[two], lines[one]
    return b"".join(lines)


def _indent(content: bytes, chance: random.Random) -> bytes:
    lines = _lines(content)
    place = chance.randrange(len(lines))
    lines[place] = lines[place][2:] if chance.random() < 0.5 else b"  " + lines[place]
    return b"".join(lines)


def _other_value(content: bytes, chance: random.Random) -> bytes:
    text = content.decode("utf-8", "surrogateescape")
    found = list(VALUE.finditer(text))
    if not found:
        return _insert(content, chance)
    at = chance.choice(found)
    other = chance.choice((chance.choice(VALUES), chance.choice(found)[0]))
    return (text[: at.start()] + other + text[at.end() :]).encode("utf-8", "surrogateescape")


def _misspelt(content: bytes, chance: random.Random) -> bytes:
    text = content.decode("utf-8", "surrogateescape")
    found = list(WORD.finditer(text))
    if not found:
        return content
    at = chance.choice(found)
    letters = list(at[0])
    place = chance.randrange(len(letters) - 1)
    letters[place], letters[place + 1] = letters[place + 1], letters[place]
    return (text[: at.start()] + "".join(letters) + text[at.end() :]).encode(
        "utf-8", "surrogateescape"
    )


def _insert(content: bytes, chance: random.Random) -> bytes:
    place = chance.randrange(len(content) + 1)
    piece = chance.choice((chance.choice(BYTES), chance.choice(VALUES).encode()))
    return content[:place] + piece + content[place:]


def _cut(content: bytes, chance: random.Random) -> bytes:
    return content[: chance.randrange(len(content) + 1)]


def _flip(content: bytes, chance: random.Random) -> bytes:
    if not content:
        return content
    changed = bytearray(content)
    changed[chance.randrange(len(changed))] ^= 1 << chance.randrange(8)
    return bytes(changed)


WAYS: tuple[Callable[[bytes, random.Random], bytes], ...] = (
    _drop_line, _repeat_line, _swap_lines, _indent, _other_value, _other_value, _other_value,
    _misspelt, _insert, _cut, _flip,
)  # fmt: skip
