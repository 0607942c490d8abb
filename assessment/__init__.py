"""Criteria, evidence, decisions and their verification: what a college vouches for after the lesson.

May import `practicals` and `reagents`; neither of them may import this package.
Inside: pages > documents > actions > access > models > calculations, imports only downward.
Start with `calculations/grades.py` (how decisions become a grade) and `data/units/` (what a unit is).
"""
