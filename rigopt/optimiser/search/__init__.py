"""From a problem to the counts of the cheapest rig, ties included."""
