"""The facts on which a rig hangs."""
