"""Floor 2: what passes between a surface and the air beside it, one published equation each.

In: temperatures, vapour pressures, sizes. Out: dimensionless numbers, coefficients and fluxes.
Stands on the moist air of ``calculators.air``; knows nothing of tanks.
"""
