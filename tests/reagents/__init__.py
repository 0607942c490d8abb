"""Promises of the prep room."""
