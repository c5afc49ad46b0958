"""Answers as text for a terminal of 80 columns: the words, laid out.

It imports `facts/` and `words/`, and no other form.
"""
