"""Damaged logs never crash or hang the reader, and never cost it a line that is whole."""

from __future__ import annotations

import random
from collections.abc import Callable
from datetime import datetime
from itertools import permutations
from typing import Any

import pytest

from calculators.errors import NoAnswer
from calculators.keeping.log.choice import Choice
from calculators.keeping.log.decode import decode
from calculators.keeping.log.reading import read_log
from calculators.keeping.readings import readings

EPOCH = datetime(1970, 1, 1)
DAMAGES = 10_000
WHOLE_ANSWERS = 400  # of them taken all the way to the verdict, which costs more
FEWEST = 3  # whole lines left without which a refusal is right
Order = tuple[int, ...]


def expected(rows: Any) -> dict[str, tuple[float, float]]:
    return {
        f"{r.moment:%Y-%m-%d %H:%M:%S}": ((r.moment - EPOCH).total_seconds(), r.humidity / 100)
        for r in rows
    }


def flip(data: bytes, luck: random.Random) -> bytes:
    changed = bytearray(data)
    for _ in range(luck.randint(1, 12)):
        changed[luck.randrange(len(changed))] = luck.randrange(256)
    return bytes(changed)


def cut(data: bytes, luck: random.Random) -> bytes:
    return data[: luck.randrange(len(data))]


def lose_start(data: bytes, luck: random.Random) -> bytes:
    return data[luck.randrange(len(data) // 2) :]


def lose_middle(data: bytes, luck: random.Random) -> bytes:
    start = luck.randrange(len(data))
    return data[:start] + data[start + luck.randint(1, 400) :]


def repeat(data: bytes, luck: random.Random) -> bytes:
    start, end = sorted(luck.randrange(len(data)) for _ in range(2))
    return data[:end] + data[start:end] + data[end:]


def shuffle_lines(data: bytes, luck: random.Random) -> bytes:
    head, *lines = data.split(b"\n")
    start = luck.randrange(len(lines))
    part = lines[start : start + 40]
    luck.shuffle(part)
    return b"\n".join([head, *lines[:start], *part, *lines[start + 40 :]])


def shuffle_columns(data: bytes, luck: random.Random) -> bytes:
    order = [0, 1, 2]
    luck.shuffle(order)
    lines = [line.split(b",") for line in data.split(b"\n") if line]
    return b"\n".join(b",".join(line[n] for n in order) for line in lines)


def insert_noise(data: bytes, luck: random.Random) -> bytes:
    start = luck.randrange(len(data))
    return data[:start] + luck.randbytes(luck.randint(1, 60)) + data[start:]


HARMS = (
    flip, cut, lose_start, lose_middle, repeat, shuffle_lines, shuffle_columns, insert_noise,
)  # fmt: skip


ORDERS = tuple(permutations(range(3)))  # the order as written comes first


def find_good(data: bytes, wanted: dict[Order, dict[bytes, str]]) -> tuple[Order, set[str]]:
    """Return the order of the columns, and the stamps of lines that stand there word for word."""
    lines = set(data.replace(b"\r\n", b"\n").replace(b"\r", b"\n").split(b"\n"))
    found = {
        order: {stamp for line, stamp in known.items() if line in lines}
        for order, known in wanted.items()
    }
    order = max(ORDERS, key=lambda order: len(found[order]))
    return order, found[order]


def answered(order: Order) -> Choice:
    """Return what the owner of the log would answer to every question."""
    time, temperature, humidity = (str(order.index(column) + 1) for column in range(3))
    return Choice(time, temperature, humidity, "none", "year first", "°C")


@pytest.mark.parametrize("part", range(4))
def test_damage_neither_crashes_nor_loses_good_lines(
    part: int, invented: Callable[..., Any], plain: Callable[..., str]
) -> None:
    luck = random.Random(100 + part)
    rows = invented(days=2.0, step=60.0)
    data = plain(rows).encode()
    truth = expected(rows)
    cells = {f"{r.moment:%Y-%m-%d %H:%M:%S}": (r.temperature, r.humidity) for r in rows}
    wanted: dict[Order, dict[bytes, str]] = {
        order: {
            ",".join([(stamp, f"{warm}", f"{humid}")[n] for n in order]).encode(): stamp
            for stamp, (warm, humid) in cells.items()
        }
        for order in ORDERS
    }
    for number in range(DAMAGES // 4):
        harm = HARMS[number % len(HARMS)]
        damaged = harm(data, luck)
        if luck.random() < 0.2:
            damaged = flip(damaged, luck) if damaged else damaged
        order, good = find_good(damaged, wanted)
        try:
            text = decode(damaged)
            log = read_log(text, Choice())
            if log.questions:
                log = read_log(text, answered(order))
        except NoAnswer as error:
            if len(good) >= FEWEST:
                pytest.fail(f"{harm.__name__}, {len(good)} good lines: {error}")
            continue
        found = set(zip(log.time, log.humidity, strict=True))
        lost = [stamp for stamp in good if truth[stamp] not in found]
        assert not lost, harm.__name__
        if number % (DAMAGES // WHOLE_ANSWERS) == 0:
            readings(text)
