"""What is computed about a paper: retardation factors, doubts, slips, drawings, published values.

Pure Python on numbers, strings, dates and frozen dataclasses: no Django, no database, no clock.
May import nothing of the project but its own neighbours here.
Start in `rf.py`; `slips.py` explains a learner's own value; `practical_file.py` reads a practical.
"""
