"""On which prices and needs an answer hangs."""
