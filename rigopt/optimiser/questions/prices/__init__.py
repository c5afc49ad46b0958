"""Which prices to look up next."""
