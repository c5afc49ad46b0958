"""Files that people edit: decoded, within limits, and every fault of them at once."""
