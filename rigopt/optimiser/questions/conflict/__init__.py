"""Why there is no rig, and the least changes that would do."""
