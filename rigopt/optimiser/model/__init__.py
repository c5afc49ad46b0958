"""The model of one rig: its variables, and one rule of the trade a module."""
