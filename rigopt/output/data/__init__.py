"""Answers as JSON and CSV, for programs and spreadsheets.

The formats are named and stay. It imports `facts/` and `words/`, and no other form.
"""
