"""The catalogue: generic device types, cables and extras, with the user's prices."""
