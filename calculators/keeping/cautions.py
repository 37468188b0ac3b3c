"""The usual cautions, one sentence or two each, for the place where the hand is.

Sources and full wording stand on the guide's page of cautions. Makers' instructions, local rules,
an electrician and an exotic-animal vet come before any of these.
"""

from __future__ import annotations

ELECTRIC = (
    "Unplug before a hand goes in. Keep a drip loop, and an RCD of at most 30 mA or a GFCI in the "
    "supply; a wet plug is switched off at the breaker first. Local wiring rules and an "
    "electrician decide."
)
MAT = (
    "The mat stays on a thermostat with its probe fixed, on a side wall above the substrate. Cover "
    "or insulate it only as its maker permits; replace it when creased or scorched."
)
SMOKE_ALARM = "Heaters of animal tanks have caused house fires: keep a smoke alarm in the room."
STALE_AIR = "A closed tank is never airtight: leave a gap you know. Carbon dioxide has no smell."
PUMP = (
    "Air pump above the water line, or with a check valve and a loop in the airline; test the "
    "valve once a year."
)
GLOVES = "Wear gloves with sphagnum: it can carry a skin infection."
WATCH = "Never leave a vented tank alone. Count the animals before and after."
CLIMB_OUT = (
    "Give every pool a ramp or a net an animal can climb out by, and look for it after each refill."
)
DECHLORINATE = (
    "Treat all water for chlorine and chloramine before it goes in; standing does not clear "
    "chloramine."
)
