"""Running a class practical: plan it, run it at the bench, measure it, check it.

Also the Django project package (settings, urls, wsgi). May import `reagents`; never `assessment`,
which reads this package, nor any other package's `pages`.
Start in `calculations/rf.py` for what is computed and in `models/` for what is kept.
"""
