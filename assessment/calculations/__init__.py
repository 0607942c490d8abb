"""The sums of assessment: plain Python that knows no framework, no database and no person.

Everything takes and returns numbers, strings, dates and frozen dataclasses; the time and the seed are
arguments. Nothing here awards a criterion: people decide, these functions count and point.
Start with `grades.py`, then `unit_file.py` (a unit as a file) and `evidence_map.py` (what is there).
"""
