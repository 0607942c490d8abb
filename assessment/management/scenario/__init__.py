"""The demo: a college that does not exist, and a few weeks of its practicals.

Everything goes through the actions that people use, so the demo cannot hold what the app would refuse.
Begin with `story.py`; the seed makes it the same each time, the dates go by the day it is loaded.
"""
