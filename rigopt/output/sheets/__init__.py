"""The set-up of one rig step by step, as plain text with what to be careful of.

Which steps there are follows from the rig. It imports `facts/` and `words/`, and no form.
"""
