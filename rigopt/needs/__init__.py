"""The needs: what has to be recorded, at which rate, within which limits."""
