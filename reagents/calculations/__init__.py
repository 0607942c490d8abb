"""Sums of the prep room: quantities, ratios, solutions, glassware, substances, order of mixing.

Pure Python: numbers, strings, dates and frozen dataclasses in and out; no Django, no database.
May import only its own modules and the standard library; pint is used in `quantities.py` and nowhere else.
Start with `quantities.py` (what a person typed) and `proportions.py` (what follows from it).
"""
