"""Forms in which an answer is shown: each is a function from an outcome to text.

`facts/` works out what several forms tell, as numbers and names; `words/` makes sentences and
cells of it. Above these two stand the forms, which do not import each other: `terminal/`,
`data/` and `page/`, with `sheets/` for the steps. None of them prints: `files.py`
writes what they return.
"""
