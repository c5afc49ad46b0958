"""Growth without regret: the purchases of all stages, chosen together.

Every stage has a rig of its own, with all its rules, made from what is owned then and what
has been bought at this stage or before.
"""
