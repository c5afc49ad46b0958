"""The solver itself: sums, one call, its settings, and the linear relaxation."""
