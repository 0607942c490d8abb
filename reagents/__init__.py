"""What to make, how much of it and whether it is right: recipes, prep lists, batches, labels and stock.

It knows no class and no learner. It may import nothing of `practicals` or `assessment`; it points at
people by `settings.AUTH_USER_MODEL` and tells others by the signals in `signals.py`.
Start with `calculations/proportions.py` (how much of each part) and `models/` (what is kept of it).
"""
