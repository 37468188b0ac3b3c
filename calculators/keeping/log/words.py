"""The words a log's header and dates are written in.

In: a header or a month as written. Out: what it names. Stems are matched in plain lower case
with accents removed; content decides where words do not.
"""

from __future__ import annotations

import re
import unicodedata
from typing import Literal

Role = Literal["time", "temperature", "humidity", "other", ""]


def _stems(text: str) -> tuple[str, ...]:
    return tuple(text.split())


_TIME = _stems(
    "time date stamp datum zeit uhr heure jour fecha hora tijd data ora tid dato klokke aika pvm "
    "paivamaara czas godz cas tarih saat idopont дата время час 时间 日期 日時 時刻 날짜 시간"
)
_HUMIDITY = _stems(
    "humid feucht humed umid vocht fukt fugt kosteus wilgot vlhkost nem luftf влаж волог "
    "湿度 濕度 습도 hygro moisture parasz"
)
_TEMPERATURE = _stems(
    "temp lampo teplot sicaklik homer celsius fahrenheit темп 温度 溫度 온도 warme drybulb "
    "dry-bulb dry_bulb"
)
# Quantities that look like the two wanted ones, and are not.
_OTHER = _stems(
    "dewp dew-p dew_p taupunkt rosee rocio rugiada dauw daggp dugpunkt rosy kastepiste точка росы "
    "露点 batt akku bater signal rssi press druck vpd deficit absol index feels apparent chill "
    "wet-b wetbulb wind gust rain precip cloud visib solar uncert source flag light setpoint "
    "sollwert alarm"
)
_ROOM = _stems(
    "room zimmer raum piece habitacion stanza kamer rum huone pokoj oda комнат ambient outside "
    "aussen exterior extern chambre sala casa home"
)
_MONTHS = {
    "jan": 1, "ene": 1, "gen": 1, "led": 1, "sty": 1, "янв": 1,
    "feb": 2, "fev": 2, "fevr": 2, "hel": 2, "lut": 2, "фев": 2,
    "mar": 3, "mrt": 3, "maa": 3, "мар": 3, "maerz": 3,
    "apr": 4, "avr": 4, "abr": 4, "huh": 4, "kwi": 4, "апр": 4,
    "may": 5, "mai": 5, "mag": 5, "mei": 5, "maj": 5, "tou": 5, "мая": 5, "май": 5,
    "jun": 6, "juin": 6, "giu": 6, "kes": 6, "cze": 6, "июн": 6,
    "jul": 7, "juil": 7, "lug": 7, "hei": 7, "lip": 7, "июл": 7,
    "aug": 8, "aou": 8, "ago": 8, "elo": 8, "sie": 8, "авг": 8,
    "sep": 9, "set": 9, "syy": 9, "wrz": 9, "сен": 9,
    "oct": 10, "okt": 10, "out": 10, "ott": 10, "lok": 10, "paz": 10, "окт": 10,
    "nov": 11, "lis": 11, "ноя": 11,
    "dec": 12, "dez": 12, "dic": 12, "des": 12, "jou": 12, "gru": 12, "дек": 12,
}  # fmt: skip


def plain(text: str) -> str:
    """Return ``text`` in lower case without accents, for matching."""
    split = unicodedata.normalize("NFKD", text.replace("ł", "l").replace("ı", "i").lower())
    return "".join(letter for letter in split if not unicodedata.combining(letter)).strip()


def month(word: str) -> int:
    """Return the month that ``word`` names in any of a dozen languages, or 0."""
    folded = plain(word).strip(".,")
    for length in (4, 3):
        found = _MONTHS.get(folded[:length])
        if found:
            return found
    return 0


def role(header: str) -> Role:
    """Return what a column called ``header`` holds, or "" when the name does not say."""
    name = plain(header)
    if not name:
        return ""
    words = set(re.split(r"[\W_\d]+", name))
    if any(stem in name for stem in _OTHER) or words & {"dew", "wet", "co", "lux"}:
        return "other"
    if any(stem in name for stem in _HUMIDITY) or words & {"rh", "rf", "hr", "rv", "lf", "hum"}:
        return "humidity"
    if re.search(r"r\.\s*[hf]\.", name) or name in ("%", "u %", "h", "u"):
        return "humidity"
    if any(stem in name for stem in _TEMPERATURE) or words & {"t", "ta", "tair", "tmp", "fah"}:
        return "temperature"
    if re.search(r"°\s*[cf]|℃|℉|º\s*[cf]|\bdeg\s?[cf]\b|^[cf]$", header.lower()):
        return "temperature"
    if any(name.startswith(stem) or stem in words for stem in _TIME) or "time" in name:
        return "time"
    if "%" in name:
        return "humidity"
    return ""


def is_room(header: str) -> bool:
    """Return True when ``header`` names the room around the tank."""
    name = plain(header)
    words = set(re.split(r"[\W_\d]+", name))
    return any(stem in words or (len(stem) > 4 and stem in name) for stem in _ROOM)


def temperature_unit(header: str) -> str:
    """Return "°C" or "°F" when ``header`` says which, else ""."""
    name = header.replace("º", "°").replace("℃", "°C").replace("℉", "°F")
    if re.search(r"°\s*F\b|fahrenheit|[\[(]\s*F\s*[\])]|[_\s]F$|deg\s?F\b|^F$", name, re.I):
        return "°F"
    if re.search(r"°\s*C\b|celsius|[\[(]\s*C\s*[\])]|[_\s]C$|deg\s?C\b|^C$", name, re.I):
        return "°C"
    return ""
