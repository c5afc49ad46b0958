"""The needs: what has to be recorded, at which rate, within which limits.

`table.py` says everything of a need in one row; the rest is made from it.
"""
