"""What may be in a rig: everything settled before a model is built."""
