"""Forms in which an answer is shown: each is a function from an outcome to text.

`facts/` works out what several forms tell, as numbers and names; `words/` makes sentences and
cells of it, `sheets/` the steps of the set-up. Above these stand the forms, which do not
import each other: `terminal/`, `data/` and `page/`. None of them prints: `files.py` writes
what they return.
"""
