"""Dewglass: forms, pages and the site around the calculators."""
