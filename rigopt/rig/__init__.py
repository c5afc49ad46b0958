"""The rig: units, links and inputs that were chosen, and the audit that re-tests them.

Nothing in here knows how the rig was found.
"""
