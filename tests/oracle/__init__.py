"""Independent second opinions on the cheapest rig, written from the rules alone."""
