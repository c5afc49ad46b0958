"""Answers on one page for a browser and for paper: picture, tables, steps.

A picture is made of numbers first (`draw.py`) and of SVG then. It imports `facts/`, `words/`
and, for the steps, `sheets/`.
"""
