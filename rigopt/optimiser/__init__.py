"""From catalogue and needs to a rig. The only package that imports the solver."""
