"""Moist air: what the air holds, what it could hold, and how it carries heat and vapour.

In: air temperature [°C], relative humidity (a fraction) or vapour pressure [Pa], air pressure
[Pa]. Out: dew point, wet bulb, humidity ratio, density and the like (``mixture``), the
properties of water at saturation (``saturation``), the transport properties of air
(``transport``). ``virial`` holds what makes the mixture a real gas and not an ideal one.

Vapour pressure is the one state variable between these functions: whatever a reader gives is
turned into it first, and every other humidity comes from it. It means the mole fraction of
water times the air pressure.
"""
