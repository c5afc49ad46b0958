"""From a question to an answer that has passed the audit, for the command line and Python.

A folder, since it holds two layers. `ask`, `series`, `growth` and `repair` solve, audit and
hand over; `audited` is the gate that every answer passes. `face` asks them for Python, with
`needs` as people say them and `results` that `telling` makes of their ends.

Nothing here speaks to a terminal or hears a signal: who wants to see a search at work hands
in a `Watch`.
"""
