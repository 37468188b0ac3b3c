"""Dewglass calculators: what the reader's browser, the terminal and the build all run.

Floors, imports only downwards: quantities, errors, fields; air; surfaces; tank; keeping;
catalogue; ask. Pure Python, standard library and annotated-types only.
"""
