"""Sheets to build a rig from: the steps of its set-up and what to be careful of, as data."""
