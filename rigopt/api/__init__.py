"""From a question to an answer that has passed the audit, for the command line and Python.

`ask`, `growth` and `repair` solve, audit and hand over; `audited` is the gate that every
answer passes. Nothing here speaks to a terminal or hears a signal: who wants to see a search
at work hands in a `Watch`.
"""
