"""Every calculator a page may name, in one explicit tuple."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from calculators.fields import Answer
from calculators.keeping.air_change import air_change
from calculators.keeping.bubbles import bubbling
from calculators.keeping.fresh_air import fresh_air
from calculators.keeping.gauge import gauge_check
from calculators.keeping.glass import glass_condensation
from calculators.keeping.heating import heater_sizing
from calculators.keeping.humidity import dew_point
from calculators.keeping.marine import marine_pool
from calculators.keeping.moss import moss
from calculators.keeping.plan import first_change, first_change_quick
from calculators.keeping.pools import evaporation
from calculators.keeping.readings import readings
from calculators.keeping.reply import keeper_reply, keeper_reply_quick
from calculators.keeping.sheet import tank_sheet, tank_sheet_quick
from calculators.keeping.substrate import substrate
from calculators.keeping.venting import venting
from calculators.keeping.water import tank_balance


@dataclass(frozen=True, slots=True)
class Calculator:
    """A calculator as pages name it.

    ``question`` is what a keeper asks; ``quick`` gives the same answers without their bands, for
    a first look while ``function`` takes its time; ``practice_only`` says why there is no published
    check, where there is none; ``sheet`` puts the answers on one printed page with lines for
    readings by hand; ``apart`` keeps what is typed out of the page's address.
    """

    name: str
    title: str
    question: str
    function: Callable[..., Answer]
    quick: Callable[..., Answer] | None = None
    practice_only: str = ""
    sheet: bool = False
    apart: bool = False


CATALOGUE: tuple[Calculator, ...] = (
    Calculator(
        "dew-point",
        "Dew point",
        "How much moisture is really in this air, and where would it turn to water?",
        dew_point,
    ),
    Calculator("evaporation", "Evaporation", "How much water does this pool give?", evaporation),
    Calculator(
        "heater-sizing",
        "Heater size",
        "How large must the heat mat be, and how hot does the wall get?",
        heater_sizing,
    ),
    Calculator(
        "tank-balance",
        "Tank balance",
        "Where does the water vapour come from, and where does it go?",
        tank_balance,
    ),
    Calculator(
        "first-change",
        "First change",
        "Which one change comes first in this tank, and what will it do?",
        first_change,
        quick=first_change_quick,
    ),
    Calculator(
        "gauge-check",
        "Gauge check",
        "Can you trust the gauge? A jar, a spoon of salt and a night will tell.",
        gauge_check,
    ),
    Calculator(
        "glass-condensation",
        "Water on the glass",
        "When does the glass run wet, and what would stop it?",
        glass_condensation,
    ),
    Calculator(
        "air-change",
        "Air change",
        "How fast does this tank lose its air to the room?",
        air_change,
    ),
    Calculator(
        "venting",
        "Venting",
        "What does opening the lid for a while do, and can this room dry the tank at all?",
        venting,
    ),
    Calculator(
        "bubbling",
        "Air-stones in a pool",
        "Do air-stones raise the humidity here, or lower it?",
        bubbling,
    ),
    Calculator(
        "moss",
        "Moss",
        "How much water does damp moss give, and can dry moss take any out?",
        moss,
    ),
    Calculator(
        "marine-pool",
        "Marine pool",
        "How much salt, is it right, and what do you top it up with?",
        marine_pool,
    ),
    Calculator(
        "substrate",
        "Substrate",
        "How much sand and coir, how damp, and is water standing at the base?",
        substrate,
        practice_only="Geometry and conservation of water on published densities of sand and coir; "
        "depth and mix are common practice, and nobody has published a check for a tank.",
    ),
    Calculator(
        "fresh-air",
        "Fresh air",
        "Is there air enough when the tank is closed?",
        fresh_air,
    ),
    Calculator(
        "readings",
        "Read your log",
        "Does the fault last, is it temperature or moisture, and did your change work?",
        readings,
        practice_only="Shares, means and regression are checked against numpy and SciPy, and the "
        "dew point against weather records; the band and the rule for a lasting fault are common "
        "practice.",
    ),
    Calculator(
        "tank-sheet",
        "Tank sheet",
        "What goes on the sheet that hangs beside this tank?",
        tank_sheet,
        quick=tank_sheet_quick,
        practice_only="It puts the checked answers of first-change, tank-balance, moss and "
        "marine-pool on one page; how often each chore is due is common practice.",
        sheet=True,
    ),
    Calculator(
        "keeper-reply",
        "Keeper reply",
        "A keeper has written: what is likely, what is the one next step, what to ask back?",
        keeper_reply,
        quick=keeper_reply_quick,
        practice_only="The plan is first-change’s, which is checked; what a letter means is read "
        "by fixed rules, tested on invented letters, and the order of questions is common "
        "practice.",
        apart=True,
    ),
)
